import { windOverLand } from '../air/profile.ts'
import { hypotenuse, rootSumOfSquares } from '../base/arithmetic.ts'

/** By how much the wind at the vehicle differs from the log law: relative standard deviations, the same for all runs. */
export const EXPOSURE_SD = {
  /** Of the law itself everywhere: below 2 m it is not better than 20 %. Common practice, no source, as the others. */
  ofLaw: 0.18,
  /** For each of four directions that the wind blows to: hedges and cuttings on one side. */
  ofSector: 0.15,
  /**
   * Along the road: woods, villages, embankments let through half to all of the wind. On a round course what they leave of
   * it does not cancel.
   */
  ofPlace: 0.25,
}
/**
 * Standard deviation of the logarithm of the land's roughness length: a class of terrain reaches half-way to its neighbours,
 * which are 2 to 3 times as rough or as smooth (0.3), and one time in five the land is of the class beside. Common
 * practice, no source.
 */
const LOG_ROUGHNESS_SD = 0.5
/** Where the vehicle is hardly higher than the roughness. */
const MOST_OF_ROUGHNESS = 0.4

/** Relative standard deviation of the wind at the vehicle over that at 10 m that is the same for all winds and places. */
export function exposureEverywhereSd(heightM: number, { roughnessM }: { roughnessM: number }): number {
  // By the logarithms of the profile, as the roughness changes by a part of itself.
  const perLog =
    -0.5 * Math.log(windOverLand(heightM, roughnessM * Math.E) / windOverLand(heightM, roughnessM / Math.E))
  const ofRoughness = Number.isFinite(perLog)
    ? Math.min(MOST_OF_ROUGHNESS, LOG_ROUGHNESS_SD * perLog)
    : MOST_OF_ROUGHNESS
  return hypotenuse(EXPOSURE_SD.ofLaw, ofRoughness)
}

/** Relative standard deviation of the wind at the vehicle over that at 10 m, at one place for one direction. */
export const exposureSd = (heightM: number, settings: { roughnessM: number }): number =>
  rootSumOfSquares([exposureEverywhereSd(heightM, settings), EXPOSURE_SD.ofSector, EXPOSURE_SD.ofPlace])

/** Wind at the vehicle over wind at 10 m over open land by the log law; among obstacles, where the law says nothing, a tenth. */
export function exposureFactor(heightM: number, { roughnessM }: { roughnessM: number }): number {
  const factor = windOverLand(heightM, roughnessM)
  return Number.isNaN(factor) ? LEAST_EXPOSURE : Math.max(LEAST_EXPOSURE, factor)
}
const LEAST_EXPOSURE = 0.1

/** K draws of the land along the road. */
export interface ExposureDraws {
  /** Wind at the vehicle over wind at 10 m, what is the same everywhere. */
  exposure: Float64Array
  /** Standard normal draws for winds towards east, north, west and south. */
  exposureSectors: Float64Array[]
  /** And for the waves of the land: cosine and sine of each. */
  exposureWaves: Float64Array[]
}

export const SECTORS = ['east', 'north', 'west', 'south']

/**
 * How the land's exposure changes from place to place: waves of some kilometres, evenly spread over the directions, of
 * radians per degree of latitude and of longitude. Common practice, no source.
 */
export const WAVES = [2.5, 3.6, 5.1, 7.3, 10.5, 15].map((lengthKm, i) => {
  const angle = (i * Math.PI) / 6
  const perKm = (2 * Math.PI) / lengthKm
  // A degree of longitude as at 51°: elsewhere the waves are a little longer or shorter.
  return { name: `${lengthKm}-km`, north: 111 * perKm * Math.cos(angle), east: 70 * perKm * Math.sin(angle) }
})

/** A place on the road and the observed wind there, towards east and north. */
interface WindyPlace {
  latitude: number
  longitude: number
  eastMps: number
  northMps: number
}

/**
 * Wind at the vehicle over wind at 10 m in each draw, at a place and for the direction of the wind there: between two
 * sectors the draws are mixed so that their spread stays.
 */
export function exposureAt({ latitude, longitude, eastMps, northMps }: WindyPlace, draws: ExposureDraws): Float64Array {
  const position = Math.atan2(northMps, eastMps) / (Math.PI / 2) + SECTORS.length
  const before = Math.floor(position)
  const past = position - before
  const ofSector = EXPOSURE_SD.ofSector
  const parts = [
    { weight: ofSector * Math.sqrt(1 - past), of: draws.exposureSectors[before % SECTORS.length] },
    { weight: ofSector * Math.sqrt(past), of: draws.exposureSectors[(before + 1) % SECTORS.length] },
    ...WAVES.flatMap(({ north, east }, i) => {
      const phase = north * latitude + east * longitude
      const weight = EXPOSURE_SD.ofPlace / Math.sqrt(WAVES.length)
      return [
        { weight: weight * Math.cos(phase), of: draws.exposureWaves[2 * i] },
        { weight: weight * Math.sin(phase), of: draws.exposureWaves[2 * i + 1] },
      ]
    }),
  ]
  const relative = new Float64Array(draws.exposure.length).fill(1)
  for (const { weight, of } of parts) for (let k = 0; k < of.length; k++) relative[k] += weight * of[k]
  return relative.map((factor, k) => draws.exposure[k] * Math.max(LEAST_EXPOSURE, factor))
}
