import type { Problem } from '../../../base/problem.ts'
import { filledIn, inOrder } from '../../../claim/fuel/fill-spans.ts'
import type { FuelUnit } from '../../../claim/fuel/measure.ts'
import { FILL_RANGES, type QuantityOfFill } from '../../../read/runs/fills-columns.ts'
import { type FillRow, lineWords, placeOfRow } from '../../../read/runs/rows.ts'
import type { MappedFile } from '../map-file.ts'
import { type RowsOfTable, together } from './tables-among.ts'

type Log = RowsOfTable<FillRow>

const UNITS: FuelUnit[] = ['l', 'kg', 'kWh']

/** Several fuel logs as one. */
interface JoinedFills {
  fills: FillRow[]
  /** The first of them. */
  file: MappedFile | null
  problems: Problem[]
}

const VEHICLES = 'A fuel log of another vehicle belongs into a folder of its own.'

/**
 * Fuel logs of one vehicle as one, in whichever files and sheets they stand. A fill that two of them say alike counts once;
 * of two that contradict each other none does, and the next fill counts as one behind a missing fill. A log whose
 * odometer does not go on where the others' does is of another vehicle, and is not used.
 */
export function joinedFills(logs: readonly Log[]): JoinedFills {
  const [first, ...others] = logs.filter(({ rows }) => rows.length > 0)
  if (first === undefined || others.length === 0) {
    return { fills: first?.rows ?? [], file: (first ?? logs[0])?.file ?? null, problems: [] }
  }
  const used = [first]
  const problems: Problem[] = []
  for (const log of others) {
    const fault = misfit(
      used.flatMap(({ rows }) => rows),
      log.rows,
    )
    if (fault === null) used.push(log)
    else problems.push({ ...OF_ANOTHER_VEHICLE, ...fault, file: log.file.path })
  }
  const { fills, problems: ofFills } = eachOnce(used.map(({ rows }) => rows))
  return { fills, file: first.file, problems: [...together(used, 'fuel logs', VEHICLES), ...problems, ...ofFills] }
}

const OF_ANOTHER_VEHICLE: Pick<Problem, 'code' | 'severity' | 'hint'> = {
  code: 'fuel-log-of-another-vehicle',
  severity: 'error',
  hint: `${VEHICLES} Of one vehicle, write its odometer into every row.`,
}

/** Why the rows of two logs cannot be of one vehicle; null where they can. */
function misfit(rows: readonly FillRow[], more: readonly FillRow[]): Pick<Problem, 'line' | 'message'> | null {
  const together = backwards([...rows, ...more])
  if (together.length > backwards(rows).length + backwards(more).length) {
    const [before, after] = together.find(([a, b]) => a.file !== b.file) ?? together[0]
    const own = before.file === more[0].file ? before : after
    const other = own === before ? after : before
    const km = ({ odometerM }: FillRow): string => `${Math.round(odometerM / 1000)} km`
    const message = `this fuel log is not used: by the odometer it is of another vehicle than the fuel log ${other.file}, which shows ${km(other)} at line ${other.line} where this one shows ${km(own)} ${own === before ? 'before' : 'after'} it`
    return { line: own.line, message }
  }
  for (const unit of UNITS) {
    const [a, b] = [rows, more].map((list) => list.filter((fill) => filledIn(fill, unit) > 0))
    const areUnread = [a, b].some((list) => list.every(({ odometerM }) => Number.isNaN(odometerM)))
    if (!areUnread || !interleave(a, b)) continue
    const message = `this fuel log is not used: its fills lie between those of ${a[0].file}, and without an odometer in both nobody can say that they are of one vehicle`
    return { line: b[0].line, message }
  }
  return null
}

/** Fills that follow each other in time and not by the odometer. */
function backwards(rows: readonly FillRow[]): [FillRow, FillRow][] {
  const read = inOrder(rows.filter(({ odometerM }) => Number.isFinite(odometerM)))
  return read.slice(1).flatMap((row, i): [FillRow, FillRow][] => {
    const before = read[i]
    return before.toTime < row.fromTime && before.odometerM > row.odometerM ? [[before, row]] : []
  })
}

const ends = (rows: readonly FillRow[]): [number, number] => [
  rows.reduce((least, { fromTime }) => Math.min(least, fromTime), Number.POSITIVE_INFINITY),
  rows.reduce((most, { fromTime }) => Math.max(most, fromTime), Number.NEGATIVE_INFINITY),
]

