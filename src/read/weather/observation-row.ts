import type { Problem } from '../../base/problem.ts'
import { numberInCell } from '../table/cell-number.ts'
import type { Delimiter, TableRow } from '../table/table.ts'
import { wetOrDry } from '../table/yes-or-no.ts'
import type { Measured } from '../types.ts'
import { decodeMetar, METAR_MEASURED, type MetarGroups } from './metar/metar-groups.ts'
import type { ObservationColumns } from './observation-columns.ts'
import { impossibleCell } from './plausible.ts'
import { emptyStationReport, type StationReport } from './station-reports.ts'

/** A row of a weather table: what was observed and where. */
export interface PlacedReport {
  report: StationReport
  /** Degrees, NaN when the row does not say. */
  latitudeDeg: number
  longitudeDeg: number
  elevationM: number
  anemometerHeightM: number
}

type Place = Omit<PlacedReport, 'report'>

const isPlace = (field: string): field is keyof Place =>
  field === 'latitudeDeg' || field === 'longitudeDeg' || field === 'elevationM' || field === 'anemometerHeightM'

/**
 * Turns a row into a report. A cell that cannot be read is missing, and a warning with its line is added to `problems`.
 * @param seconds the row's time, since 1970 UTC
 */
export function reportOfRow(
  { line, cells }: TableRow,
  columns: ObservationColumns,
  delimiter: Delimiter,
  seconds: number,
  problems: Problem[],
): PlacedReport {
  const { NaN: unknown } = Number
  const report = emptyStationReport(columns.station < 0 ? '' : cells[columns.station], seconds, line)
  const place: Place = { latitudeDeg: unknown, longitudeDeg: unknown, elevationM: unknown, anemometerHeightM: unknown }
  for (const { index, name, quantity } of columns.quantities) {
    const { field } = quantity
    const cell = cells[index]
    if (field === 'windFromDeg' && /^(vrb|variable)$/i.test(cell)) report.windVariable = true
    const number = isWord(field, cell) ? wordValue(field) : numberInCell(cell, delimiter, quantity.unit)
    if (number === null) problems.push(unreadable(name, cell, line))
    const value = quantity.convert(number ?? unknown)
    if (isPlace(field)) place[field] = value
    // Two columns of one quantity: the first that says something counts.
    else if (Number.isNaN(report[field as Measured])) {
      const impossible = impossibleCell(field as Measured, value, `${name}: found ${cell.slice(0, 40)}`, line)
      if (impossible) problems.push(impossible)
      else report[field as Measured] = value
      if (field === 'precipitationMm') report.rainIsHourlyTotal = HOURLY_TOTALS.includes(name)
    }
  }
  if (columns.roadWet >= 0) report.roadWet = wetness(cells[columns.roadWet], line, problems)
  if (columns.presentWeather >= 0) report.presentWeather = presentWeather(cells[columns.presentWeather])
  const groups = columns.metar < 0 ? null : decodeMetar(cells[columns.metar])
  if (groups) fillFrom(report, groups)
  return { report, ...place }
}

/** Totals since the last routine hourly report. @source Iowa Environmental Mesonet, ASOS download, variable p01i */
const HOURLY_TOTALS: readonly string[] = ['p01i', 'p01m']

/** A trace of precipitation (T) and a variable direction are words in columns of numbers. */
const isWord = (field: string, cell: string): boolean =>
  (field === 'precipitationMm' && /^t(race)?$/i.test(cell)) ||
  (field === 'windFromDeg' && /^(vrb|variable|calm)$/i.test(cell))

const wordValue = (field: string): number => (field === 'precipitationMm' ? 0 : Number.NaN)

/** A METAR column adds to decoded columns that are empty. */
function fillFrom(report: StationReport, groups: MetarGroups): void {
  if (Number.isNaN(report.precipitationMm)) report.rainIsHourlyTotal = true
  for (const field of METAR_MEASURED) {
    if (field === 'windFromDeg' && report.windSpeedMps === 0) continue
    if (Number.isNaN(report[field])) report[field] = groups[field]
  }
  report.temperatureStepK = Number.isNaN(report.temperatureK) ? Number.NaN : groups.temperatureStepK
  report.windVariable ||= groups.windVariable
  report.presentWeather ??= groups.presentWeather
}

const presentWeather = (cell: string): string | null => (/^(|m|na|null)$/i.test(cell) ? null : cell)

function wetness(cell: string, line: number, problems: Problem[]): number {
  const isWet = wetOrDry(cell)
  if (isWet !== null) return isWet ? 1 : 0
  if (!/^(|m|na|null|-)$/i.test(cell))
    problems.push(unreadable('road_wet', cell, line, 'wet or dry, yes or no, 1 or 0'))
  return Number.NaN
}

function unreadable(column: string, cell: string, line: number, expected = 'a number'): Problem {
  const message = `"${cell.slice(0, 40)}" in the column "${column}" could not be read; expected ${expected}`
  return { code: 'weather-cell-unreadable', severity: 'warning', message, line }
}
