import type { Outcome, Problem } from '../../base/problem.ts'
import { failed, found } from '../../base/problem.ts'
import type { Instant } from '../instant.ts'
import { firstOfEach } from '../many.ts'
import { type Clock, type Moment, momentReader, standardOffsetS } from '../moments.ts'
import { type DatesOfColumn, datesOfColumn } from '../table/dates.ts'
import { isWeatherField, quantityOf } from '../table/quantities.ts'
import { ourHeaderNames, readNamedTable, type Table, type TableRow } from '../table/table.ts'
import { zoneOf } from '../time-zone.ts'
import type { Observations } from '../types.ts'
import { zoneOfHeadings } from '../zone-in-heading.ts'
import { decodeMetar } from './metar/metar-groups.ts'
import { type ObservationColumns, observationColumns } from './observation-columns.ts'
import { type PlacedReport, reportOfRow } from './observation-row.ts'
import { checkReports } from './plausible.ts'
import { weatherReader } from './reader.ts'
import { isDwdHeader, withoutDwdForms } from './services/dwd-table.ts'
import { observationsOf } from './station-reports.ts'
import { placeStations } from './stations/table-stations.ts'

export interface ObservationTableContext {
  /** IANA name from the campaign, for times without a zone; null when it names none. */
  timeZone: string | null
  /** Stands for the station's name in a table that has none. */
  fileName: string
  /** Days since 1970 of the drives: they tell the order of day and month. */
  days?: readonly number[]
}

/**
 * Reads a table with one weather observation per row; a column's name says its quantity and unit. Also the answers of
 * the Iowa Environmental Mesonet's "asos" service, whose METAR column fills in what its decoded columns leave out, and
 * the station tables of the German weather service.
 * Bare times need a zone: from the table itself, or else from the campaign.
 */
export function readObservationTable(text: string, context: ObservationTableContext): Outcome<Observations> {
  const { value: read, problems: tableProblems } = readNamedTable(text)
  if (!read) return { value: null, problems: tableProblems }
  const table = withoutDwdForms(read)
  const { columns, problems: columnProblems } = observationColumns(table)
  const problems = [...tableProblems, ...columnProblems]
  const missing = missingColumn(columns, table)
  if (missing) return failed(missing, firstOfEach(problems))

  const { dates: instants, problems: dateProblems, expected } = timesOf(table, columns, context.days)
  const unclear = dateProblems.some(({ severity }) => severity === 'error')
  problems.push(...dateProblems.map((problem) => ({ ...problem, line: table.headerLine })))
  const clock = clockOf(table, columns, instants, context.timeZone)
  problems.push(...clockProblems(clock, instants, table.rows, context.timeZone))
  const momentOf = clock.zone === null ? null : momentReader(clock.zone)
  const placed: PlacedReport[] = []
  for (const [i, row] of table.rows.entries()) {
    const seconds = timeOf(instants[i], momentOf, problems, row.line, unclear ? null : { row, columns, expected })
    if (!Number.isNaN(seconds)) placed.push(reportOfRow(row, columns, table.delimiter, seconds, problems))
  }
  if (placed.length === 0) return failed(noRows(table), withoutNotes(firstOfEach(problems)))
  const stations = placeStations(placed, columns.station >= 0, context.fileName, problems)
  const reports = placed.map(({ report }) => report)
  for (const problem of checkReports(reports)) problems.push(problem)
  return found(observationsOf(stations, reports), firstOfEach(problems))
}

const TIME_COLUMN = /^(time|valid(\(.*\))?|utc|date|timestamp|date_?time|(time|date|valid|datetime)_.*|.*_(time|utc))$/

/** Also a name whose unit is missing or wrong: the reader of the table then says so. */
const WEATHER_NAME =
  /^(air_)?(temp|temperature|dew_?point|humidity|pressure|altimeter|wind|gust|precipitation|rain)(_|$)/

function isWeather(name: string): boolean {
  if (name === 'metar' || name === 'road_wet' || WEATHER_NAME.test(name)) return true
  const quantity = quantityOf(name)
  return quantity !== null && isWeatherField(quantity.field)
}

