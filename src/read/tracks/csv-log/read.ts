import { failed, found, type Outcome, type Problem } from '../../../base/problem.ts'
import { ownText } from '../../gpx/values.ts'
import { firstOfEach } from '../../many.ts'
import { type Delimiter, type Table, toNumber } from '../../table/table.ts'
import { rowsOfText } from '../../table/table-rows.ts'
import { LOGGED_QUANTITIES, type LoggedColumns, type TrackColumns, type TrackFile } from '../../types.ts'
import { type GrowingValues, growing, pushed, trimmed } from '../growing.ts'
import { trackReader } from '../reader.ts'
import { type LogClock, logClock, logComments } from './clock.ts'
import { type LogColumn, type LogField, type LogHeader, logHeader } from './columns.ts'
import { guessNote, odometerUnit, speedUnit, usualUnit } from './guesses.ts'
import { angleOf, angleScale, areExchanged, inDegrees } from './position.ts'
import { isLogTable } from './recognised.ts'
import { inPieces } from './rows.ts'

/** A column while it is read: numbers as written, with the cells that were none. */
interface Reading {
  column: LogColumn
  values: GrowingValues
  unreadable: { count: number; line: number; sample: string }
}

interface Scan {
  header: LogHeader
  headerLine: number
  clock: LogClock
  delimiter: Delimiter
  time: GrowingValues
  timeUnreadable: Reading['unreadable']
  readings: Reading[]
  problems: Problem[]
}

/** Fields whose cells say when, or on which side: no column of numbers of their own. */
const NOT_NUMBERS: readonly LogField[] = ['time', 'epoch', 'elapsed', 'date', 'clock', 'northSouth', 'eastWest']

/**
 * Reads a log with named columns: a row for each moment with its time, its position and whatever the logger wrote beside it.
 * Units stand in the names (`speed_kmh`, `Odo(km)`); where a name has none, the unit that fits the positions or the values
 * is taken and told.
 * @param text the decoded file
 */
export function readCsvLog(text: string): Outcome<TrackFile> {
  let scan: Scan | null = null
  let refusal: Omit<Problem, 'severity'> | null = null
  const early: Problem[] = []
  inPieces(text, (table, problems) => {
    if (scan === null) {
      const begun = begin(table, text)
      early.push(...problems)
      if ('code' in begun) refusal = { ...begun, line: begun.line ?? table.headerLine }
      else scan = begun
    } else scan.problems.push(...problems)
    if (scan !== null) for (const row of table.rows) addRow(scan, row.cells, row.line)
    return scan !== null
  })
  if (scan === null) return failed(refusal ?? NO_TABLE, firstOfEach(early))
  return finished(scan, early)
}

const NO_TABLE = { code: 'table-empty', message: 'no header line was found in this log' }

function begin(table: Table, text: string): Scan | (Omit<Problem, 'severity'> & { line?: number }) {
  const header = logHeader(namesAsWritten(table, text))
  const clock = logClock(
    header,
    table.rows.slice(0, 2000).map(({ cells }) => cells),
    logComments(table.comments),
  )
  if ('code' in clock) return clock
  const columns = Object.values(header.columns).filter(({ field }) => !NOT_NUMBERS.includes(field))
  return {
    header,
    headerLine: table.headerLine,
    clock,
    delimiter: table.delimiter,
    time: growing(),
    timeUnreadable: { count: 0, line: 0, sample: '' },
    readings: columns.map((column) => ({
      column,
      values: growing(),
      unreadable: { count: 0, line: 0, sample: '' },
    })),
    problems: [...clock.notes],
  }
}

/** Names with their capitals, from the header's line itself. */
function namesAsWritten({ header, headerLine, delimiter }: Table, text: string): string[] {
  const line = text.replace(/^\uFEFF/, '').split(/\r\n?|\n/, headerLine)[headerLine - 1] ?? ''
  const cells = rowsOfText(line, delimiter)[0]?.cells ?? []
  return header.map((name, i) => ownText((cells[i] ?? name).trim().slice(0, 200)))
}

