import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { type DateCell, type DatesOfColumn, datesOfColumn } from './dates.ts'
import { firstOfEach } from './many.ts'
import { nearestWord } from './nearest-word.ts'
import { type QuantityField, quantityOf, unitsFor } from './quantities.ts'
import { readNamedTable, type Table, type TableRow, toNumber } from './table.ts'
import type { FillRow } from './types.ts'
import { momentReader } from './weather/clock.ts'

export interface FillsTable {
  rows: FillRow[]
  /** The header in the file's order, unknown columns included; lower case with underscores. */
  columns: string[]
}

type NumberField = { [K in keyof FillRow]: FillRow[K] extends number ? K : never }[keyof FillRow]
type QuantityOfFill = Exclude<NumberField, 'line' | 'fromTime' | 'toTime'>
type TextField = 'pump' | 'setup' | 'price' | 'note' | 'photo'

/** What a value can be, in the unit of its field; outside it is a slip of unit or decimal point. Common practice, no source. */
const RANGES: Record<QuantityOfFill, { min: number; max: number; says: string; usual: string }> = {
  odometerM: { min: 0, max: 4e9, says: '0 to 4000000 km', usual: 'odometer_km' },
  tripM: { min: 10, max: 1e7, says: '0.01 to 10000 km', usual: 'trip_km' },
  fuelLitres: { min: 0.01, max: 2000, says: '0.01 to 2000 litres', usual: 'fuel_l' },
  fuelKg: { min: 0.01, max: 2000, says: '0.01 to 2000 kg', usual: 'fuel_kg' },
  energyKwh: { min: 0.01, max: 5000, says: '0.01 to 5000 kWh', usual: 'energy_kwh' },
  batteryEnergyKwh: { min: 0.01, max: 5000, says: '0.01 to 5000 kWh', usual: 'battery_energy_kwh' },
  fuelTemperatureK: { min: 223.15, max: 343.15, says: '-50 to 70 °C', usual: 'fuel_temperature_c' },
  socBefore: { min: 0, max: 1, says: '0 to 100 %', usual: 'soc_before_pct' },
  socAfter: { min: 0, max: 1, says: '0 to 100 %', usual: 'soc_after_pct' },
}
const TEXTS: readonly TextField[] = ['pump', 'setup', 'price', 'note', 'photo']
const TIMES = ['time', 'date', 'date_time', 'datetime', 'timestamp', 'time_utc']
/** `partial` says the opposite of `full`. */
const FLAGS = ['full', 'partial', 'missed'] as const
const AMOUNTS: QuantityField[] = ['fuelLitres', 'fuelKg', 'energyKwh', 'batteryEnergyKwh']

/**
 * Whether a header is that of a fuel log: a time or a date, and an amount or an odometer; no track, no place, no weather.
 * @param names as `headerNames` gives them
 */
