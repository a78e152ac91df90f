import type { Problem } from '../base/problem.ts'
import { type ReadySetting, type RunTask, type StepAlone, stepOf, withoutMember } from '../campaign/drive/run-step.ts'
import { buffersOf, type InputFile, type MappedFile, mapFile } from '../campaign/load/map-file.ts'
import { type Run, sourceOf } from '../campaign/load/runs.ts'
import { type ListedFile, readListed } from '../files/folder.ts'
import { isHgtName } from '../read/terrain/hgt.ts'
import { type Cache, fromCache, intoCache, keyOf } from '../store/cache.ts'
import type { Motion } from '../track/types.ts'

/** What comes of one file of the folder. */
export interface MappedListed {
  mapped: MappedFile | null
  /** The file itself, where its content is needed again once the roads are known. */
  kept: InputFile | null
  problems: Problem[]
}

/**
 * Reads one file and does the first map step, or takes its result from an earlier call with the same content: then the
 * motions of its drives stay in the cache, from which `wholeDrive` brings them.
 * @param whole nothing is taken from the cache, so that nothing must be fetched from it later
 */
export async function mapListed(file: ListedFile, cache: Cache | null, whole = false): Promise<MappedListed> {
  const { value: input, problems } = await readListed(file)
  if (!input) return { mapped: null, kept: null, problems }
  const known = cache && !whole ? knownFile(input.path, input.sha256, cache) : null
  if (known) return { mapped: known, kept: null, problems }
  const mapped = mapFile(input)
  if (cache && mapped.tracks.length > 0) keepDrives(cache, mapped)
  return { mapped, kept: mapped.kind === 'elevation' ? input : null, problems }
}

/** What an earlier call made of a file of this content; null where the cache does not hold it. */
export function knownFile(path: string, sha256: string, cache: Cache): MappedFile | null {
  const known = fromCache(cache, drivesKey(cache, path, sha256)) as MappedFile | undefined
  return known ? { ...known, path, sha256 } : null
}

const drivesKey = (cache: Cache, path: string, sha256: string): string =>
  keyOf(cache, 'drives', [sha256, String(isHgtName(path))])

/** Keeps the drives of a file apart from their motions: of a known drive nobody but its own run needs its motion. */
function keepDrives(cache: Cache, mapped: MappedFile): void {
  const tracks = mapped.tracks.map((track) => {
    if (!track.drive) return track
    intoCache(cache, motionKey(cache, sourceOf(mapped, track)), track.drive.motion)
    return { ...track, drive: { ...track.drive, motion: null } }
  })
  intoCache(cache, drivesKey(cache, mapped.path, mapped.sha256), { ...mapped, tracks })
}

const motionKey = (cache: Cache, source: string): string => keyOf(cache, 'motion', [source])

/** The run with its motion; null where that was left in the cache and is no longer there. */
export function withMotion(run: Run, cache: Cache | null): Run | null {
  if (run.drive.motion !== null) return run
  const motion = cache && (fromCache(cache, motionKey(cache, run.source)) as Motion | undefined)
  return motion ? { ...run, drive: { ...run.drive, motion } } : null
}

/** The buffers that a result can be handed over with. */
export const buffersOfListed = ({ mapped }: MappedListed): ArrayBuffer[] => (mapped ? buffersOf(mapped) : [])

/** One run to be brought together with its road and air, with the key of the result in the cache. */
export interface KeyedTask {
  task: RunTask
  key: string | null
}

/** null where the run's motion cannot be had any more. */
export function stepWithCache({ task, key }: KeyedTask, ready: ReadySetting, cache: Cache | null): StepAlone | null {
  const run = withMotion(task.run, cache)
  if (run === null) return null
  const step = withoutMember(stepOf({ ...task, run }, ready))
  if (cache && key) intoCache(cache, key, step)
  return step
}
