import type { Outcome, Problem } from '../../base/problem.ts'
import { failed, found } from '../../base/problem.ts'
import { firstOfEach } from '../many.ts'
import { type DatesOfColumn, datesOfColumn } from '../table/dates.ts'
import { readNamedTable, type Table, type TableRow, toNumber } from '../table/table.ts'
import { yesOrNo } from '../table/yes-or-no.ts'
import { zoneOfHeadings } from '../zone-in-heading.ts'
import { timeSpan } from './fill-moments.ts'
import { FILL_RANGES, type FillsColumn, fillsColumn, type QuantityOfFill } from './fills-columns.ts'
import type { FillRow } from './rows.ts'

export interface FillsTable {
  rows: FillRow[]
  /** The header in the file's order, unknown columns included; lower case with underscores. */
  columns: string[]
}

/**
 * Reads a fuel log: a row per fill or charge, in SI units (litres, kg and kWh for what was filled in). An empty cell is
 * NaN or null. A row without a time or an amount is left out with an error.
 * @param text the decoded file
 * @param timeZone IANA name for times without a zone; null: they are taken as UTC, which is told
 * @param days since 1970 on which something was recorded: they tell the order of day and month
 */
export function readFillsTable(text: string, timeZone: string | null, days: number[] = []): Outcome<FillsTable> {
  const { value: table, problems: tableProblems } = readNamedTable(text, { freeText: 'note' })
  if (table === null) return { value: null, problems: tableProblems }
  const { header, headerLine } = table
  const problems: Problem[] = [...tableProblems]
  const { columns, problem: counted } = withOdometer(
    header.map((name, index) => fillsColumn(name, header.indexOf(name) === index)),
    table,
  )
  if (counted) problems.push({ ...counted, line: headerLine })
  for (const { problem } of columns) if (problem) problems.push({ ...problem, line: headerLine })
  const dates = datesOf(table, columns, days)
  if (dates === null) {
    const message = `found the columns ${header.slice(0, 30).join(', ')}, expected one named "time" or "date"`
    return failed({ code: 'fills-no-time-column', message, line: headerLine }, firstOfEach(problems))
  }
  problems.push(...dates.problems.map((problem) => ({ ...problem, line: headerLine })))
  const isUtc = columns.some(({ name, target }) => name === 'time_utc' && target !== null)
  const ofTimes = columns.map(({ target }, i) => (target?.kind === 'time' || target?.kind === 'date' ? i : -1))
  const own = zoneOfHeadings(ofTimes.flatMap((i) => (i < 0 ? [] : table.written[i])))
  const zone = isUtc ? 'UTC' : (own ?? timeZone)
  const unclear = dates.problems.some(({ severity }) => severity === 'error')
  const ticked = isTicked(table, columns)
  if (ticked) problems.push({ ...TICKED, line: headerLine })
  const rows = table.rows.flatMap((row, i) => {
    const span = timeSpan(dates.dates[i], zone)
    const read = readRow(row, columns, table, problems)
    if (span === null) {
      if (!unclear) problems.push(noTime(row, columns, dates.expected))
      return []
    }
    if (read === null) return []
    if (span.doubtful) problems.push({ ...DOUBTFUL, line: row.line })
    const full = ticked ? read.full === true : read.full
    return [{ ...read, full, fromTime: span.from, toTime: span.to }]
  })
  if (mayBeDrives(header, rows)) problems.push({ ...MAY_BE_DRIVES, line: headerLine })
  const zoneless = dates.dates.filter((date) => date.zoneless && !date.dateOnly && !Number.isNaN(date.seconds)).length
  if (zone === null && zoneless > 0) problems.push({ ...zoneAssumed(zoneless), line: headerLine })
  return found({ rows, columns: header }, firstOfEach(problems))
}

