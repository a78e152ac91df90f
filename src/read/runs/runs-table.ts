import type { Outcome, Problem } from '../../base/problem.ts'
import { found } from '../../base/problem.ts'
import { firstOfEach } from '../many.ts'
import { numberInCell } from '../table/cell-number.ts'
import { nearestWord } from '../table/nearest-word.ts'
import { quantityOf, unitsFor } from '../table/quantities.ts'
import { decimalCommaHint, readNamedTable, type Table, type TableRow } from '../table/table.ts'
import type { RunRow } from './rows.ts'
import { isRunField, type QuantityOfRun, RANGES } from './runs-ranges.ts'
import { type RunsContext, timesOfRows } from './runs-times.ts'

export interface RunsTable {
  rows: RunRow[]
  /** The header in the file's order, unknown columns included; lower case with underscores. */
  columns: string[]
}

/** The columns that hold a text. */
export const TEXT_COLUMNS = [
  'setup',
  'from',
  'to',
  'split',
  'engine_off',
  'without',
  'road_wet',
  'test_vehicle',
  'vehicle',
  'control',
  'fill_group',
  'exclude',
  'note',
  'photo',
] as const
export const TEXT_FIELDS = {
  setup: 'setup',
  from: 'from',
  to: 'to',
  split: 'split',
  engine_off: 'engineOff',
  without: 'without',
  road_wet: 'roadWet',
  test_vehicle: 'testVehicle',
  vehicle: 'vehicle',
  control: 'control',
  fill_group: 'fillGroup',
  exclude: 'exclude',
  note: 'note',
  photo: 'photo',
} as const

/**
 * Reads runs.csv: a row per run, in SI units (litres, kg and kWh for what was filled in). An empty cell is NaN or null.
 * A value that cannot be is reported with its line and taken as empty; a row without a track is left out; a column that
 * is not known is kept with the row and named in a note. A row without a track needs a date, by which its drive is found.
 * @param text the decoded file
 */
export function readRunsTable(text: string, context: RunsContext = { days: [], timeZone: null }): Outcome<RunsTable> {
  const table = readNamedTable(text, { freeText: 'note' })
  if (table.value === null) return { value: null, problems: table.problems }
  const { header, headerLine, rows } = table.value
  const problems: Problem[] = [...table.problems]
  if (!['track', 'date', 'time', 'time_utc'].some((name) => header.includes(name))) {
    const message = `found the columns ${header.slice(0, 30).join(', ')}${header.length > 30 ? ', …' : ''}, expected one named "track" with the name of each drive's file, or "date" and "time"`
    return {
      value: null,
      problems: [
        ...firstOfEach(problems),
        { code: 'runs-no-track-column', severity: 'error', message, line: headerLine },
      ],
    }
  }
  const columns = header.map((name, index) =>
    columnOf(name, table.value?.written[index] ?? name, header.indexOf(name) === index),
  )
  for (const column of columns) problems.push(...column.problems.map((problem) => ({ ...problem, line: headerLine })))
  problems.push(...sameQuantityTwice(columns, headerLine))
  const times = timesOfRows(table.value, context)
  problems.push(...times.problems)
  const ofRows = rows.flatMap((row, i) => {
    const read = readRow(row, columns, table.value as Table)
    problems.push(...read.problems)
    Object.assign(read.value, { when: times.when[i] })
    if (times.from[i] !== null) read.value.from = times.from[i]
    if (times.to[i] !== null) read.value.to = times.to[i]
    const missing = withoutTrack(read.value)
    if (missing) problems.push(missing)
    return missing?.severity === 'error' ? [] : [read.value]
  })
  for (const problem of sameTrackTwice(ofRows)) problems.push(problem)
  return found({ rows: ofRows, columns: header }, firstOfEach(problems))
}

interface Column {
  name: string
  target:
    | { kind: 'track' }
    | { kind: 'text'; field: (typeof TEXT_FIELDS)[keyof typeof TEXT_FIELDS] }
    | { kind: 'number'; field: QuantityOfRun; unit: string; convert: (value: number) => number }
    /** Read apart from the others. */
    | { kind: 'time' }
    | { kind: 'extra'; name: string }
    | null
  problems: Problem[]
}

function columnOf(name: string, written: string, isFirst: boolean): Column {
  if (!isFirst) return { name, target: { kind: 'extra', name: written }, problems: [] }
  if (name === 'track') return { name, target: { kind: 'track' }, problems: [] }
  if (Object.hasOwn(TEXT_FIELDS, name)) {
    return { name, target: { kind: 'text', field: TEXT_FIELDS[name as keyof typeof TEXT_FIELDS] }, problems: [] }
  }
  if (name === 'date' || name === 'time' || name === 'time_utc') return { name, target: { kind: 'time' }, problems: [] }
  const quantity = quantityOf(name)
  // The trip of a row of drives is the drive.
  const field = quantity?.field === 'tripM' ? 'odometerM' : quantity?.field
  if (quantity && field && isRunField(field)) {
    return { name, target: { kind: 'number', field, unit: quantity.unit, convert: quantity.convert }, problems: [] }
  }
  const target = name === '' ? null : ({ kind: 'extra', name: written } as const)
  return { name, target, problems: name === '' ? [] : [unknownColumn(name, quantity !== null)] }
}

