import { windOverLand } from '../air/profile.ts'
import { rootSumOfSquares } from '../base/arithmetic.ts'
import { drawingOf } from '../base/draws.ts'
import { normalQuantile } from '../base/normal.ts'
import { present } from '../base/present.ts'
import { SIN2_10_DEG, SIN2_25_DEG } from './road-load.ts'
import { engineKg, type PowertrainModel, type Uncertain, type Vehicle } from './vehicle.ts'
import { CLASSES, type ClassValues, UNSTATED } from './vehicle-classes.ts'

export interface EnsembleSettings {
  draws: number
  seed: number
  /** Roughness length of the land along the road, m. */
  roughnessM: number
}

/** Sizes of what is shared by all runs. */
export const SHARED_SD = {
  /**
   * Relative, of the wind at the vehicle against the log law: hedges, cuttings, open stretches. Below 2 m the law itself
   * is not better than 20 %; common practice, no source. A part of it is the same for all winds, a part belongs to each of
   * four directions that the wind may come from.
   */
  exposure: 0.18,
  exposureOfSector: 0.15,
  /**
   * Along the road: woods, villages, embankments let through half to all of the wind. On a round course what they leave of
   * it does not cancel.
   */
  exposureOfPlace: 0.25,
}
/** Relative standard deviation of the wind at the vehicle over that at 10 m, at one place for one direction. */
export const exposureSd = (): number => rootSumOfSquares(Object.values(SHARED_SD))

/**
 * How the constant part of an engine's need divides into one that goes with time and one that goes with distance: at this
 * speed the sum of both is kept, and the logit of the share of distance has this deviation. Common practice, no source.
 */
export const FRICTION_SPLIT = { speedMps: 20, logitSd: 0.9 }
/**
 * Standard deviation of the gusts along the road as a share of the 10 m wind: 2.4 friction velocities over open land.
 * @source Panofsky and Dutton, Atmospheric Turbulence, 1984 (from memory)
 */
const TURBULENCE: Uncertain = { value: 0.17, sd: 0.05 }

/** With less the drag would push a vehicle at 25° of yaw. */
const LEAST_YAW_RISE = (-0.9 * SIN2_10_DEG) / SIN2_25_DEG

/** K draws of everything that belongs to the vehicle and the land: the same for every run of a campaign. */
export interface SharedDraws {
  settings: EnsembleSettings
  massKg: Float64Array
  dragAreaM2: Float64Array
  rolling: Float64Array
  rollingTemperaturePerK: Float64Array
  dragYawRise: Float64Array
  idlePowerW: Float64Array
  /** Of the engine, along the road. */
  frictionN: Float64Array
  recovery: Float64Array
  /** Wind at the vehicle over wind at 10 m. */
  exposure: Float64Array
  /** Standard normal draws for winds towards east, north, west and south: see `exposureAt`. */
  exposureSectors: Float64Array[]
  /** And of the waves of the land: cosine and sine of each. */
  exposureWaves: Float64Array[]
  /** Its best estimate, by the log law alone. */
  bestExposure: number
  turbulence: Float64Array
  bestTurbulence: number
  vehicle: Vehicle
  /** Names of all these draws. */
  names: ReadonlySet<string>
}

export function sharedDraws(vehicle: Vehicle, settings: EnsembleSettings): SharedDraws {
  const names = new Set<string>()
  const draw = drawingOf(settings, names)
  const normal = (name: string, { value, sd }: Uncertain): Float64Array => draw(name).map((z) => value + sd * z)
  const positive = (name: string, { value, sd }: Uncertain): Float64Array =>
    draw(name).map((z) => (value === 0 ? 0 : value * Math.exp((sd / value) * z)))
  const heightFactor = exposureFactor(vehicle.referenceHeightM, settings)
  const drawn: SharedDraws = {
    settings,
    vehicle,
    names,
    massKg: positive('vehicle/mass', vehicle.massKg),
    dragAreaM2: positive('vehicle/drag-area', vehicle.dragAreaM2),
    rolling: positive('vehicle/rolling-resistance', vehicle.rollingResistance),
    rollingTemperaturePerK: normal('vehicle/rolling-temperature', vehicle.rollingTemperaturePerK),
    dragYawRise: normal('vehicle/drag-yaw-rise', vehicle.dragYawRise).map((rise) => Math.max(LEAST_YAW_RISE, rise)),
    ...engineDraws(vehicle.powertrain, draw),
    recovery: normal('vehicle/recovery', vehicle.powertrain.recovery).map((r) => Math.min(1, Math.max(0, r))),
    exposure: positive('road/exposure', { value: heightFactor, sd: SHARED_SD.exposure * heightFactor }),
    exposureSectors: SECTORS.map((sector) => draw(`road/exposure/${sector}`)),
    exposureWaves: WAVES.flatMap(({ name }) => [draw(`road/exposure/${name}/cos`), draw(`road/exposure/${name}/sin`)]),
    bestExposure: heightFactor,
    turbulence: normal('air/turbulence', TURBULENCE).map((t) => Math.max(0, t)),
    bestTurbulence: TURBULENCE.value,
  }
  return vehicle.isClassDrawn ? withDrawnClass(drawn, draw('vehicle/class')) : drawn
}

const SECTORS = ['east', 'north', 'west', 'south']

/**
 * How the land's exposure changes from place to place: waves of some kilometres, evenly spread over the directions, of
 * radians per degree of latitude and of longitude. Common practice, no source.
 */