/** Whether rows with a setup could be drives as well: no column that only a log has, and no odometer that goes on. */
function mayBeDrives(header: readonly string[], rows: readonly FillRow[]): boolean {
  if (!header.includes('setup') || ['full', 'partial', 'missed', 'pump', 'price'].some((name) => header.includes(name)))
    return false
  if (header.some((name) => /^(?:battery_energy|soc)_/.test(name))) return false
  const odometer = rows.map(({ odometerM }) => odometerM)
  return rows.length > 1 && !odometer.every((one, i) => i === 0 || one > odometer[i - 1])
}

const MAY_BE_DRIVES: Omit<Problem, 'line'> = {
  code: 'fills-or-drives',
  severity: 'warning',
  message: 'read as a fuel log: the amount of a row is taken for what was used since the row before',
  hint: 'If each row is a drive, add a column "track" with the name of its file. If they are fills, add a column "full" with yes or no.',
}

/** Distances since the fill before are shorter than this, m; what stands on an odometer is mostly more. Common practice, no source. */
const LONGEST_TRIP_M = 1e6

/** A column of trips that holds what an odometer shows: every value beyond a tankful's distance, and each more than the one before. */
function withOdometer(
  columns: FillsColumn[],
  { rows, delimiter, written }: Table,
): { columns: FillsColumn[]; problem: Omit<Problem, 'line'> | null } {
  const isNumber = (field: QuantityOfFill) => (column: FillsColumn) =>
    column.target?.kind === 'number' && column.target.field === field
  const at = columns.findIndex(isNumber('tripM'))
  const target = columns[at]?.target
  if (target?.kind !== 'number' || columns.some(isNumber('odometerM'))) return { columns, problem: null }
  const values = rows.flatMap(({ cells }) => {
    const value = toNumber(cells[at], delimiter)
    return value === null || Number.isNaN(value) ? [] : target.convert(value)
  })
  const goesOn = values.every((value, i) => value >= LONGEST_TRIP_M && (i === 0 || value > values[i - 1]))
  if (values.length < 3 || !goesOn) return { columns, problem: null }
  const message = `the column "${written[at]}" is read as the odometer: its values rise from row to row, and are longer than any tank lasts`
  const hint = 'Name it odometer_km or odometer_mi to be sure, or trip_km if it is the distance since the fill before.'
  return {
    columns: columns.with(at, { ...columns[at], target: { ...target, field: 'odometerM' } }),
    problem: { code: 'fills-odometer-taken', severity: 'note', message, hint },
  }
}

const TICKED: Omit<Problem, 'line'> = {
  code: 'fills-full-ticked',
  severity: 'note',
  message: 'the column "full" holds marks and empty cells: an empty one is read as a fill that did not fill the tank',
  hint: 'Write yes into every row where the tank was filled up.',
}

/** Whether full fills are ticked, and partial ones left empty: some cells say yes, the others nothing. */
function isTicked({ rows }: Table, columns: FillsColumn[]): boolean {
  const column = columns.findIndex(({ target }) => target?.kind === 'flag' && target.field === 'full')
  if (column < 0) return false
  const said = rows.map(({ cells }) => (cells[column] === '' ? '' : answerOf(cells[column])))
  return said.includes('') && said.includes(true) && said.every((one) => one === '' || one === true)
}

/** The moments of all rows, from one column or from a date and a time apart; null where there is none. */
function datesOf(table: Table, columns: FillsColumn[], days: number[]): DatesOfColumn | null {
  const indexOf = (kind: 'time' | 'date'): number => columns.findIndex(({ target }) => target?.kind === kind)
  const [date, time] = [indexOf('date'), indexOf('time')]
  if (date < 0 && time < 0) return null
  const cells = (column: number): string[] => table.rows.map((row) => row.cells[column])
  const main = date < 0 ? time : date
  const clocks = date < 0 || time < 0 ? {} : { clocks: cells(time) }
  return datesOfColumn(cells(main), { column: table.written[main], days, ...clocks })
}

/** The report repeats what is written here. */
const LONGEST_TEXT = 1000