export function isFillsHeader(names: readonly string[]): boolean {
  const fields = names.flatMap((name) => quantityOf(name)?.field ?? [])
  const has = (...wanted: string[]): boolean => fields.some((field) => wanted.includes(field))
  if (!names.some((name) => TIMES.includes(name)) || names.includes('track')) return false
  if (has('windSpeedMps', 'windFromDeg', 'relativeHumidity', 'altimeterPa', 'seaLevelPressurePa')) return false
  if (
    has('latitudeDeg') &&
    !names.some((name) => name === 'full' || name === 'partial' || name === 'price' || name === 'pump')
  )
    return false
  return has(...AMOUNTS) || (has('odometerM') && names.length > 2 && !names.includes('speed'))
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
  const columns = header.map((name, index) => columnOf(name, header.indexOf(name) === index))
  for (const { problem } of columns) if (problem) problems.push({ ...problem, line: headerLine })
  const dates = datesOf(table, columns, days)
  if (dates === null) {
    const message = `found the columns ${header.slice(0, 30).join(', ')}, expected one named "time" or "date"`
    return failed({ code: 'fills-no-time-column', message, line: headerLine }, firstOfEach(problems))
  }
  problems.push(...dates.problems.map((problem) => ({ ...problem, line: headerLine })))
  const isUtc = columns.some(({ name, target }) => name === 'time_utc' && target !== null)
  const zone = isUtc ? 'UTC' : timeZone
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

const TICKED: Omit<Problem, 'line'> = {
  code: 'fills-full-ticked',
  severity: 'note',
  message: 'the column "full" holds marks and empty cells: an empty one is read as a fill that did not fill the tank',
  hint: 'Write yes into every row where the tank was filled up.',
}

/** Whether full fills are ticked, and partial ones left empty: some cells say yes, the others nothing. */
function isTicked({ rows }: Table, columns: Column[]): boolean {
  const column = columns.findIndex(({ target }) => target?.kind === 'flag' && target.field === 'full')
  if (column < 0) return false
  const said = rows.map(({ cells }) => (cells[column] === '' ? '' : yesOrNo(cells[column])))
  return said.includes('') && said.includes(true) && said.every((one) => one === '' || one === true)
}

/** The moments of all rows, from one column or from a date and a time apart; null where there is none. */
function datesOf(table: Table, columns: Column[], days: number[]): DatesOfColumn | null {
  const indexOf = (kind: 'time' | 'date'): number => columns.findIndex(({ target }) => target?.kind === kind)
  const [date, time] = [indexOf('date'), indexOf('time')]
  if (date < 0 && time < 0) return null
  const cells = (column: number): string[] => table.rows.map((row) => row.cells[column])
  const main = date < 0 ? time : date
  const clocks = date < 0 || time < 0 ? {} : { clocks: cells(time) }
  return datesOfColumn(cells(main), { column: table.written[main], days, ...clocks })
}

type Target =
  | { kind: 'time' }
  | { kind: 'date' }
  | { kind: 'text'; field: TextField }
  | { kind: 'flag'; field: (typeof FLAGS)[number] }
  | { kind: 'number'; field: QuantityOfFill; convert: (value: number) => number }

interface Column {
  name: string
  target: Target | null
  problem: Omit<Problem, 'line'> | null
}

function columnOf(name: string, isFirst: boolean): Column {
  const as = (target: Target): Column => ({ name, target, problem: null })
  if (!isFirst || name === '') return { name, target: null, problem: null }
  if (name === 'date') return as({ kind: 'date' })
  if (TIMES.includes(name)) return as({ kind: 'time' })
  if ((TEXTS as readonly string[]).includes(name)) return as({ kind: 'text', field: name as TextField })
  const flag = FLAGS.find((known) => known === name)
  if (flag) return as({ kind: 'flag', field: flag })
  const quantity = quantityOf(name)
  if (quantity && Object.hasOwn(RANGES, quantity.field)) {
    return as({ kind: 'number', field: quantity.field as QuantityOfFill, convert: quantity.convert })
  }
  return { name, target: null, problem: unknownColumn(name) }
}

function unknownColumn(name: string): Omit<Problem, 'line'> {
  if (quantityOf(name) !== null) {
    const message = `the column "${name}" does not belong to a fill, and is not used`
    return { code: 'fills-unknown-column', severity: 'note', message }
  }
  const units = unitsFor(name)
  if (units) {
    const message = `the column "${name}" is not used: found no unit that is known for it, expected one of ${units.join(', ')} at its end`
    return { code: 'fills-unknown-unit', severity: 'warning', message }
  }
  const known = [...TIMES, ...TEXTS, ...FLAGS, ...Object.values(RANGES).map(({ usual }) => usual)]
  const near = nearestWord(name, known)
  const message = `the column "${name}" is not known and not used`
  const problem = { code: 'fills-unknown-column', severity: near ? ('warning' as const) : ('note' as const), message }
  return near ? { ...problem, hint: `Did you mean ${near}?` } : problem
}

/** The report repeats what is written here. */
const LONGEST_TEXT = 1000

function readRow({ line, cells }: TableRow, columns: Column[], table: Table, problems: Problem[]): FillRow | null {
  const row = emptyFill(line)
  const told = (severity: Problem['severity'], code: string, message: string, hint?: string): void => {
    problems.push({ severity, code, message, line, ...(hint ? { hint } : {}) })
  }
  columns.forEach(({ name, target }, i) => {
    const cell = cells[i]
    if (target === null || cell === '' || target.kind === 'date' || target.kind === 'time') return
    if (target.kind === 'text') row[target.field] = cell.slice(0, LONGEST_TEXT)
    else if (target.kind === 'flag') {
      const said = yesOrNo(cell)
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

function noTime({ line, cells }: TableRow, columns: Column[], expected: string): Problem {
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

/** Yes, no, full, partial and their like; null for anything else. */
function yesOrNo(cell: string): boolean | null {
  if (/^(y|yes|true|1|x|✓|full|f|j|ja|voll|oui|sí|si)$/i.test(cell)) return true
  return /^(n|no|false|0|partial|part|p|nein|teil|non)$/i.test(cell) ? false : null
}

/** Words that say how full the tank was, in whatever column they stand. */
const isWordForFull = (cell: string): boolean => /^(full|f|voll|partial|part|p|teil)$/i.test(cell)

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
  const { min, max, says } = RANGES[field]
  const slack = 1e-9 * Math.max(Math.abs(min), Math.abs(max))
  if (value >= min - slack && value <= max + slack) return value
  return `${name}: found ${cell}, expected ${says}; the cell is taken as empty`
}

const DAY_S = 86_400

interface TimeSpan {
  from: number
  to: number
  doubtful: boolean
}

/** The moment of a fill, or the day of it where no more is written; null for a cell that could not be read. */
function timeSpan(date: DateCell, zone: string | null): TimeSpan | null {
  if (Number.isNaN(date.seconds)) return null
  const { seconds, doubtful } = momentReader(zone ?? 'UTC')(date)
  if (date.dateOnly) return { from: seconds, to: seconds + DAY_S, doubtful: false }
  return { from: seconds, to: seconds, doubtful }
}

function emptyFill(line: number): FillRow {
  const numbers = Object.fromEntries(Object.keys(RANGES).map((field) => [field, Number.NaN])) as Record<
    QuantityOfFill,
    number
  >
  return {
    line,
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
