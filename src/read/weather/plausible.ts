import type { Problem } from '../../base/problem.ts'
import { celsiusFromKelvin } from '../../base/units.ts'
import type { Measured } from '../types.ts'
import type { StationReport } from './station-reports.ts'

/** What cannot be the weather on a road; `shown` is the value in the unit that the message speaks of. */
interface Limit {
  field: Measured
  what: string
  low: number
  high: number
  unit: string
  shown: (value: number) => number
}

const asIs = (value: number) => value
const hundredth = (value: number) => value / 100

/**
 * Temperature and pressure at sea level: the records of the WMO Archive of Weather and Climate Extremes (-89.2 °C Vostok,
 * 56.7 °C Death Valley, 870 hPa typhoon Tip, 1083.8 hPa Agata; from memory), widened by a little. Station pressure: the
 * highest motor roads lie below 6,000 m (472 hPa in the standard atmosphere). Wind: the strongest gust on record is
 * 113 m/s (Barrow Island, same archive, from memory). Precipitation in one report: 400 mm in an hour is about the record.
 */
const LIMITS: Limit[] = [
  { field: 'temperatureK', what: 'air temperature', low: 183, high: 333, unit: '°C', shown: celsiusFromKelvin },
  { field: 'dewPointK', what: 'dew point', low: 163, high: 313, unit: '°C', shown: celsiusFromKelvin },
  { field: 'relativeHumidity', what: 'relative humidity', low: 0, high: 1.05, unit: '%', shown: (v) => v * 100 },
  { field: 'stationPressurePa', what: 'station pressure', low: 45000, high: 110000, unit: 'hPa', shown: hundredth },
  { field: 'seaLevelPressurePa', what: 'sea-level pressure', low: 85000, high: 110000, unit: 'hPa', shown: hundredth },
  { field: 'altimeterPa', what: 'altimeter setting', low: 85000, high: 110000, unit: 'hPa', shown: hundredth },
  { field: 'windSpeedMps', what: 'wind speed', low: 0, high: 100, unit: 'm/s', shown: asIs },
  { field: 'windGustMps', what: 'wind gust', low: 0, high: 120, unit: 'm/s', shown: asIs },
  { field: 'windFromDeg', what: 'wind direction', low: 0, high: 360, unit: 'degrees', shown: asIs },
  { field: 'precipitationMm', what: 'precipitation', low: 0, high: 500, unit: 'mm', shown: asIs },
]

/**
 * A value of a table that cannot be the weather, as a problem that shows what was written; null for one that can.
 * @param found the column and the cell, such as `temperature_f: found -999`
 */
export function impossibleCell(field: Measured, value: number, found: string, line: number): Problem | null {
  const limit = LIMITS.find((one) => one.field === field && (value < one.low || value > one.high))
  if (!limit) return null
  const { hint } = outOfRange(limit, value, line)
  const message = `${found}, expected ${rangeOf(limit)}; this value is not used`
  return { code: 'weather-implausible', severity: 'warning', message, line, ...(hint && { hint }) }
}

const rangeOf = ({ what, low, high, unit, shown: as }: Limit): string =>
  `${/^[aeiou]/.test(what) ? 'an' : 'a'} ${what} of ${shown(as(low))} to ${shown(as(high))} ${unit}`

/** Rounding of two whole-degree values and instrument errors; common practice, no source. */
const DEW_POINT_EXCESS_K = 1.5

/**
 * Sets what cannot be (in place) to NaN, brings humidities of 100 to 105 % to 100 %, and drops the direction of calm air.
 * @returns a warning with its line for every value that was taken out
 */
export function checkReports(reports: StationReport[]): Problem[] {
  const problems: Problem[] = []
  for (const report of reports) {
    for (const limit of LIMITS) {
      const value = report[limit.field]
      if (!(value < limit.low || value > limit.high)) continue
      report[limit.field] = Number.NaN
      problems.push(outOfRange(limit, value, report.line))
    }
    if (report.relativeHumidity > 1) report.relativeHumidity = 1
    if (report.windSpeedMps === 0) report.windFromDeg = Number.NaN
    if (report.dewPointK - report.temperatureK > DEW_POINT_EXCESS_K) {
      const message = `a dew point of ${shown(celsiusFromKelvin(report.dewPointK))} °C is above the air temperature of ${shown(celsiusFromKelvin(report.temperatureK))} °C; the dew point is not used`
      problems.push({ code: 'weather-implausible', severity: 'warning', message, line: report.line })
      report.dewPointK = Number.NaN
    }
  }
  return problems
}

function outOfRange(limit: Limit, value: number, line: number): Problem {
  const { what, unit } = limit
  const range = `${shown(limit.shown(limit.low))} to ${shown(limit.shown(limit.high))} ${unit}`
  return {
    code: 'weather-implausible',
    severity: 'warning',
    message: `${what} of ${shown(limit.shown(value))} ${unit}: expected ${range}; this value is not used`,
    line,
    ...(limit.field === 'relativeHumidity' && value > 1.05
      ? { hint: 'Name the column relative_humidity_pct if its values are in per cent.' }
      : {}),
  }
}

const shown = (value: number): string => String(Math.round(value * 10) / 10)
