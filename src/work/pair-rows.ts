import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { present } from '../base/present.ts'
import type { OnePair } from '../campaign/campaign-result.ts'
import { isFileError } from '../files/file-errors.ts'
import type { ReportPair } from '../report/contract.ts'
import { pairRows, pairsHeader } from '../report/tables.ts'
import type { Receipt } from './receipt.ts'

/** The rows of a pairs.csv that lies in its place. */
export interface RowsBefore {
  /** Of its runs, in their order. */
  keys: string[]
  bytes: Buffer
  /** Where each row starts, that of the pair of the first two runs first, and where the last one ends. */
  starts: Uint32Array
}

const NEWLINE = 10

/** The rows of the last report, if its pairs.csv is still as it was written; null where there are none to go by. */
export function rowsBefore(receipt: Receipt | null, out: string): RowsBefore | null {
  if (!receipt?.pairKeys) return null
  try {
    const bytes = readFileSync(join(out, 'pairs.csv'))
    const digest = createHash('sha256').update(bytes).digest('hex')
    return digest === receipt.outputs['pairs.csv'] ? rowsIn(bytes, receipt.pairKeys) : null
  } catch (error) {
    if (isFileError(error)) return null
    throw error
  }
}

/** The keys of a pairing's runs: a digest of all that a pair takes from the run, behind the number of its road. */
export const pairKeysOf = ({ bases, roads }: OnePair, digest: (basis: unknown) => string): string[] =>
  bases.map((basis, i) => `${roads[i]}:${digest(basis)}`)

const roadOf = (key: string): string => key.slice(0, key.indexOf(':'))

/** Where the rows of each run against later ones on its road begin, and its place among the runs of that road. */
interface RowPlaces {
  firstRow: number[]
  place: number[]
  road: string[]
  count: number
}

function rowPlaces(keys: string[]): RowPlaces {
  const road = keys.map(roadOf)
  const runsOf = new Map<string, number>()
  const place = road.map((name) => {
    const before = runsOf.get(name) ?? 0
    runsOf.set(name, before + 1)
    return before
  })
  let count = 0
  const firstRow = place.map((before, i) => {
    const first = count
    count += present(runsOf.get(road[i])) - before - 1
    return first
  })
  return { firstRow, place, road, count }
}

/** @returns null where the text has not one line for each pair of runs on one road */
export function rowsIn(bytes: Buffer, keys: string[]): RowsBefore | null {
  const { count } = rowPlaces(keys)
  const starts = new Uint32Array(count + 1)
  let rows = 0
  for (let end = bytes.indexOf(NEWLINE); end >= 0; end = bytes.indexOf(NEWLINE, end + 1)) {
    if (rows <= count) starts[rows] = end + 1
    rows++
  }
  return rows === count + 1 && starts[count] === bytes.length ? { keys, bytes, starts } : null
}

/**
 * The text of pairs.csv in pieces: of two runs that both are as they were the row is taken from the last report.
 * @param keys of `pairKeysOf`
 */
export function* pairsText(
  { between }: OnePair,
  keys: string[],
  before: RowsBefore | null,
): Generator<string | Uint8Array> {
  yield pairsHeader()
  const placeBefore = new Map(before?.keys.map((key, i) => [key, i]))
  const places = keys.map((key) => placeBefore.get(key) ?? -1)
  const rowsThen = before ? rowPlaces(before.keys) : null
  const roads = keys.map(roadOf)
  for (let a = 0; a < keys.length; a++) {
    let fresh: ReportPair[] = []
    let [from, to] = [0, 0]
    for (let b = a + 1; b < keys.length; b++) {
      if (roads[b] !== roads[a]) continue
      const row = rowsThen ? rowOf(places[a], places[b], rowsThen) : -1
      if (row >= 0 && row === to && fresh.length === 0) {
        to++
        continue
      }
      if (to > from) yield present(before).bytes.subarray(present(before).starts[from], present(before).starts[to])
      ;[from, to] = [0, 0]
      if (row < 0) {
        fresh.push(between(a, b))
        continue
      }
      if (fresh.length > 0) yield pairRows(fresh)
      fresh = []
      ;[from, to] = [row, row + 1]
    }
    if (to > from) yield present(before).bytes.subarray(present(before).starts[from], present(before).starts[to])
    if (fresh.length > 0) yield pairRows(fresh)
  }
}

/** Which row, from 0, tells of two runs by their places; below 0 where none does in this order. */
const rowOf = (a: number, b: number, { firstRow, place, road }: RowPlaces): number =>
  a < 0 || b <= a || road[a] !== road[b] ? -1 : firstRow[a] + (place[b] - place[a] - 1)