function addRow(scan: Scan, cells: string[], line: number): void {
  const seconds = scan.clock.read(cells)
  if (Number.isNaN(seconds)) count(scan.timeUnreadable, line, cells.slice(0, 3).join(' '))
  pushed(scan.time, seconds)
  for (const { column, values, unreadable } of scan.readings) {
    const cell = cells[column.place]
    const value = column.dimension === 'angle' ? angleIn(scan, column, cells) : toNumber(cell, scan.delimiter)
    if (value === null) count(unreadable, line, cell)
    pushed(values, value ?? Number.NaN)
  }
}

/** An angle with the letter that a column of its own may hold; null for what is none. */
function angleIn({ header, delimiter }: Scan, { field, place }: LogColumn, cells: string[]): number | null {
  const written = cells[place]
  if (/^(|-+|na|n\/a|nan|null|none)$/i.test(written)) return Number.NaN
  const side = header.columns[field === 'latitude' ? 'northSouth' : 'eastWest']
  const value = angleOf(delimiter === ',' ? written : written.replace(',', '.'))
  if (Number.isNaN(value)) return null
  return side && /^[sw]/i.test(cells[side.place]) ? -Math.abs(value) : value
}

function count(tally: Reading['unreadable'], line: number, sample: string): void {
  if (tally.count++ > 0) return
  tally.line = line
  tally.sample = ownText(sample.slice(0, 40))
}

function finished(scan: Scan, early: Problem[]): Outcome<TrackFile> {
  const problems = [...firstOfEach([...early, ...scan.problems]), ...unreadableCells(scan)]
  const valuesOf = new Map(scan.readings.map(({ column, values }) => [column.field, trimmed(values)]))
  const nothing = (): Float64Array => new Float64Array(scan.time.count).fill(Number.NaN)
  const [north, east] = [valuesOf.get('latitude') ?? nothing(), valuesOf.get('longitude') ?? nothing()]
  if (areExchanged(north, east)) return failed(exchanged(scan, north), problems)
  const scale = angleScale(north, east)
  const rows = {
    time: trimmed(scan.time),
    latitude: scale === 'degrees' ? north : north.map((value) => inDegrees(value, scale)),
    longitude: east.map((value) => inDegrees(value, scale)),
  }
  const convert = unitsOf(scan, valuesOf, rows, problems)
  const logged: LoggedColumns = {}
  for (const quantity of LOGGED_QUANTITIES) {
    const column = scan.header.columns[quantity]
    const values = valuesOf.get(quantity)
    const of = convert.get(quantity)
    if (column && values && of) logged[quantity] = { values: values.map(of), name: column.name }
  }
  const elevation = valuesOf.get('elevation')
  const toMetres = convert.get('elevation')
  if (scan.clock.zoneless) problems.push(zoneless(scan.clock.names, rows.time.length))
  problems.push(...notRead(scan.header.others))
  const track: TrackColumns = {
    name: null,
    index: 1,
    ...rows,
    elevation: elevation && toMetres ? elevation.map(toMetres) : nothing(),
    logged,
    segmentStart: Uint32Array.of(0),
    zonelessTimes: scan.clock.zoneless ? rows.time.length : 0,
  }
  const tracks = rows.time.length > 0 ? [track] : []
  const file: TrackFile = { format: 'csv-log', version: null, creator: null, tracks, waypoints: [], routeCount: 0 }
  return found(file, problems)
}

function exchanged({ header, headerLine }: Scan, north: Float64Array): Omit<Problem, 'severity'> {
  const message = `found ${north.find((value) => Math.abs(value) > 90)} in the column "${header.columns.latitude?.name}", expected degrees north from -90 to 90: latitude and longitude are exchanged`
  const hint = 'Exchange the two names in the header.'
  return { code: 'log-places-exchanged', message, hint, line: headerLine }
}