function readRow({ line, cells }: TableRow, columns: FillsColumn[], table: Table, problems: Problem[]): FillRow | null {
  const row = emptyFill(line)
  const told = (severity: Problem['severity'], code: string, message: string, hint?: string): void => {
    problems.push({ severity, code, message, line, ...(hint ? { hint } : {}) })
  }
  columns.forEach(({ name, target }, i) => {
    const cell = cells[i]
    if (target === null || cell === '' || target.kind === 'date' || target.kind === 'time') return
    if (target.kind === 'text') row[target.field] = cell.slice(0, LONGEST_TEXT)
    else if (target.kind === 'flag') {
      const said = answerOf(cell)
      if (said === null)
        told(
          'error',
          'fills-not-yes-or-no',
          `${name}: found "${cell.slice(0, 40)}", expected yes or no; taken as empty`,
        )
      else if (target.field === 'partial') row.full ??= isWordForFull(cell) ? said : !said
      else row[target.field] = said
    } else {
      const value = numberIn(cell, name, target, table)
      if (typeof value === 'string') told('error', 'fills-impossible-value', value)
      else if (Number.isNaN(row[target.field])) row[target.field] = value
    }
  })
  if (![row.fuelLitres, row.fuelKg, row.energyKwh, row.batteryEnergyKwh].some((amount) => amount > 0)) {
    const message = 'found no amount, expected one such as fuel_l or energy_kwh; the row is left out'
    told(
      'error',
      'fills-no-amount',
      message,
      'If a fill is missing here, write missed: yes into the row of the next one.',
    )
    return null
  }
  return row
}

function noTime({ line, cells }: TableRow, columns: FillsColumn[], expected: string): Problem {
  const written = columns.flatMap(({ target }, i) =>
    target?.kind === 'date' || target?.kind === 'time' ? cells[i] : [],
  )
  const message = `found "${written.join(' ').trim().slice(0, 40)}", expected ${expected}; the row is left out`
  return { code: 'fills-no-time', severity: 'error', message, line }
}

const DOUBTFUL = {
  code: 'time-doubtful',
  severity: 'warning' as const,
  message: 'clocks in this time zone showed this time twice or never, because of summer time',
}

const zoneAssumed = (count: number): Problem => ({
  code: 'fills-zone-assumed',
  severity: 'warning',
  message: `${count === 1 ? 'a time has' : `${count} times have`} no zone and campaign.yaml names no time_zone: taken as UTC`,
  hint: 'Write time_zone: with a name such as Europe/Vienna into campaign.yaml.',
})

const FULL = /^(full|f|voll)$/i
const PARTIAL = /^(partial|part|p|teil)$/i

/** Words that say how full the tank was, in whatever column they stand. */
const isWordForFull = (cell: string): boolean => FULL.test(cell) || PARTIAL.test(cell)

/** Yes, no, full, partial and their like; null for anything else. */
const answerOf = (cell: string): boolean | null => (isWordForFull(cell) ? FULL.test(cell) : yesOrNo(cell))

function numberIn(
  cell: string,
  name: string,
  { field, convert }: { field: QuantityOfFill; convert: (value: number) => number },
  table: Table,
): number | string {
  const written = toNumber(cell, table.delimiter)
  if (written === null) return `${name}: found "${cell.slice(0, 40)}", expected a number; the cell is taken as empty`
  if (Number.isNaN(written)) return written
  const value = convert(written)
  const { min, max, says } = FILL_RANGES[field]
  const slack = 1e-9 * Math.max(Math.abs(min), Math.abs(max))
  if (value >= min - slack && value <= max + slack) return value
  return `${name}: found ${cell}, expected ${says}; the cell is taken as empty`
}

function emptyFill(line: number): FillRow {
  const numbers = Object.fromEntries(Object.keys(FILL_RANGES).map((field) => [field, Number.NaN])) as Record<
    QuantityOfFill,
    number
  >
  return {
    line,
    file: null,
    fromTime: Number.NaN,
    toTime: Number.NaN,
    full: null,
    missed: null,
    pump: null,
    setup: null,
    price: null,
    note: null,
    photo: null,
    ...numbers,
  }
}
