import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { OnePair } from '../campaign/run-campaign.ts'
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

/** @returns null where the text has not one line for each pair */
export function rowsIn(bytes: Buffer, keys: string[]): RowsBefore | null {
  const count = (keys.length * (keys.length - 1)) / 2
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
 * @param keys digests of all that a pair takes from each run
 */
export function* pairsText(
  { between }: OnePair,
  keys: string[],
  before: RowsBefore | null,
): Generator<string | Uint8Array> {
  yield pairsHeader()
  const placeBefore = new Map(before?.keys.map((key, i) => [key, i]))
  const places = keys.map((key) => placeBefore.get(key) ?? -1)
  for (let a = 0; a < keys.length; a++) {
    let fresh: ReportPair[] = []
    let [from, to] = [0, 0]
    for (let b = a + 1; b < keys.length; b++) {
      const row = before ? rowOf(places[a], places[b], before.keys.length) : -1
      if (row >= 0 && row === to && fresh.length === 0) {
        to++
        continue
      }
      if (to > from) yield before!.bytes.subarray(before!.starts[from], before!.starts[to])
      ;[from, to] = [0, 0]
      if (row < 0) {
        fresh.push(between(a, b))
        continue
      }
      if (fresh.length > 0) yield pairRows(fresh)
      fresh = []
      ;[from, to] = [row, row + 1]
    }
    if (to > from) yield before!.bytes.subarray(before!.starts[from], before!.starts[to])
    if (fresh.length > 0) yield pairRows(fresh)
  }
}

/** Which row, from 0, tells of two of so many runs by their places; below 0 where none does in this order. */
const rowOf = (a: number, b: number, runs: number): number =>
  a < 0 || b <= a ? -1 : (a * (2 * runs - a - 1)) / 2 + (b - a - 1)
