import { createHash, randomBytes } from 'node:crypto'
import { closeSync, lstatSync, lutimesSync, openSync, renameSync, rmSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import { deserialize, serialize } from 'node:v8'
import type { Kind, Remember } from '../base/remember.ts'
import { isFileError } from '../files/file-errors.ts'
import { readPlainFile } from '../files/plain-file.ts'
import { keyOf } from '../records/content-key.ts'
import { ownCacheFolder } from './cache-folder.ts'

/** What each entry begins with; another form of entries has another number. */
export const MAGIC = Buffer.from('ceteris-cache/2\n')
const DIGEST_BYTES = 32
const HEAD_BYTES = MAGIC.length + 2 * DIGEST_BYTES

/** A larger entry is neither kept nor read. */
const MOST_ENTRY_BYTES = 512 * 2 ** 20

/** Results of earlier calls, kept by the content of what they were made from. Plain data: workers get a copy. */
export interface Cache {
  folder: string
  /** In every key: another program, or another form of values in memory, finds nothing of this one's. */
  version: string
  /** Names what this call has begun to write. No process number: in two containers two processes may have the same. */
  writer: string
}

/**
 * Opens the cache below a folder.
 * @param named holds the cache's own folder, and may hold anything else
 * @param program what the program itself is, such as `programName` gives
 * @returns null where there can be no cache
 */
export function openCache(named: string, program: string): Cache | null {
  const folder = ownCacheFolder(named)
  return folder === null ? null : { folder, ...maker(program), writer: randomBytes(8).toString('hex') }
}

/** Who makes results, for keys of results that lie in no cache. */
export const maker = (program: string): Pick<Cache, 'version'> => ({ version: `${program}, ${MAGIC}` })

const pathOf = ({ folder }: Cache, key: string): string => join(folder, `${key}.entry`)

/**
 * What is kept under a key; undefined where there is nothing, or where what is there is not whole or not of its kind: an
 * entry carries its key and a digest of its content, and one that does not fit is never believed.
 */
export function fromCache<T>(cache: Cache, { shape }: Kind<T>, key: string): T | undefined {
  const path = pathOf(cache, key)
  const bytes = readPlainFile(path, MOST_ENTRY_BYTES)
  if (bytes === null || bytes.length < HEAD_BYTES) return undefined
  const content = bytes.subarray(HEAD_BYTES)
  if (!headOf(key, content).equals(bytes.subarray(0, HEAD_BYTES))) return undefined
  const value = valueIn(content)
  // The value itself: what a shape gives back has its members in another order, and so another digest.
  if (!shape.safeParse(value).success) return undefined
  touch(path)
  return value as T
}

function valueIn(content: Buffer): unknown {
  try {
    return deserialize(content)
  } catch (error) {
    // In a form that this Node does not know.
    if (error instanceof Error) return undefined
    throw error
  }
}

const headOf = (key: string, content: Uint8Array): Buffer =>
  Buffer.concat([MAGIC, Buffer.from(key, 'hex'), createHash('sha256').update(content).digest()])

/** Whether there is an entry under a key; that it is sound shows when it is read. */
export function isInCache(cache: Cache, key: string): boolean {
  return lstatSync(pathOf(cache, key), { throwIfNoEntry: false })?.isFile() ?? false
}

/** Keeps in a cache what is made, and takes it from there the next time. */
export const rememberIn =
  (cache: Cache): Remember =>
  (kind, parts, make) => {
    const key = keyOf(cache, kind, parts)
    const known = fromCache(cache, kind, key)
    if (known !== undefined) return known
    const fresh = make()
    intoCache(cache, key, fresh)
    return fresh
  }

/** Entries are thrown out by when they were last used; a cache that can only be read serves all the same. */
function touch(path: string): void {
  const now = new Date()
  try {
    lutimesSync(path, now, now)
  } catch (error) {
    if (!isFileError(error)) throw error
  }
}

/**
 * Keeps a value under a key: written beside and renamed, so that another process finds it whole or not at all. A cache
 * that cannot be written to is no cache, and nothing else.
 */
export function intoCache(cache: Cache, key: string, value: unknown): void {
  const content = serialize(value)
  if (HEAD_BYTES + content.length > MOST_ENTRY_BYTES) return
  const path = pathOf(cache, key)
  const fresh = join(cache.folder, `${key}.${cache.writer}-${randomBytes(8).toString('hex')}.begun`)
  try {
    const file = openSync(fresh, 'wx', 0o600)
    try {
      writeWhole(file, headOf(key, content))
      writeWhole(file, content)
    } finally {
      closeSync(file)
    }
    renameSync(fresh, path)
  } catch (error) {
    if (!isFileError(error)) throw error
    clearAway(fresh)
  }
}

function writeWhole(file: number, bytes: Uint8Array): void {
  for (let written = 0; written < bytes.length; ) written += writeSync(file, bytes, written)
}

/** Removes a file of the cache, if that can be done. */
export function clearAway(path: string): void {
  try {
    rmSync(path, { force: true })
  } catch (error) {
    if (!isFileError(error)) throw error
  }
}
