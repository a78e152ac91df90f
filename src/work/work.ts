import type { Problem } from '../base/problem.ts'
import {
  type RunStep,
  type RunTask,
  readySetting,
  type StepAlone,
  type StepSetting,
  withMember,
} from '../campaign/drive/run-step.ts'
import type { InputFile, MappedFile } from '../campaign/load/map-file.ts'
import { wholeDrive } from '../campaign/load/mapped-drive.ts'
import type { DriveSource } from '../campaign/load/runs.ts'
import type { ListedFile } from '../files/folder.ts'
import { type Cache, fromCache } from '../store/cache.ts'
import { stepKeys } from '../store/step-keys.ts'
import { digestFiles } from './digests.ts'
import { knownFile, type MappedListed, mapListed, stepWithCache, withMotion } from './map-step.ts'
import type { Progress } from './progress.ts'
import { inWorkers } from './workers.ts'

/** Who does the work of a report, and what is told while it is done. */
export interface Work {
  jobs: number
  cache: Cache | null
  progress: Progress
  /** Nothing is left in the cache to be fetched later: set after something there was lost. */
  whole?: boolean
  /** The runs' motions are asked for once more after their step. */
  keepsDrives?: boolean
  /** What the files held at an earlier call, by their paths. */
  before?: FilesBefore
  /** Results that others brought. */
  known?: KnownSteps | null
  /** Below this many bytes of files, or runs, starting workers takes longer than they save. */
  worthBytes?: number
  worthRuns?: number
}

/** Size and digest of files by their paths, as they were at an earlier call. */
export type FilesBefore = ReadonlyMap<string, { size: number; sha256: string }>

/** Results of the second map step that were computed elsewhere. */
export interface KnownSteps {
  /** That of the keys: what was made by another program fits nothing. */
  version: string
  take: (key: string) => StepAlone | undefined
}

const WORTH_BYTES = 32 * 2 ** 20
const WORTH_RUNS = 24

/** All files of a folder after the first map step, in the order of their paths. */
export interface MappedFolder {
  mapped: MappedFile[]
  /** Files whose content is needed again. */
  kept: InputFile[]
  problems: Problem[]
  /** Told once all is read: whether the files that were taken to be as before are. What was made of them is void if not. */
  asBefore: Promise<boolean>
}

/** Reads and maps all files, never more of them at a time than there are workers: the folder may be larger than memory. */
export async function mapFolder(listed: ListedFile[], work: Work): Promise<MappedFolder> {
  const files = [...listed].sort((a, b) => (a.path < b.path ? -1 : 1))
  const { taken, asBefore } = takenAsBefore(files, work)
  const others = files.filter((file) => !taken.has(file))
  const bytes = others.reduce((sum, { size }) => sum + size, 0)
  const workers = bytes < (work.worthBytes ?? WORTH_BYTES) ? 1 : Math.min(work.jobs, others.length)
  work.progress.begin('reading', bytes, 'bytes')
  const results = await inWorkers<ListedFile, MappedListed>(
    others,
    workers,
    { cache: work.cache, step: null, whole: work.whole },
    'map',
    (file) => mapListed(file, work.cache, work.whole),
    (file) => work.progress.advance(file.size),
  )
  for (const [i, file] of others.entries()) taken.set(file, results[i])
  const folder: MappedFolder = { mapped: [], kept: [], problems: [], asBefore }
  for (const file of files) {
    const { mapped, kept, problems } = taken.get(file)!
    if (mapped) folder.mapped.push(mapped)
    if (kept) folder.kept.push(kept)
    folder.problems.push(...problems)
  }
  return folder
}

/**
 * Takes from the cache what is known of files that have the size of an earlier call. Whether they have its content as
 * well is found out meanwhile, beside this thread: nothing may be told before that.
 */
function takenAsBefore(
  files: ListedFile[],
  { cache, before, whole, jobs, worthBytes }: Work,
): { taken: Map<ListedFile, MappedListed>; asBefore: Promise<boolean> } {
  const taken = new Map<ListedFile, MappedListed>()
  if (!cache || !before || whole) return { taken, asBefore: Promise.resolve(true) }
  const alike = files.filter(({ path, size }) => before.get(path)?.size === size)
  const digests = digestFiles(alike, jobs - 1, () => {}, worthBytes)
  for (const file of alike) {
    const mapped = knownFile(file.path, before.get(file.path)!.sha256, cache)
    if (mapped) taken.set(file, { mapped, kept: null, problems: [] })
  }
  const isAsBefore = (file: ListedFile, i: number, found: string[]): boolean =>
    !taken.has(file) || found[i] === before.get(file.path)!.sha256
  return { taken, asBefore: digests.then((found) => alike.every((file, i) => isAsBefore(file, i, found))) }
}

/** The second map step over many runs; what an earlier call found out from the same is taken from the cache. */
export async function stepRuns(setting: StepSetting, tasks: RunTask[], work: Work): Promise<RunStep[]> {
  const { cache, known } = work
  const maker = cache ?? known
  const keys = maker ? stepKeys(setting, tasks, maker) : tasks.map(() => null)
  const steps = keys.map((key) => {
    if (key === null) return undefined
    return known?.take(key) ?? (cache ? (fromCache(cache, key) as StepAlone | undefined) : undefined)
  })
  const missing = tasks.flatMap((task, i) => (steps[i] === undefined ? [{ task, key: keys[i], i }] : []))
  const workers = missing.length < (work.worthRuns ?? WORTH_RUNS) ? 1 : Math.min(work.jobs, missing.length)
  work.progress.begin('computing', missing.length, 'runs')
  const ready = workers === 1 ? readySetting(setting) : null
  const found = await inWorkers<(typeof missing)[number], StepAlone | null>(
    missing,
    workers,
    { cache: work.cache, step: setting },
    'stepRun',
    async (task) => stepWithCache(task, ready!, work.cache),
    () => work.progress.advance(1),
    ({ task }) => (work.keepsDrives ? [] : columnsOf(task)),
  )
  for (const [n, { i }] of missing.entries()) steps[i] = found[n] ?? lost()
  return (steps as StepAlone[]).map((step, i) => withMember(step, tasks[i].route.member))
}

/** Files were taken to be as before, and are not. */
export class FilesChanged extends Error {}

/** Somebody threw out, or damaged, what an earlier call had kept and this one had counted on. */
export class MotionLost extends Error {}

function lost(): never {
  throw new MotionLost('a drive is no longer in the cache')
}

/** Drives with their motions, from the cache where these were left there. */
export const drivesFrom =
  ({ cache }: Work): DriveSource =>
  (run) =>
    wholeDrive((withMotion(run, cache) ?? lost()).drive)

/** A run's own columns: no one else needs them any more. */
function columnsOf({ run }: RunTask): ArrayBuffer[] {
  const columns = [...Object.values(run.drive.fixes), ...Object.values(run.drive.motion ?? {})]
  return [...new Set(columns.flatMap((c) => (ArrayBuffer.isView(c) ? [c.buffer as ArrayBuffer] : [])))]
}
