import { workerData } from 'node:worker_threads'
import Tinypool from 'tinypool'
import { type ReadySetting, readySetting, type StepAlone, type StepSetting } from '../campaign/drive/run-step.ts'
import type { ListedFile } from '../files/folder.ts'
import type { Cache } from '../store/cache.ts'
import { buffersOfListed, type KeyedTask, mapListed, stepWithCache } from './map-step.ts'

/** What a worker is started with. */
export interface WorkerSetting {
  cache: Cache | null
  /** null for workers that read files. */
  step: StepSetting | null
  /** Whether drives are mapped with their motions, whatever the cache holds. */
  whole?: boolean
}

// Tinypool hands on [its own data, ours].
const { cache, step, whole } = (workerData as [unknown, WorkerSetting])[1]
let ready: ReadySetting | null = null

/** Reads and maps one file; its columns are handed over, not copied. */
export async function map(file: ListedFile): Promise<unknown> {
  const mapped = await mapListed(file, cache, whole)
  const handedOver = { [Tinypool.transferableSymbol]: buffersOfListed(mapped), [Tinypool.valueSymbol]: mapped }
  return Tinypool.move(handedOver as unknown as Parameters<typeof Tinypool.move>[0])
}

/** Takes one run through the second map step. */
export function stepRun(task: KeyedTask): StepAlone | null {
  ready ??= readySetting(step!)
  return stepWithCache(task, ready, cache)
}