/** Tables whose columns' names say quantity and unit, and those of services that have names of their own. */
export const observationTableReader = weatherReader({
  kind: 'observation-table',
  recognises: (head) => {
    const names = ourHeaderNames(head)
    return isDwdHeader(names) || (names.some((name) => TIME_COLUMN.test(name)) && names.some(isWeather))
  },
  dependsOn: ['timeZone', 'fileName', 'days'],
  read: (text, context) => {
    const { value, problems } = readObservationTable(text, context)
    return { value, problems: value ? [...problems, ...missingQuantities(text, value, problems)] : problems }
  },
  format: {
    name: 'CSV',
    holds:
      "separated by `,` `;` or tab (a first line `sep=;` may say so), a decimal comma where the separator is another; a row per observation, with columns as in the table below. Also the German weather service's hourly and ten-minute station tables (`STATIONS_ID;MESS_DATUM;…`; where the station is stands in the metadata of their ZIPs, or write it in `campaign.yaml`), and tab-separated airport tables with `station`, `valid`, `tmpf`, `drct`, `sknt`, `p01i`, `alti`, `metar` … columns.",
  },
})

const withoutNotes = (problems: Problem[]): Problem[] => problems.filter(({ code }) => code !== 'table-no-rows')

const columnsSeen = ({ header }: Table): string =>
  `The columns are: ${header.slice(0, 30).join(', ')}${header.length > 30 ? ', …' : ''}.`

function missingColumn({ time, quantities, metar }: ObservationColumns, table: Table) {
  const { headerLine } = table
  const seen = columnsSeen(table)
  if (time < 0) {
    const message = 'this weather table has no column of times; one named "time" was expected'
    return { code: 'weather-time-column-missing', message, line: headerLine, hint: seen }
  }
  const says = quantities.some(({ quantity }) => isWeatherField(quantity.field))
  if (says || metar >= 0) return null
  const message = 'no column of this table holds a weather quantity with its unit, such as temperature_c'
  return { code: 'weather-nothing-observed', message, line: headerLine, hint: seen }
}

/** What the demand cannot be computed without, and how a column of it is named. */
const NEEDED = [
  { fields: ['windSpeedMps'], code: 'weather-wind-missing', noun: 'wind speed', example: 'wind_speed_kmh' },
  {
    fields: ['temperatureK', 'temperatureStepK'],
    code: 'weather-temperature-missing',
    noun: 'temperature',
    example: 'temperature_c',
  },
] as const

/** A warning for wind or temperature without a column; none where its column's unit was told already. */
function missingQuantities(text: string, value: Observations, told: Problem[]): Problem[] {
  const lacking = NEEDED.filter(({ fields }) => value[fields[0]].every((one) => Number.isNaN(one)))
  if (lacking.length === 0 || told.some(({ code }) => code === 'weather-unit-unknown')) return []
  const read = readNamedTable(text).value
  if (!read) return []
  const table = withoutDwdForms(read)
  const { quantities } = observationColumns(table).columns
  const held = new Set<string>(quantities.map(({ quantity }) => quantity.field))
  return lacking
    .filter(({ fields }) => !fields.some((field) => held.has(field)))
    .map(({ code, noun, example }) => ({
      code,
      severity: 'warning',
      message: `this weather table has no column of ${noun}; one such as ${example} was expected`,
      line: table.headerLine,
      hint: columnsSeen(table),
    }))
}

/** The times of all rows; a day without a time of day is no observation's. */
function timesOf(table: Table, { time, date }: ObservationColumns, days: readonly number[] = []): DatesOfColumn {
  const cells = (column: number): string[] => table.rows.map((row) => row.cells[column])
  const main = date < 0 ? time : date
  const clocks = date < 0 ? {} : { clocks: cells(time) }
  const read = datesOfColumn(cells(main), { column: table.written[main] ?? table.header[main], days, ...clocks })
  const dates = read.dates.map((one) => (one.dateOnly ? { ...one, seconds: Number.NaN } : one))
  return { ...read, dates }
}

const timeText = ({ cells }: TableRow, { time, date }: ObservationColumns): string =>
  date < 0 ? cells[time] : `${cells[date]}T${cells[time]}`

