import { partsOfRuns } from '../campaign/drive/run-parts.ts'
import {
  type ReadySetting,
  type RunResult,
  type RunSetting,
  type RunTask,
  readySetting,
  resultOf,
} from '../campaign/drive/run-result.ts'
import { RUN_RESULT } from '../campaign/kept/run-shape.ts'
import { drivesFrom } from '../campaign/load/drive-source.ts'
import { keyOf } from '../records/content-key.ts'
import { type Cache, fromCache, intoCache } from '../store/cache.ts'
import { FileGone, type MotionPlace, type MotionPlaces, motionAt } from './drives.ts'
import type { Work } from './work.ts'
import { inWorkers } from './workers.ts'

/** One run to be brought together with its road and air. */
export interface RunJob {
  task: RunTask
  /** Where its motion is. */
  place: MotionPlace
  /** Of its result in the cache. */
  key: string
}

/** What is known of some runs, and what is left to do. */
export interface RunsPlan {
  /** In the order of the tasks; null where the result is to be computed. */
  known: (RunResult | null)[]
  /** In the same order. */
  jobs: RunJob[]
}

/** Where results of runs come from, and where they go. */
export interface RunStore {
  cache: Cache | null
  /** In the keys. */
  version: string
  motions: MotionPlaces
  /** Results that others brought, by their keys; null where there is none. */
  brought: (key: string) => RunResult | null
}

const WORTH_RUNS = 24

/** Decides which results are known from before, and which are to be computed. */
export function planRuns(
  setting: RunSetting,
  tasks: RunTask[],
  { cache, motions, brought, ...maker }: RunStore,
): RunsPlan {
  const plan: RunsPlan = { known: [], jobs: [] }
  for (const [i, parts] of partsOfRuns(setting, tasks).entries()) {
    const key = keyOf(maker, RUN_RESULT, parts)
    const known = brought(key) ?? (cache && fromCache(cache, RUN_RESULT, key)) ?? null
    plan.known.push(known)
    if (!known) plan.jobs.push({ task: tasks[i], place: motions(tasks[i].run), key })
  }
  return plan
}

/** The second map step over many runs; what is known from before is not computed again. */
export async function computeRuns(
  setting: RunSetting,
  tasks: RunTask[],
  store: RunStore,
  work: Work,
): Promise<RunResult[]> {
  const { known, jobs } = planRuns(setting, tasks, store)
  const { cache } = store
  const workers = jobs.length < (work.worthRuns ?? WORTH_RUNS) ? 1 : Math.min(work.jobs, jobs.length)
  work.progress.begin('computing', jobs.length, 'runs')
  const ready = readySetting(setting)
  const computed = await inWorkers<RunJob, RunResult | string>(
    jobs,
    workers,
    { cache, runs: setting },
    'computeRun',
    async (job) => computeIntoCache(job, ready, cache),
    () => work.progress.advance(1),
  )
  let next = 0
  return known.map((result) => result ?? thatIsThere(computed[next++]))
}

function thatIsThere(result: RunResult | string): RunResult {
  if (typeof result === 'string') throw new FileGone(result)
  return result
}

/** Computes one run, and keeps its result. */
export function computeIntoCache({ task, place, key }: RunJob, ready: ReadySetting, cache: Cache | null): RunResult {
  const result = resultOf(task, drivesFrom((of) => motionAt(of, place, cache))(task.run), ready)
  if (cache) intoCache(cache, key, result)
  return result
}
