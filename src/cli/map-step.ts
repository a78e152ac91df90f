import type { Problem } from '../base/problem.ts'
import { buffersOf, type InputFile, type MappedFile, mapFile } from '../pipeline/map-file.ts'
import type { ReadySetting, RunStep, RunTask } from '../pipeline/run-step.ts'
import { stepOf } from '../pipeline/run-step.ts'
import { isHgtName } from '../read/terrain/hgt.ts'
import { type Cache, fromCache, intoCache, keyOf } from './cache.ts'
import { type ListedFile, readListed } from './folder.ts'

/** What comes of one file of the folder. */
export interface MappedListed {
  mapped: MappedFile | null
  /** The file itself, where its content is needed again once the roads are known. */
  kept: InputFile | null
  problems: Problem[]
  fromCache: boolean
}

/** Reads one file and does the first map step, or takes its result from an earlier call with the same content. */
export async function mapListed(file: ListedFile, cache: Cache | null): Promise<MappedListed> {
  const { value: input, problems } = await readListed(file)
  if (!input) return { mapped: null, kept: null, problems, fromCache: false }
  const key = cache && keyOf(cache, 'drive', [input.sha256, String(isHgtName(input.path))])
  const known = cache && key ? fromCache(cache, key) : undefined
  if (known !== undefined) {
    const mapped = { ...(known as MappedFile), path: input.path, sha256: input.sha256 }
    return { mapped, kept: null, problems, fromCache: true }
  }
  const mapped = mapFile(input)
  if (cache && key && mapped.tracks.length > 0) intoCache(cache, key, mapped)
  return { mapped, kept: mapped.kind === 'elevation' ? input : null, problems, fromCache: false }
}

/** The digest of a file's content; the empty text where it cannot be read. */
export async function digestListed(file: ListedFile): Promise<string> {
  return (await readListed(file)).value?.sha256 ?? ''
}

/** The buffers that a result can be handed over with. */
export const buffersOfListed = ({ mapped }: MappedListed): ArrayBuffer[] => (mapped ? buffersOf(mapped) : [])

/** One run to be brought together with its road and air, with the key of the result in the cache. */
export interface KeyedTask {
  task: RunTask
  key: string | null
}

export function stepWithCache({ task, key }: KeyedTask, ready: ReadySetting, cache: Cache | null): RunStep {
  const step = stepOf(task, ready)
  if (cache && key) intoCache(cache, key, step)
  return step
}
