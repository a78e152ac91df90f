import { square } from '../base/arithmetic.ts'
import type { Station } from '../read/types.ts'
import { interpolate, type PreparedStation, type TimeReach } from './prepared.ts'
import { LAPSE_RATE, pressureAtElevation } from './pressure.ts'

/**
 * How far an observation speaks, and how much it may differ from the air on the road. The sizes are common practice
 * in mesoscale comparisons of neighbouring stations (no source): what matters is that they grow with distance and time.
 */
export const REACH = { distanceM: 100_000, gapS: 5400, onRoadGapS: 7200, noteGapS: 21_600, forecastStepS: 43_200 }
/** Where nothing within reach has a quantity, what is farther away is taken, with the doubt that goes with it. */
export const FAR_REACH = { ...REACH, distanceM: 300_000, gapS: 10_800, onRoadGapS: 10_800 }
type Reach = typeof REACH
/**
 * Beyond that, air is known to what it usually is in a season: standard deviations of one component of the 10 m wind, m/s
 * (a mean speed of 4 m/s with directions at random), and of the temperature, K. Common practice, no source.
 */
export const SEASON_SD = { windMps: 3.2, temperatureK: 5 }
/** A forecast's own doubt between its times is not a departure of the road from a station: beyond this it is added apart. */
export const FORECAST_GAP_S = 1800
export const ASSUMED_HUMIDITY = { value: 0.6, sd: 0.2 }

/**
 * Variance of one wind component between a station and the road at 10 m, (m/s)². 4e-5 a metre: pairs of aerodromes 30 to
 * 100 km apart differ by 3.3 to 4.4 (m/s)², of which their own surroundings and instruments are about 1; and at one station
 * the wind changes by 1.04 (m/s)² in an hour, in proportion to the time, which is 25 km of air at 7 m/s.
 * @source docs/calibration.md, real pairs of stations; Deutscher Wetterdienst, hourly wind of station 02667, 2019 to 2021
 */
export const windDepartureVariance = (distanceM: number, gapS: number): number =>
  Math.min(square(SEASON_SD.windMps), square(0.3) + 4e-5 * distanceM + 0.5 * (gapS / 3600))

/**
 * By what factor that variance is larger in a wind than in an ordinary one of 3 m/s. The hourly change at one station is 0.76,
 * 0.95, 1.14, 1.34 and 1.93 (m/s)² at 2, 3, 4.2, 6 and 8.5 m/s.
 * @source Deutscher Wetterdienst, hourly wind of station 02667, 2019 to 2021
 */
export const growthWithWind = (windMps: number): number => (1 + square(windMps / 6)) / 1.25

/** Variance of the temperature between a station and the road, K². */
export const temperatureDepartureVariance = (distanceM: number, gapS: number, climbM: number): number =>
  square(0.3) + 8e-6 * distanceM + 0.4 * (gapS / 3600) + square(0.003 * climbM)

/**
 * How far a weather model's hour may be from the air that an instrument in the middle of its cell would measure, beside a
 * lasting error: standard deviations of one wind component, m/s, and of the temperature, K. A reanalysis of 0.25° missed the
 * hourly 10 m wind of 304 US sites by 1.58 m/s on average, some 2 m/s of standard deviation, of which 0.82 m/s lasted at a
 * site; forecasts on 9 km missed stations by 2.2 m/s and 2.3 °C. Rounded to 2 m/s and 2 K in all.
 * @source NREL, dw-tap-api, about/era5.md (2015 to 2023); meteo.matrunich.com/benchmark (30 days of 2026, not reviewed)
 */
export const MODEL = { windSdMps: 1.7, temperatureSdK: 1.7 }

const modelVariance = ({ series }: PreparedStation, sd: number): number =>
  series.station.quality === 'model' ? square(sd) : 0

/** Variance of one wind component between what this station says and the road, (m/s)². */
export const windVarianceFrom = (station: PreparedStation, distanceM: number, gapS: number): number =>
  windDepartureVariance(distanceM, gapS) + modelVariance(station, MODEL.windSdMps)

/** Variance of the temperature between what this station says and the road, K². */
export const temperatureVarianceFrom = (
  station: PreparedStation,
  distanceM: number,
  gapS: number,
  climbM: number,
): number => temperatureDepartureVariance(distanceM, gapS, climbM) + modelVariance(station, MODEL.temperatureSdK)

/** What the stations within reach of one place and time say, each with its weight. */
export interface StationWeight {
  station: PreparedStation
  distanceM: number
  gapS: number
  weight: number
}

