import type { Problem } from '../../../base/problem.ts'
import { lineWords, type RunRow } from '../../../read/runs/rows.ts'
import { type QuantityOfRun, RANGES } from '../../../read/runs/runs-ranges.ts'
import { TEXT_FIELDS } from '../../../read/runs/runs-table.ts'
import { quantityOf } from '../../../read/table/quantities.ts'

/** A row that is about the same drive as one before it. */
export interface SecondRow {
  row: RunRow
  first: RunRow
  /** The columns that it fills in; empty where the first row says all of it. */
  adds: string[]
}

/** Several rows about one drive as one row. */
export interface JoinedRow {
  row: RunRow
  seconds: SecondRow[]
  /** Of rows that contradict one before; what they contradict in is empty in the joined row. */
  problems: Problem[]
}

type TextField = (typeof TEXT_FIELDS)[keyof typeof TEXT_FIELDS]
const QUANTITIES = Object.entries(RANGES).map(([field, { usual }]) => ({ field: field as QuantityOfRun, name: usual }))
/** Where a drive begins and ends is the same already, and notes stand beside each other. */
const TEXTS = Object.entries(TEXT_FIELDS)
  .map(([name, field]) => ({ field: field as TextField, name }))
  .filter(({ field }) => field !== 'from' && field !== 'to' && field !== 'note')

/** Numbers that were converted from one unit may differ so much. */
const SAME = 1e-6

/**
 * Rows of one or several tables that are about the same drive: what one leaves empty another fills in. Where two say
 * different things, neither is believed.
 * @param rows in the order of their tables and lines, at least one
 */
export function joinedRow([base, ...others]: readonly [RunRow, ...RunRow[]]): JoinedRow {
  const joined: JoinedRow = { row: { ...base, extra: [...base.extra] }, seconds: [], problems: [] }
  const from = new Map<string, RunRow>()
  const contested = new Set<string>()
  for (const other of others) {
    const differing: { name: string; words: string; first: RunRow }[] = []
    const adds: string[] = []
    const put = (name: string, isSaid: boolean, isOpen: boolean, isSame: boolean, words: () => string): boolean => {
      if (!isSaid || (!isOpen && isSame)) return false
      if (!isOpen || contested.has(name)) {
        differing.push({ name, words: isOpen ? name : words(), first: from.get(name) ?? base })
        contested.add(name)
        return false
      }
      adds.push(name)
      from.set(name, other)
      return true
    }
    const { row } = joined
    for (const { field, name } of QUANTITIES) {
      const [old, now] = [row[field], other[field]]
      const isSame = Math.abs(old - now) <= SAME * Math.max(Math.abs(old), Math.abs(now))
      const words = (): string => `${name} ${shown(old, name)} there and ${shown(now, name)} here`
      if (put(name, !Number.isNaN(now), Number.isNaN(old), isSame, words)) row[field] = now
      else if (contested.has(name)) row[field] = Number.NaN
    }
    for (const { field, name } of TEXTS) {
      const [old, now] = [row[field], other[field]]
      const words = (): string => `${name} "${old?.slice(0, 40)}" there and "${now?.slice(0, 40)}" here`
      if (put(name, now !== null, old === null, plain(old) === plain(now), words)) row[field] = now
      else if (contested.has(name)) row[field] = null
    }
    if (other.note !== null && !row.note?.includes(other.note)) {
      row.note = row.note === null ? other.note : `${row.note}; ${other.note}`
      adds.push('note')
    }
    for (const extra of other.extra) {
      if (row.extra.some(({ name, text }) => name === extra.name && text === extra.text)) continue
      row.extra.push(extra)
      adds.push(extra.name)
    }
    if (row.track === '') row.track = other.track
    if (differing.length > 0) joined.problems.push(contradicts(other, differing))
    else joined.seconds.push({ row: other, first: base, adds })
  }
  return joined
}

const plain = (text: string | null): string | undefined =>
  text
    ?.toLowerCase()
    .replace(/[\s_-]+/g, ' ')
    .trim()

/** A quantity as its usual column has it. */
function shown(value: number, name: string): string {
  const convert = quantityOf(name)?.convert ?? ((one: number) => one)
  const [none, one] = [convert(0), convert(1)]
  return String(Number(((value - none) / (one - none)).toPrecision(6)))
}

function contradicts(row: RunRow, differing: { name: string; words: string; first: RunRow }[]): Problem {
  const { first } = differing[0]
  const what = differing.map(({ words }) => words).join(', ')
  return {
    code: 'row-repeated',
    severity: 'error',
    line: row.line,
    ...(row.file && { file: row.file }),
    message: `the drive of this row, "${row.track.slice(0, 100)}", has a row already, at ${lineWords(first, row)}, and they contradict each other: ${what}; of neither is that used`,
    hint: 'Correct or delete one of the two rows.',
  }
}

/** So many rows are named of those that say a thing twice. */
const MOST_NAMED = 3

/** Says once, for each two tables, which rows are about drives that a row before is about as well. */
export function secondRowsTold(seconds: readonly SecondRow[]): Problem[] {
  const groups = new Map<string, SecondRow[]>()
  for (const second of seconds) {
    const key = [second.row.file, second.first.file, second.adds.length > 0].join('\n')
    groups.set(key, [...(groups.get(key) ?? []), second])
  }
  return [...groups.values()].map((group): Problem => {
    const [{ row, adds }] = group
    const named = group.slice(0, MOST_NAMED).map((one) => `line ${one.row.line} as ${lineWords(one.first, one.row)}`)
    const more = group.length - named.length
    const which = `${named.join(', ')}${more > 0 ? ` and ${more} more` : ''}`
    const place = { line: row.line, ...(row.file && { file: row.file }), severity: 'note' as const }
    const rows = group.length === 1 ? 'a row is' : `${group.length} rows are`
    if (adds.length === 0) {
      const message = `${rows} about a drive that has a row already, and ${group.length === 1 ? 'says' : 'say'} the same (${which}); each drive is counted once`
      return { code: 'row-said-twice', message, ...place }
    }
    const columns = [...new Set(group.flatMap((one) => one.adds))].slice(0, 8).join(', ')
    const message = `${rows} about a drive that has a row already, and ${group.length === 1 ? 'fills' : 'fill'} in what is empty there: ${columns} (${which}); each drive is counted once`
    return { code: 'rows-joined', message, ...place }
  })
}
