import type { Problem } from '../base/problem.ts'
import { MAPPED_FILE, MOTION } from '../campaign/kept/drive-shape.ts'
import { motionsOf, withoutMotions } from '../campaign/load/drive-source.ts'
import type { InputFile, MappedFile, WholeFile } from '../campaign/load/map-file.ts'
import { mapParts } from '../campaign/load/map-parts.ts'
import { type ListedFile, readListed } from '../files/folder.ts'
import { isHgtName } from '../read/terrain/hgt.ts'
import { keyOf } from '../records/content-key.ts'
import { type Cache, intoCache } from '../store/cache.ts'

/** What comes of one file of the folder. */
export interface MappedListed<F extends MappedFile = MappedFile> {
  /** One, or one for each sheet of a workbook; none where it could not be read. */
  mapped: F[]
  /** The file itself, where its content is needed again once the roads are known. */
  kept: InputFile | null
  problems: Problem[]
}

/** Reads one file and does the first map step. */
export async function mapListed(file: ListedFile): Promise<MappedListed<WholeFile>> {
  const { value: input, problems } = await readListed(file)
  if (!input) return { mapped: [], kept: null, problems }
  const mapped = await mapParts(input)
  return { mapped, kept: mapped.some(({ kind }) => kind === 'elevation') ? input : null, problems }
}

/** Likewise, with latitude and longitude of its tracks exchanged; null where it cannot be read. */
export async function mapExchanged(file: ListedFile | undefined): Promise<WholeFile[] | null> {
  const input = file && (await readListed(file)).value
  return input ? mapParts({ ...input, isExchanged: true }) : null
}

/** Likewise, and leaves the motions of its drives in the cache, for the runs that ask for them. */
export async function mapIntoCache(file: ListedFile, cache: Cache): Promise<MappedListed> {
  const { mapped: whole, ...rest } = await mapListed(file)
  const mapped = whole.map(withoutMotions)
  for (const [source, motion] of motionsOf(whole)) intoCache(cache, keyOf(cache, MOTION, [source]), motion)
  // The sheets of a workbook have one digest, and are quickly read again.
  const [only] = mapped
  if (mapped.length === 1 && only.path === file.path && only.tracks.length > 0) {
    intoCache(cache, mappedKey(cache, only), only)
  }
  return { mapped, ...rest }
}

/** Names what is made of a file: its content makes it and, of one kind of terrain tile, its name. */
export const mappedKey = (cache: Cache, { path, sha256 }: { path: string; sha256: string }): string =>
  keyOf(cache, MAPPED_FILE, [sha256, isHgtName(path)])