/** What makes each column's numbers the unit of its quantity; columns without a unit that can be told have none. */
function unitsOf(
  { readings, header }: Scan,
  valuesOf: Map<LogField, Float64Array>,
  rows: Parameters<typeof speedUnit>[1],
  problems: Problem[],
): Map<LogField, (value: number) => number> {
  const units = new Map<LogField, (value: number) => number>()
  let imperial = Object.values(header.columns).some(({ unit }) => /^(mph|mi|miles|°?f|degf|ft|feet)$/.test(unit ?? ''))
  // The speed's unit first: it tells in which system the others are written.
  const order = readings
    .map(({ column }) => column)
    .sort((a, b) => Number(b.field === 'speedMps') - Number(a.field === 'speedMps'))
  for (const column of order) {
    const { field, dimension, convert, name } = column
    if (dimension === null || dimension === 'angle') continue
    if (convert) {
      units.set(field, convert)
      continue
    }
    const values = valuesOf.get(field) ?? new Float64Array(0)
    if (values.every(Number.isNaN)) continue
    const guessed =
      field === 'speedMps'
        ? speedUnit(values, rows)
        : field === 'odometerM'
          ? odometerUnit(values, rows)
          : usualUnit(column, values, imperial)
    if (guessed === null) {
      problems.push(unitMissing(name))
      continue
    }
    if (field === 'speedMps') imperial ||= guessed.unit === 'mph'
    units.set(field, guessed.convert)
    if (guessed.because !== '') problems.push(guessNote(name, guessed))
  }
  return units
}

const unitMissing = (name: string): Problem => ({
  code: 'log-unit-missing',
  severity: 'warning',
  message: `the column "${name}" names no unit, and none can be told from its values; it is not used`,
  hint: `Write the unit into the name, such as "${name} (km/h)" or "${name} (l/h)".`,
})

function unreadableCells({ readings, timeUnreadable, time, clock }: Scan): Problem[] {
  const told = readings
    .filter(({ unreadable }) => unreadable.count > 0)
    .map(({ column, unreadable: { count: cells, line, sample } }): Problem => {
      const expected = column.dimension === 'angle' ? 'an angle such as 34.1881 or 34 11.28809' : 'a number'
      const message = `${cells} of ${time.count} cells of the column "${column.name}" cannot be read; the first is "${sample}", expected ${expected}`
      return { code: 'log-cell-unreadable', severity: 'warning', message, line }
    })
  if (timeUnreadable.count === 0) return told
  const message = `${timeUnreadable.count} of ${time.count} rows have no readable time in ${clock.names.map((name) => `"${name}"`).join(' and ')}; the first begins with "${timeUnreadable.sample}"`
  return [...told, { code: 'time-unreadable', severity: 'warning', message, line: timeUnreadable.line }]
}

const zoneless = (names: string[], rows: number): Problem => ({
  code: 'time-without-zone',
  severity: 'warning',
  message: `${rows} rows with a time that names no zone (${names.join(', ')}), read as UTC`,
  hint: 'Are they UTC? Then call the column "time (UTC)". Are they local? Then write time_zone: with a name such as Europe/Vienna into campaign.yaml, or the zone into the heading: "time (CET)".',
})

function notRead(others: string[]): Problem[] {
  if (others.length === 0) return []
  const named = `${others.slice(0, 12).join(', ')}${others.length > 12 ? ', …' : ''}`
  const message = `${others.length} column${others.length === 1 ? ' is' : 's are'} not read: ${named}`
  return [{ code: 'log-columns-not-read', severity: 'note', message }]
}

export const csvLogReader = trackReader({
  kind: 'csv-log',
  recognises: ({ head }) => isLogTable(head),
  read: readCsvLog,
  format: {
    name: 'CSV log',
    holds:
      'a row for each moment, with columns for time, latitude and longitude and whatever else was logged, as in the table below; told from a weather table by its positions, which change from row to row.',
  },
})
