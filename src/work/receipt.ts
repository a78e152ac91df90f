import { z } from 'zod'
import { present } from '../base/present.ts'
import type { Problem } from '../base/problem.ts'
import type { Kind } from '../base/remember.ts'
import { problem } from '../campaign/kept/columns.ts'
import { fileOfPart } from '../campaign/load/map-parts.ts'
import { type Report, reportSchema } from '../report/contract.ts'
import { type Cache, intoCache } from '../store/cache.ts'

/** What a report was made from and what it consists of, kept in the cache for the next call. */
export interface Receipt {
  /** In the order of the paths: path and digest of every file read. */
  inputs: [path: string, sha256: string][]
  unlisted: Problem[]
  /** Digests of the report's own files, by their path in its folder. */
  outputs: Record<string, string>
  /** Of the runs in pairs.csv, in their order, digests of what their rows rest on; null of few. */
  pairKeys: string[] | null
  /** As it was before its numbers were rounded for the files. */
  report: Report
}

/** Its parts are the report's place and its settings. */
export const RECEIPT: Kind<Receipt> = {
  name: 'receipt',
  shape: z.strictObject({
    inputs: z.array(z.tuple([z.string(), z.string()])),
    unlisted: z.array(problem),
    outputs: z.record(z.string(), z.string()),
    pairKeys: z.array(z.string()).nullable(),
    report: reportSchema,
  }),
}

/**
 * Keeps the receipt of a report just written.
 * @param paths of all files of the folder, in their order
 */
export function keepReceipt(
  key: string,
  paths: string[],
  unlisted: Problem[],
  made: Pick<Receipt, 'outputs' | 'report' | 'pairKeys'>,
  cache: Cache,
): void {
  const sha256 = new Map(
    made.report.inputs.flatMap(({ path, sha256: of }) => [path, fileOfPart(path)].map((p) => [p, of] as const)),
  )
  // A file that could not be read has no digest: the next call has to try again.
  if (paths.some((path) => !sha256.has(path))) return
  const inputs = paths.map((path): [string, string] => [path, present(sha256.get(path))])
  intoCache(cache, key, { inputs, unlisted, ...made } satisfies Receipt)
}
