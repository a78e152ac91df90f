import { workerData } from 'node:worker_threads'
import Tinypool from 'tinypool'
import { present } from '../base/present.ts'
import { type ReadySetting, type RunResult, readySetting } from '../campaign/drive/run-result.ts'
import { buffersOf } from '../campaign/load/map-file.ts'
import type { ListedFile } from '../files/folder.ts'
import { computeIntoCache, type RunJob } from './compute-runs.ts'
import { FileGone } from './drives.ts'
import { mapIntoCache, mapListed } from './map-files.ts'
import type { WorkerSetting } from './workers.ts'

// Tinypool hands on [its own data, ours].
const { cache, runs } = (workerData as [unknown, WorkerSetting])[1]
let ready: ReadySetting | null = null

/** Reads and maps one file; its columns are handed over, not copied. */
export async function map(file: ListedFile): Promise<unknown> {
  const found = cache ? await mapIntoCache(file, cache) : await mapListed(file)
  const buffers = found.mapped.flatMap(buffersOf)
  const handedOver = { [Tinypool.transferableSymbol]: buffers, [Tinypool.valueSymbol]: found }
  return Tinypool.move(handedOver as unknown as Parameters<typeof Tinypool.move>[0])
}

/** Takes one run through the second map step, or tells that its file is gone: no error of ours crosses threads as itself. */
export function computeRun(job: RunJob): RunResult | string {
  ready ??= readySetting(present(runs))
  try {
    return computeIntoCache(job, ready, cache)
  } catch (error) {
    if (error instanceof FileGone) return error.message
    throw error
  }
}