const WAVES = [2.5, 3.6, 5.1, 7.3, 10.5, 15].map((lengthKm, i) => {
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
export function exposureAt({ latitude, longitude, eastMps, northMps }: WindyPlace, draws: SharedDraws): Float64Array {
  const position = Math.atan2(northMps, eastMps) / (Math.PI / 2) + SECTORS.length
  const before = Math.floor(position)
  const past = position - before
  const ofSector = SHARED_SD.exposureOfSector
  const parts = [
    { weight: ofSector * Math.sqrt(1 - past), of: draws.exposureSectors[before % SECTORS.length] },
    { weight: ofSector * Math.sqrt(past), of: draws.exposureSectors[(before + 1) % SECTORS.length] },
    ...WAVES.flatMap(({ north, east }, i) => {
      const phase = north * latitude + east * longitude
      const weight = SHARED_SD.exposureOfPlace / Math.sqrt(WAVES.length)
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

/** Idling and friction: their sum by one draw, how it divides by another. */
function engineDraws(
  { idlePowerW, frictionN }: PowertrainModel,
  draw: (name: string) => Float64Array,
): Pick<SharedDraws, 'idlePowerW' | 'frictionN'> {
  const { speedMps, logitSd } = FRICTION_SPLIT
  const sumW = idlePowerW.value + frictionN * speedMps
  if (sumW === 0) {
    // A rider takes nothing while standing.
    const nothing = draw('vehicle/idle-power').map(() => 0)
    return { idlePowerW: nothing, frictionN: nothing }
  }
  const factor = draw('vehicle/idle-power').map((z) => Math.exp((idlePowerW.sd / idlePowerW.value) * z))
  const frictionShare = draw('vehicle/friction-split').map(
    // Odds of the share of distance: exact for a share of nothing.
    (z) => 1 - 1 / (1 + ((frictionN * speedMps) / idlePowerW.value) * Math.exp(logitSd * z)),
  )
  return {
    idlePowerW: factor.map((f, k) => f * sumW * (1 - frictionShare[k])),
    frictionN: factor.map((f, k) => (f * sumW * frictionShare[k]) / speedMps),
  }
}

/** Wind at the vehicle over wind at 10 m over open land by the log law; among obstacles, where the law says nothing, a tenth. */
export function exposureFactor(heightM: number, { roughnessM }: EnsembleSettings): number {
  const factor = windOverLand(heightM, roughnessM)
  return Number.isNaN(factor) ? LEAST_EXPOSURE : Math.max(LEAST_EXPOSURE, factor)
}
const LEAST_EXPOSURE = 0.1

/** Each draw is a vehicle of another class: from motorcycles to lorries by what they are to the one that is taken. */
function withDrawnClass(shared: SharedDraws, draws: Float64Array): SharedDraws {
  const taken = CLASSES[shared.vehicle.class]
  let below = 0
  const upTo = UNSTATED.map(({ class: of, probability }) => {
    below += probability
    return { of: CLASSES[of], z: below < 1 - 1e-9 ? normalQuantile(below) : Number.POSITIVE_INFINITY }
  })
  const classes = Array.from(draws, (z) => present(upTo.find((one) => z < one.z)).of)
  const times = (column: Float64Array, value: (of: ClassValues) => number): Float64Array =>
    column.map((drawn, k) => (drawn * value(classes[k])) / value(taken))
  return {
    ...shared,
    massKg: times(shared.massKg, ({ massKg }) => massKg),
    dragAreaM2: times(shared.dragAreaM2, ({ dragAreaM2 }) => dragAreaM2),
    rolling: times(shared.rolling, ({ rolling }) => rolling),
    rollingTemperaturePerK: times(shared.rollingTemperaturePerK, (of) => of.rollingTemperaturePerK.value),
    dragYawRise: shared.dragYawRise.map((rise, k) => rise + classes[k].yawRise.value - taken.yawRise.value),
    idlePowerW: times(shared.idlePowerW, ({ massKg }) => engineKg(massKg)),
    frictionN: times(shared.frictionN, ({ massKg }) => engineKg(massKg)),
    exposure: times(shared.exposure, ({ heightM }) => exposureFactor(heightM, shared.settings)),
  }
}

/** Elements behind the K draws of every column: the best estimate, and the best estimate of a vehicle without drag. */
export const EXTRAS = 2

export const withExtras = (draws: Float64Array, best: number, withoutDrag = best): Float64Array => {
  const out = new Float64Array(draws.length + EXTRAS)
  out.set(draws)
  out[draws.length] = best
  out[draws.length + 1] = withoutDrag
  return out
}

const extended = new WeakMap<SharedDraws, SharedDraws>()

/** The shared draws with the best estimates behind them. */
export function withBestEstimates(shared: SharedDraws): SharedDraws {
  const known = extended.get(shared)
  if (known) return known
  const { vehicle } = shared
  const out: SharedDraws = {
    ...shared,
    massKg: withExtras(shared.massKg, vehicle.massKg.value),
    dragAreaM2: withExtras(shared.dragAreaM2, vehicle.dragAreaM2.value, 0),
    rolling: withExtras(shared.rolling, vehicle.rollingResistance.value),
    rollingTemperaturePerK: withExtras(shared.rollingTemperaturePerK, vehicle.rollingTemperaturePerK.value),
    dragYawRise: withExtras(shared.dragYawRise, vehicle.dragYawRise.value),
    idlePowerW: withExtras(shared.idlePowerW, vehicle.powertrain.idlePowerW.value),
    frictionN: withExtras(shared.frictionN, vehicle.powertrain.frictionN),
    recovery: withExtras(shared.recovery, vehicle.powertrain.recovery.value),
    exposure: withExtras(shared.exposure, shared.bestExposure),
    exposureSectors: shared.exposureSectors.map((draws) => withExtras(draws, 0)),
    exposureWaves: shared.exposureWaves.map((draws) => withExtras(draws, 0)),
    turbulence: withExtras(shared.turbulence, shared.bestTurbulence),
  }
  extended.set(shared, out)
  return out
}