/** Whether one log has fills both before and behind one of the other's that are not of the other. */
function interleave(a: readonly FillRow[], b: readonly FillRow[]): boolean {
  const own = b.filter((row) => !a.some((one) => isOneFill(one, row)))
  if (a.length === 0 || own.length === 0) return false
  const [[aFrom, aTo], [bFrom, bTo]] = [ends(a), ends(own)]
  return aFrom < bTo && bFrom < aTo
}

/** The fills of all logs, those that several say once. */
function eachOnce(logs: readonly FillRow[][]): { fills: FillRow[]; problems: Problem[] } {
  const problems: Problem[] = []
  const kept: FillRow[] = []
  const contested = new Set<number>()
  const again = new Map<string, [FillRow, FillRow][]>()
  for (const rows of logs) {
    const ofOthers = kept.length
    for (const row of rows) {
      const at = kept.findIndex((one, i) => i < ofOthers && isOneFill(one, row))
      const differing = at < 0 ? [] : differences(kept[at], row)
      if (at < 0 || (isOfDay(row) && differing.length > 0)) kept.push(row)
      else if (differing.length === 0) {
        const key = `${row.file}\n${kept[at].file}`
        again.set(key, [...(again.get(key) ?? []), [row, kept[at]]])
        kept[at] = filledUp(kept[at], row)
      } else {
        contested.add(at)
        problems.push(contradicts(row, kept[at], differing))
      }
    }
  }
  const dropped = new Set(kept.filter((_, i) => contested.has(i)))
  return { fills: behindMissing(kept, dropped), problems: [...[...again.values()].map(saidTwice), ...problems] }
}

const isOfDay = ({ fromTime, toTime }: FillRow): boolean => toTime > fromTime

/** Fills at one moment, or on one day, with one kind of fuel. */
const isOneFill = (a: FillRow, b: FillRow): boolean =>
  a.fromTime === b.fromTime &&
  a.toTime === b.toTime &&
  UNITS.some((unit) => filledIn(a, unit) > 0 && filledIn(b, unit) > 0)

const NUMBERS = Object.keys(FILL_RANGES) as QuantityOfFill[]
const SAID = ['full', 'missed', 'setup', 'pump'] as const

/** What two rows say differently, by the usual names of columns. */
function differences(a: FillRow, b: FillRow): string[] {
  const isApart = (x: number, y: number): boolean => Math.abs(x - y) > 1e-6 * Math.max(Math.abs(x), Math.abs(y))
  return [
    ...NUMBERS.filter((field) => isApart(a[field], b[field])).map((field) => FILL_RANGES[field].usual),
    ...SAID.filter((field) => a[field] !== null && b[field] !== null && a[field] !== b[field]),
  ]
}

/** A row with what another one of the same fill says beyond it. */
function filledUp(row: FillRow, other: FillRow): FillRow {
  const full = { ...row }
  for (const field of NUMBERS) if (Number.isNaN(full[field])) full[field] = other[field]
  full.full ??= other.full
  full.missed ??= other.missed
  for (const field of ['setup', 'pump', 'price', 'note', 'photo'] as const) full[field] ??= other[field]
  return full
}

function saidTwice(rows: [FillRow, FillRow][]): Problem {
  const [[row, first]] = rows
  const message =
    rows.length === 1
      ? `this fill stands at ${lineWords(first, row)} as well; it is counted once`
      : `${rows.length} fills stand in ${first.file} as well, the first at line ${first.line}; each is counted once`
  return { code: 'row-said-twice', severity: 'note', message, ...placeOfRow(row) }
}

function contradicts(row: FillRow, first: FillRow, differing: readonly string[]): Problem {
  const message = `${lineWords(first, row)} is about a fill at the same time, and says another ${differing.join(', ')}; neither is used, and what was used up to the next fill is not known`
  const hint = 'Correct or delete one of the two rows.'
  return { code: 'fills-contradict', severity: 'error', message, hint, ...placeOfRow(row) }
}

/** The fills that are used; behind one that is not, the next of its kind counts as one before which a fill is missing. */
function behindMissing(fills: readonly FillRow[], dropped: ReadonlySet<FillRow>): FillRow[] {
  const missing = new Set<FuelUnit>()
  return inOrder(fills).flatMap((fill): FillRow[] => {
    const own = UNITS.filter((unit) => filledIn(fill, unit) > 0)
    if (dropped.has(fill)) {
      for (const unit of own) missing.add(unit)
      return []
    }
    const isBehind = own.some((unit) => missing.delete(unit))
    return [isBehind ? { ...fill, missed: true } : fill]
  })
}
