import { between, hypotenuse, rootSumOfSquares } from '../base/arithmetic.ts'
import { KELVIN_AT_0_C } from '../base/units.ts'
import { dewPointK } from './humidity.ts'
import { LAPSE_RATE, stationPressureFromAltimeter, stationPressureFromSeaLevel } from './pressure.ts'
import { roughnessLengthM, windProfileFactor } from './profile.ts'
import type { StationSeries } from './series.ts'
import type { InstrumentErrors } from './types.ts'
import { windVector } from './wind.ts'

/** Values at times, NaN-free. */
export interface Timed {
  time: number[]
  value: number[]
}

/** A station made ready to be asked: winds as vectors at 10 m, humidity as dew point, pressure as the station's own. */
export interface PreparedStation {
  series: StationSeries
  temperatureK: Timed
  dewPointK: Timed
  pressurePa: Timed
  windEastMps: Timed
  windNorthMps: Timed
  undirectedMps: Timed
  errors: InstrumentErrors
}

export function prepareStation(series: StationSeries): PreparedStation {
  const prepared: PreparedStation = {
    series,
    temperatureK: { time: [], value: [] },
    dewPointK: { time: [], value: [] },
    pressurePa: { time: [], value: [] },
    windEastMps: { time: [], value: [] },
    windNorthMps: { time: [], value: [] },
    undirectedMps: { time: [], value: [] },
    errors: instrumentErrors(series),
  }
  const toTenMetres = tenMetreFactor(series.station.anemometerHeightM)
  for (let i = 0; i < series.time.length; i++) {
    const time = series.time[i]
    const add = (to: Timed, value: number): void => {
      if (!Number.isFinite(value)) return
      to.time.push(time)
      to.value.push(value)
    }
    add(prepared.temperatureK, series.temperatureK[i])
    add(prepared.dewPointK, dewPointAt(series, i))
    add(prepared.pressurePa, stationPressureAt(series, i))
    const speed = series.windSpeedMps[i] * toTenMetres
    const from = series.windFromDeg[i]
    if (!Number.isFinite(speed)) continue
    const directed = Number.isFinite(from)
    const wind = directed ? windVector(speed, from) : { eastMps: 0, northMps: 0 }
    add(prepared.windEastMps, wind.eastMps)
    add(prepared.windNorthMps, wind.northMps)
    add(prepared.undirectedMps, directed ? 0 : speed)
  }
  return prepared
}

/** Brings a wind to 10 m over the open land that weather stations stand on; 1 where the height is not stated. */
function tenMetreFactor(anemometerHeightM: number): number {
  const factor = windProfileFactor(10, anemometerHeightM, roughnessLengthM.open)
  return Number.isFinite(factor) ? factor : 1
}

function dewPointAt(series: StationSeries, i: number): number {
  if (Number.isFinite(series.dewPointK[i])) return series.dewPointK[i]
  return dewPointK(series.temperatureK[i], series.relativeHumidity[i])
}

function stationPressureAt(series: StationSeries, i: number): number {
  const { elevationM } = series.station
  if (Number.isFinite(series.stationPressurePa[i])) return series.stationPressurePa[i]
  if (Number.isFinite(series.altimeterPa[i])) return stationPressureFromAltimeter(series.altimeterPa[i], elevationM)
  const temperatureK = Number.isFinite(series.temperatureK[i]) ? series.temperatureK[i] : KELVIN_AT_0_C + 15
  return stationPressureFromSeaLevel(series.seaLevelPressurePa[i], elevationM, temperatureK)
}

/** What a metre of height changes in pressure near the ground, Pa. @source ISO 2533, at sea level */
const PASCALS_PER_METRE = 12

/**
 * By how much the surroundings of a station make its wind differ from that over open land, relative: corrections found from
 * gusts are mostly 0.8 to 1.25. Anemometers themselves are within 5 %.
 * @source Wieringa, "Roughness-dependent geographical interpolation of surface wind speed averages", Quarterly Journal of the
 * Royal Meteorological Society 112 (1986) 867 (from memory)
 */
const SURROUNDINGS_SD = 0.12

/**
 * Standard deviations of a station's lasting errors. Common practice, no source, but for the rounding of the report and
 * for models: half of what is published of their errors lasts at a place (`MODEL` in blend.ts).
 * A height that is not known well bears on the temperature carried to the road and on a pressure measured at the
 * station; one reduced to sea level is brought down to the road by the same height that it was brought up by.
 */
function instrumentErrors(series: StationSeries): InstrumentErrors {
  if (series.station.quality === 'note') {
    return { temperatureK: 2, relativeHumidity: 0.1, pressurePa: 300, windSpeed: 0.35, windFromDeg: 25 }
  }
  const heightSdM = series.station.elevationSdM ?? 0
  if (series.station.quality === 'model') {
    return { temperatureK: 1, relativeHumidity: 0.08, pressurePa: 100, windSpeed: 0.2, windFromDeg: 10 }
  }
  const step = series.temperatureStepK.find((k) => Number.isFinite(k)) ?? 0.1
  const isOwnPressure = series.stationPressurePa.some((pa) => Number.isFinite(pa))
  return {
    temperatureK: rootSumOfSquares([0.3, step / Math.sqrt(12), LAPSE_RATE * heightSdM]),
    relativeHumidity: 0.04,
    pressurePa: isOwnPressure ? hypotenuse(50, PASCALS_PER_METRE * heightSdM) : 50,
    windSpeed: SURROUNDINGS_SD,
    windFromDeg: 6,
  }
}

/** How far values speak in time, s: of two neighbours at most `stepS` apart, of one at most `gapS` away. */
export interface TimeReach {
  gapS: number
  stepS: number
}

/** Linear in time between the neighbouring values; the nearest one where they are too far apart for that, or at the ends. */
export function interpolate(timed: Timed, time: number, reach: TimeReach): { value: number; gapS: number } | null {
  const { time: times, value } = timed
  if (times.length === 0) return null
  let after = lowerBound(times, time)
  const before = after > 0 ? after - 1 : 0
  if (after === times.length) after = before
  const gapS = Math.min(Math.abs(times[before] - time), Math.abs(times[after] - time))
  const stepS = times[after] - times[before]
  if (stepS > 0 && stepS <= reach.stepS) {
    const share = Math.min(1, Math.max(0, (time - times[before]) / stepS))
    return { value: between(value[before], value[after], share), gapS }
  }
  if (gapS > reach.gapS) return null
  const nearest = Math.abs(times[before] - time) <= Math.abs(times[after] - time) ? before : after
  return { value: value[nearest], gapS }
}

/** Index of the first entry that is not below `wanted`. */
function lowerBound(sorted: number[], wanted: number): number {
  let low = 0
  let high = sorted.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (sorted[middle] < wanted) low = middle + 1
    else high = middle
  }
  return low
}
