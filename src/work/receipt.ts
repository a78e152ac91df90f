import type { Problem } from '../base/problem.ts'
import type { ListedFile } from '../files/folder.ts'
import { digestsIn } from '../files/report-folder.ts'
import type { Report } from '../report/contract.ts'
import { type Cache, fromCache, intoCache, keyOf } from '../store/cache.ts'
import { digestFiles } from './digests.ts'
import type { FilesBefore, Work } from './work.ts'

/** What a report was made from and what it consists of, kept in the cache for the next call. */
export interface Receipt {
  /** In the order of the paths: path, size and digest of every file read. */
  inputs: [path: string, size: number, sha256: string][]
  unlisted: Problem[]
  /** Digests of the report's own files, by their path in its folder. */
  outputs: Record<string, string>
  /** Of the runs in pairs.csv, in their order, digests of what their rows rest on; null of few. */
  pairKeys: string[] | null
  /** As it was before its numbers were rounded for the files. */
  report: Report
}

/** Names a report by its place, its settings and the version of the program. */
export const receiptKey = (cache: Cache, out: string, settings: unknown): string =>
  keyOf(cache, 'receipt', [out, JSON.stringify(settings)])

export const receiptOf = (cache: Cache, key: string): Receipt | null => (fromCache(cache, key) as Receipt) ?? null

/** The files that the last report was made from. */
export const filesOf = ({ inputs }: Receipt): FilesBefore =>
  new Map(inputs.map(([path, size, sha256]) => [path, { size, sha256 }]))

/**
 * The report that lies in its place already, where the same files make it: all inputs and all of the report are read and
 * compared by their content. Null where anything differs.
 */
export async function unchangedReport(
  receipt: Receipt | null,
  listed: ListedFile[],
  unlisted: Problem[],
  out: string,
  { jobs, progress, worthBytes }: Work,
): Promise<Report | null> {
  if (!receipt || JSON.stringify(unlisted) !== JSON.stringify(receipt.unlisted)) return null
  const files = inOrder(listed)
  const sameList =
    files.length === receipt.inputs.length &&
    files.every((file, i) => file.path === receipt.inputs[i][0] && file.size === receipt.inputs[i][1])
  if (!sameList || !sameRecord(digestsIn(out), receipt.outputs)) return null
  const bytes = files.reduce((sum, { size }) => sum + size, 0)
  progress.begin('comparing', bytes, 'bytes')
  const threads = jobs > 1 ? jobs : 0
  const digests = await digestFiles(files, threads, ({ size }) => progress.advance(size), worthBytes)
  return digests.every((digest, i) => digest === receipt.inputs[i][2]) ? receipt.report : null
}

/** Keeps the receipt of a report just written. */
export function keepReceipt(
  key: string,
  listed: ListedFile[],
  unlisted: Problem[],
  made: Pick<Receipt, 'outputs' | 'report' | 'pairKeys'>,
  cache: Cache,
): void {
  const sha256 = new Map(made.report.inputs.map((input) => [input.path, input.sha256]))
  const files = inOrder(listed)
  // A file that could not be read has no digest: the next call has to try again.
  if (files.some(({ path }) => !sha256.has(path))) return
  const inputs = files.map(({ path, size }): [string, number, string] => [path, size, sha256.get(path)!])
  intoCache(cache, key, { inputs, unlisted, ...made } satisfies Receipt)
}

const inOrder = (listed: ListedFile[]): ListedFile[] => [...listed].sort((a, b) => (a.path < b.path ? -1 : 1))

function sameRecord(a: Record<string, string> | null, b: Record<string, string>): boolean {
  if (a === null) return false
  const names = Object.keys(a)
  return names.length === Object.keys(b).length && names.every((name) => a[name] === b[name])
}