export type Near = { station: PreparedStation; distanceM: number }
type Quantity = 'temperatureK' | 'dewPointK' | 'pressurePa' | 'windEastMps' | 'windNorthMps' | 'undirectedMps'

/** One place and time of a run, and the temperature there once it is known. */
export interface Node {
  time: number
  elevationM: number
  near: Near[]
  temperatureK: number
}

/** How a quantity is carried from a station to a node: the variance of what is lost on the way, and the value there. */
interface Carrying {
  variance: (distanceM: number, gapS: number, station: PreparedStation, node: Node) => number
  value: (value: number, station: PreparedStation, node: Node) => number
}

/** What stations say of a quantity at a place: the mean, NaN where none tells, and each one's part in it. */
export interface Blended {
  value: number
  weights: StationWeight[]
}

/**
 * The stations within reach that have the quantity, weighted by the inverse of their variance, and the mean; those farther
 * away where there is none.
 */
export function blend(node: Node, quantity: Quantity, carrying: Carrying): Blended {
  const near = blendWithin(REACH, node, quantity, carrying)
  return near.weights.length > 0 ? near : blendWithin(FAR_REACH, node, quantity, carrying)
}

function blendWithin(reach: Reach, node: Node, quantity: Quantity, { variance, value: carried }: Carrying): Blended {
  const weights: StationWeight[] = []
  let total = 0
  let sum = 0
  for (const { station, distanceM } of node.near) {
    if (distanceM > reach.distanceM) continue
    const read = interpolate(station[quantity], node.time, reachInTime(station.series.station, reach))
    if (!read) continue
    const weight = 1 / variance(distanceM, departureGapS(station, read.gapS), station, node)
    const value = carried(read.value, station, node)
    if (!Number.isFinite(value)) continue
    total += weight
    sum += weight * value
    weights.push({ station, distanceM, gapS: read.gapS, weight })
  }
  for (const one of weights) one.weight /= total
  return { value: sum / total, weights }
}

const asItIs = (value: number): number => value

/** Elevation of the road; where it is not known, of the station. */
const roadM = ({ series }: PreparedStation, { elevationM }: Node): number =>
  Number.isFinite(elevationM) ? elevationM : series.station.elevationM

/** From the station up to the road, m; 0 where that is not known. */
export function climbM(station: PreparedStation, node: Node): number {
  const climb = roadM(station, node) - station.series.station.elevationM
  return Number.isFinite(climb) ? climb : 0
}

const temperatureVariance: Carrying['variance'] = (distanceM, gapS, s, node) =>
  temperatureVarianceFrom(s, distanceM, gapS, climbM(s, node)) + square(s.errors.temperatureK)

export const CARRYING = {
  temperature: {
    variance: temperatureVariance,
    value: (temperatureK, s, node) => temperatureK - LAPSE_RATE * climbM(s, node),
  },
  dewPoint: {
    variance: temperatureVariance,
    value: asItIs,
  },
  pressure: {
    // Half a hectopascal, and 1 hPa in 100 km: an ordinary gradient of pressure. Common practice, no source.
    variance: (distanceM) => square(50) + square(1e-3 * distanceM),
    value: (pressurePa, s, node) =>
      pressureAtElevation(
        pressurePa,
        s.series.station.elevationM,
        roadM(s, node),
        // The node's temperature is that of the road; on the way up to it the air grows colder.
        node.temperatureK + LAPSE_RATE * climbM(s, node),
        ASSUMED_HUMIDITY.value,
      ),
  },
  wind: {
    // An instrument's error in percent counts as at 4 m/s, an ordinary wind. Common practice, no source.
    variance: (distanceM, gapS, s) => windVarianceFrom(s, distanceM, gapS) + square(s.errors.windSpeed * 4),
    value: asItIs,
  },
} satisfies Record<string, Carrying>

function reachInTime(station: Station, reach: Reach): TimeReach {
  // A forecast ends where it ends: nothing is said of the hours behind it.
  if (station.quality === 'forecast') return { gapS: REACH.gapS, stepS: REACH.forecastStepS }
  const gapS = station.quality === 'note' ? reach.noteGapS : station.onRoad ? reach.onRoadGapS : reach.gapS
  return { gapS, stepS: 2 * gapS }
}

/** How long before or after a moment what a station observed may still bear on it, s: one end of the longest step. */
export const timeReachOf = (station: Station): number => Math.max(...Object.values(reachInTime(station, FAR_REACH)))

export const departureGapS = ({ series: { station } }: PreparedStation, gapS: number): number =>
  station.quality === 'forecast' ? Math.min(gapS, FORECAST_GAP_S) : gapS
