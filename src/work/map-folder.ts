import { byCodeUnits } from '../base/arithmetic.ts'
import type { Problem } from '../base/problem.ts'
import { MAPPED_FILE } from '../campaign/kept/drive-shape.ts'
import { withoutMotions } from '../campaign/load/drive-source.ts'
import { withExchanged } from '../campaign/load/exchanged.ts'
import { onCampaignClock } from '../campaign/load/log-clock.ts'
import type { InputFile, MappedFile, WholeFile } from '../campaign/load/map-file.ts'
import type { ListedFile } from '../files/folder.ts'
import { type Cache, fromCache } from '../store/cache.ts'
import { type MappedListed, mapExchanged, mapIntoCache, mapListed, mappedKey } from './map-files.ts'
import type { FilePlan } from './reuse-plan.ts'
import type { Work } from './work.ts'
import { inWorkers } from './workers.ts'

/** All files of a folder after the first map step, in the order of their paths. */
export interface MappedFolder<F extends MappedFile = MappedFile> {
  mapped: F[]
  /** Files whose content is needed again. */
  kept: InputFile[]
  problems: Problem[]
}

/** Reads and maps all files, motions and all, never more of them at a time than there are workers. */
export async function mapFolder(listed: ListedFile[], work: Work): Promise<MappedFolder<WholeFile>> {
  const files = [...listed].sort((a, b) => byCodeUnits(a.path, b.path))
  return folderOf(await mapEach(files, null, work, mapListed), again(files))
}

/** Takes from the cache what the plan says, reads and maps the rest, and leaves all motions in the cache. */
export async function mapByPlan(plan: FilePlan[], cache: Cache, work: Work): Promise<MappedFolder> {
  const known = plan.map((step) => (step.from === 'cache' ? knownFile(step, cache) : null))
  // An entry that was there when the plan was made may turn out to be damaged.
  const others = plan.filter((_, i) => known[i] === null)
  const found = await mapEach(
    others.map(({ file }) => file),
    cache,
    work,
    (file) => mapIntoCache(file, cache),
  )
  let next = 0
  const results = known.map((file) => (file ? { mapped: [file], kept: null, problems: [] } : found[next++]))
  const exchanged = again(plan.map(({ file }) => file))
  return folderOf(results, async (path) => (await exchanged(path))?.map(withoutMotions) ?? null)
}

/** What an earlier call made of a file of this content; null where the cache does not hold it. */
function knownFile({ file: { path }, sha256 }: FilePlan, cache: Cache): MappedFile | null {
  const known = fromCache(cache, MAPPED_FILE, mappedKey(cache, { path, sha256 }))
  return known ? { ...known, path, sha256 } : null
}

const WORTH_BYTES = 32 * 2 ** 20

async function mapEach<F extends MappedFile>(
  files: ListedFile[],
  cache: Cache | null,
  work: Work,
  here: (file: ListedFile) => Promise<MappedListed<F>>,
): Promise<MappedListed<F>[]> {
  const bytes = files.reduce((sum, { size }) => sum + size, 0)
  const workers = bytes < (work.worthBytes ?? WORTH_BYTES) ? 1 : Math.min(work.jobs, files.length)
  work.progress.begin('reading', bytes, 'bytes')
  return inWorkers(files, workers, { cache, runs: null }, 'map', here, ({ size }) => work.progress.advance(size))
}

/** Maps a file of the folder with its positions exchanged. */
const again =
  (files: ListedFile[]) =>
  (path: string): Promise<WholeFile[] | null> =>
    mapExchanged(files.find((file) => file.path === path))

async function folderOf<F extends MappedFile>(
  results: MappedListed<F>[],
  exchanged: (path: string) => Promise<F[] | null>,
): Promise<MappedFolder<F>> {
  const mapped = results.flatMap((result) => result.mapped)
  return {
    mapped: onCampaignClock(await withExchanged(mapped, exchanged)),
    kept: results.flatMap(({ kept }) => kept ?? []),
    problems: results.flatMap(({ problems }) => problems),
  }
}