/** Finds whose clock the bare times show: the table's own word first, then its METAR reports, then the campaign. */
function clockOf(table: Table, columns: ObservationColumns, instants: Instant[], timeZone: string | null): Clock {
  if (columns.timeIsUtc) return { zone: 'UTC', from: 'column name' }
  const named = zoneOfHeadings([table.written[columns.time], table.written[columns.date]])
  if (named !== null) return { zone: named, from: 'column name' }
  const stated = table.comments.map((line) => /time zone\s*(?:->|:|=)\s*(\S+)/i.exec(line)?.[1]).find(Boolean)
  const zone = stated === undefined ? null : zoneOf(stated)
  if (zone !== null) return { zone, from: 'comment' }
  if (agreesWithMetars(table, columns, instants)) return { zone: 'UTC', from: 'METAR column' }
  if (timeZone !== null) return { zone: zoneOf(timeZone), from: 'campaign' }
  return { zone: null, from: 'nothing' }
}

/** METAR times are UTC, so bare times that equal them are too. */
function agreesWithMetars({ rows }: Table, { metar }: ObservationColumns, instants: Instant[]): boolean {
  if (metar < 0) return false
  let agree = 0
  let differ = 0
  for (const [i, row] of rows.entries()) {
    const groups = decodeMetar(row.cells[metar])
    if (!groups || !instants[i].zoneless) continue
    const date = new Date(instants[i].seconds * 1000)
    if (date.getUTCDate() === groups.day && date.getUTCHours() === groups.hour) agree++
    else differ++
  }
  return agree > 9 * differ
}

function clockProblems(clock: Clock, instants: Instant[], rows: TableRow[], timeZone: string | null): Problem[] {
  const first = instants.findIndex(({ seconds, zoneless }) => zoneless && !Number.isNaN(seconds))
  if (first < 0) return []
  const { line } = rows[first]
  if (clock.zone === null) {
    const reason = timeZone === null ? 'names no time_zone' : `names the time_zone "${timeZone}", which is not known`
    const message = `the times, from here on, have no zone, and the campaign ${reason}; these rows are left out`
    const hint = 'Write times as 2021-04-26T12:00:00Z or with an offset, or set time_zone in campaign.yaml.'
    return [{ code: 'time-zone-missing', severity: 'error', message, line, hint }]
  }
  const source = clock.from === 'campaign' ? "the campaign's time_zone" : `the ${clock.from} of the table`
  const isSummer = showsSummerTime(instants, clock.zone)
  const message = `times without a zone are read as ${clock.zone}${isSummer ? ', with its summer time' : ''}, by ${source}`
  const hint =
    'A table that keeps standard time all the year round needs times in UTC or with their offset, a heading "time (UTC-5)", or a line "# time zone: Etc/GMT+5" before its header (five hours behind UTC, the sign turned round).'
  return [{ code: 'time-zone-assumed', severity: 'note', message, line, ...(isSummer ? { hint } : {}) }]
}

/** Whether the first or the last of the times lies in the zone's summer time. */
function showsSummerTime(instants: Instant[], zone: string): boolean {
  const read = instants.filter(({ seconds, zoneless }) => zoneless && !Number.isNaN(seconds))
  const momentOf = momentReader(zone)
  return [read.at(0), read.at(-1)].some(
    (instant) => instant && instant.seconds - momentOf(instant).seconds > standardOffsetS(zone),
  )
}

/**
 * Seconds since 1970, or NaN with the reason among the problems.
 * @param written the row, whose time is told where it cannot be read; null where that is told of the whole column
 */
function timeOf(
  instant: Instant,
  momentOf: ((instant: Instant) => Moment) | null,
  problems: Problem[],
  line: number,
  written: { row: TableRow; columns: ObservationColumns; expected: string } | null,
): number {
  if (Number.isNaN(instant.seconds)) {
    if (written === null) return Number.NaN
    const message = `"${timeText(written.row, written.columns).slice(0, 40)}" is not ${written.expected}; the row is left out`
    problems.push({ code: 'weather-time-unreadable', severity: 'error', message, line })
    return Number.NaN
  }
  if (!instant.zoneless) return instant.seconds
  if (momentOf === null) return Number.NaN
  const { seconds, doubtful } = momentOf(instant)
  if (doubtful) {
    const message = 'clocks in this time zone showed this time twice or never, because of summer time'
    problems.push({ code: 'time-doubtful', severity: 'warning', message, line })
  }
  return seconds
}

function noRows({ rows, headerLine }: Table) {
  const message =
    rows.length === 0 ? 'this weather table has no rows' : `none of the ${rows.length} rows of this table could be used`
  return { code: 'weather-no-rows', message, line: headerLine }
}