function unknownColumn(name: string, ofAnotherTable: boolean): Problem {
  if (ofAnotherTable) {
    const message = `the column "${name}" does not belong to a drive; it is shown with the drives and not used`
    return { code: 'runs-unknown-column', severity: 'note', message }
  }
  const units = unitsFor(name)
  if (units) {
    const message = `the column "${name}" is not used: found no unit that is known for it, expected one of ${units.join(', ')} at its end`
    return { code: 'runs-unknown-unit', severity: 'warning', message }
  }
  const known = ['track', ...TEXT_COLUMNS, ...Object.values(RANGES).map(({ usual }) => usual)]
  const near = nearestWord(name, known)
  const message = `the column "${name}" is not known; it is shown with the drives and not used`
  const problem: Problem = { code: 'runs-unknown-column', severity: near ? 'warning' : 'note', message }
  return near ? { ...problem, hint: `Did you mean ${near}?` } : problem
}

function sameQuantityTwice(columns: Column[], line: number): Problem[] {
  const seen = new Map<string, string>()
  return columns.flatMap(({ name, target }) => {
    if (target?.kind !== 'number') return []
    const first = seen.get(target.field)
    seen.set(target.field, first ?? name)
    if (first === undefined) return []
    const message = `the columns "${first}" and "${name}" say the same; "${name}" is used where "${first}" is empty`
    return [{ code: 'runs-quantity-twice', severity: 'note' as const, message, line }]
  })
}

function sameTrackTwice(rows: RunRow[]): Problem[] {
  const seen = new Map<string, number>()
  return rows.flatMap(({ track, from, to, line }) => {
    if (track === '') return []
    // Stretches of one recording have a row each.
    const key = `${track}\n${from ?? ''}\n${to ?? ''}`
    const first = seen.get(key)
    seen.set(key, first ?? line)
    if (first === undefined) return []
    const message = `the track "${track.slice(0, 100)}" has a row already, on line ${first}; expected one row per track`
    return [{ code: 'runs-track-twice', severity: 'warning' as const, message, line }]
  })
}

function readRow({ line, cells }: TableRow, columns: Column[], table: Table): { value: RunRow; problems: Problem[] } {
  const row = emptyRow(line)
  const problems: Problem[] = []
  columns.forEach(({ name, target }, i) => {
    const cell = cells[i]
    if (target === null || target.kind === 'time' || cell === '') return
    if (target.kind === 'track') row.track = cell
    else if (target.kind === 'extra') row.extra.push({ name: target.name, text: cell.slice(0, LONGEST_TEXT) })
    else if (target.kind === 'text') {
      row[target.field] = cell.slice(0, LONGEST_TEXT)
      if (cell.length > LONGEST_TEXT) problems.push({ ...textCut(name, cell.length), line })
    } else {
      const value = numberIn(cell, name, target, table)
      if (typeof value === 'number') row[target.field] = Number.isNaN(row[target.field]) ? value : row[target.field]
      else problems.push({ ...value, line })
    }
  })
  return { value: row, problems }
}

/** What is told of a row that names no track: it is found by its time, or left out. */
function withoutTrack({ track, when, from, line }: RunRow): Problem | null {
  if (track !== '' || when !== null || (from !== null && /^\d{4}-/.test(from))) return null
  const message = 'found neither a track nor a date, expected one of them; the row is left out'
  const hint = 'Write the name of the drive’s file into the column "track", or the day and time into "date" and "time".'
  return { code: 'runs-no-track', severity: 'error', message, line, hint }
}

/** The report repeats what is written here. */
const LONGEST_TEXT = 1000

const textCut = (name: string, length: number): Problem => ({
  code: 'runs-text-cut',
  severity: 'warning',
  message: `${name}: found ${length} characters, expected at most ${LONGEST_TEXT}; the rest is left out`,
})

function numberIn(
  cell: string,
  name: string,
  { field, unit, convert }: { field: QuantityOfRun; unit: string; convert: (value: number) => number },
  table: Table,
): number | Problem {
  const written = numberInCell(cell, table.delimiter, unit)
  if (written === null) {
    const message = `${name}: found "${cell.slice(0, 40)}", expected a number; the cell is taken as empty`
    const hint = decimalCommaHint(cell, table.delimiter)
    return { code: 'runs-not-a-number', severity: 'error', message, ...(hint && { hint }) }
  }
  if (Number.isNaN(written)) return written
  const value = convert(written)
  const { min, max, says } = RANGES[field]
  const slack = 1e-9 * Math.max(Math.abs(min), Math.abs(max))
  if (value >= min - slack && value <= max + slack) return value
  const message = `${name}: found ${cell}, expected ${says}; the cell is taken as empty`
  return { code: 'runs-impossible-value', severity: 'error', message }
}

/** A row that says nothing yet. */
export function emptyRow(line: number): RunRow {
  const numbers = Object.fromEntries(Object.keys(RANGES).map((field) => [field, Number.NaN])) as Record<
    QuantityOfRun,
    number
  >
  return {
    line,
    file: null,
    track: '',
    setup: null,
    from: null,
    to: null,
    split: null,
    engineOff: null,
    roadWet: null,
    without: null,
    testVehicle: null,
    vehicle: null,
    control: null,
    fillGroup: null,
    exclude: null,
    note: null,
    photo: null,
    when: null,
    extra: [],
    ...numbers,
  }
}
