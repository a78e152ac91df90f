import { createHash, randomUUID } from 'node:crypto'
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { homedir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { deserialize, serialize } from 'node:v8'
import { isFileError } from '../files/file-errors.ts'
import { programFile } from '../files/program.ts'
import { toJson } from '../records/column-json.ts'

const SCHEMA = 1
const MAGIC = Buffer.from('ceteris-cache/1\n')
const DIGEST_BYTES = 32

/** Room that the cache may take, and what it is brought down to when it takes more. */
const MOST_BYTES = 4 * 2 ** 30
const CUT_DOWN_BYTES = 3 * 2 ** 30

/** Results of earlier calls, kept by the content of what they were made from. */
export interface Cache {
  folder: string
  /** In every key: another program, or another form of values in memory, finds nothing of this one's. */
  version: string
}

/**
 * The user's cache folder: beside no data, so that folders which are shared or cannot be written to stay as they are.
 * @source XDG Base Directory Specification; Apple File System Programming Guide; Microsoft KNOWNFOLDERID (LocalAppData)
 */
export function cacheFolder(environment: NodeJS.ProcessEnv, platform: NodeJS.Platform): string {
  const own = environment.CETERIS_CACHE_DIR
  if (own) return own
  if (platform === 'win32')
    return join(environment.LOCALAPPDATA || join(homedir(), 'AppData/Local'), 'ceteris', 'Cache')
  if (platform === 'darwin') return join(homedir(), 'Library/Caches/ceteris')
  return join(environment.XDG_CACHE_HOME || join(homedir(), '.cache'), 'ceteris')
}

/** @param program what the program itself is, such as `programName` gives */
export function openCache(folder: string, program: string): Cache {
  return { folder, version: `${program}, entries ${SCHEMA}` }
}

/**
 * Names the program so that nothing else has its name: with a digest of its own files, because a version number alone
 * would let a program under development believe its past, and with the engine that it computes with.
 */
export const programName = (version: string): string =>
  `ceteris ${version}, build ${programDigest().slice(0, 16)}, V8 ${process.versions.v8}`

function programDigest(): string {
  const root = fileURLToPath(programFile('.'))
  const hash = createHash('sha256')
  for (const name of readdirSync(root, { recursive: true, encoding: 'utf8' }).sort()) {
    if (name.endsWith('.js')) hash.update(`${name}\n`).update(readFileSync(join(root, name)))
  }
  return hash.digest('hex')
}

/** The key of a result: a digest of all that it depends on. */
export function keyOf(
  { version }: Pick<Cache, 'version'>,
  what: string,
  parts: readonly (string | Uint8Array)[],
): string {
  const hash = createHash('sha256').update(`${version}\n${what}\n`)
  for (const part of parts) {
    hash.update(`${part.length}:`)
    hash.update(part)
  }
  return hash.digest('hex')
}

/**
 * A digest of plain data and columns. Not of their form in the engine's memory: that of a number depends on how it came
 * about, and a value read back from the cache would not be the one that was put there.
 */
export const digestOf = (value: unknown): string => createHash('sha256').update(toJson(value)).digest('hex')

const pathOf = (cache: Cache, key: string): string => join(cache.folder, key.slice(0, 2), key.slice(2))

/**
 * What is kept under a key; undefined where there is nothing, or where what is there is not whole: an entry carries its
 * key and a digest of its content, and one that does not fit is never believed.
 */
export function fromCache(cache: Cache, key: string): unknown {
  try {
    const bytes = readFileSync(pathOf(cache, key))
    const start = MAGIC.length + 2 * DIGEST_BYTES
    const content = bytes.subarray(start)
    const head = Buffer.concat([MAGIC, Buffer.from(key, 'hex'), createHash('sha256').update(content).digest()])
    if (!head.equals(bytes.subarray(0, start))) return undefined
    const value: unknown = deserialize(content)
    touch(pathOf(cache, key))
    return value
  } catch (error) {
    // No entry, or one in a form that this Node does not know.
    if (error instanceof Error) return undefined
    throw error
  }
}

/** What is kept under a key, or else what `make` gives, kept for the next time. */
export function throughCache<T>(cache: Cache, key: string, make: () => T): T {
  const known = fromCache(cache, key) as T | undefined
  if (known !== undefined) return known
  const fresh = make()
  intoCache(cache, key, fresh)
  return fresh
}

/** Entries are thrown out by when they were last used. */
function touch(path: string): void {
  const now = new Date()
  utimesSync(path, now, now)
}

/**
 * Keeps a value under a key: written beside and renamed, so that another process finds it whole or not at all. A cache
 * that cannot be written to is no cache, and nothing else.
 */
export function intoCache(cache: Cache, key: string, value: unknown): void {
  const path = pathOf(cache, key)
  const fresh = `${path}.${process.pid}-${randomUUID()}`
  try {
    const content = serialize(value)
    mkdirSync(join(cache.folder, key.slice(0, 2)), { recursive: true })
    const digest = createHash('sha256').update(content).digest()
    writeFileSync(fresh, Buffer.concat([MAGIC, Buffer.from(key, 'hex'), digest, content]))
    renameSync(fresh, path)
  } catch (error) {
    if (!isFileError(error)) throw error
    clearAway(fresh)
  }
}

function clearAway(path: string): void {
  try {
    rmSync(path, { force: true })
  } catch (error) {
    if (!isFileError(error)) throw error
  }
}

/** An entry that is being written, by the process of this number, or was when that ended. */
const UNFINISHED = /\.(\d+)-[0-9a-f-]{36}$/
/** No entry takes so long to be written. */
const UNFINISHED_MS = 3_600_000

/** Removes what this process has begun to write and will not finish. */
export function clearUnfinished(cache: Cache): void {
  try {
    for (const name of readdirSync(cache.folder, { recursive: true, encoding: 'utf8' })) {
      if (UNFINISHED.exec(name)?.[1] === String(process.pid)) clearAway(join(cache.folder, name))
    }
  } catch (error) {
    if (!isFileError(error)) throw error
  }
}

/**
 * Throws out what a process that was killed has left half written, and where the cache has grown too large the entries
 * that were not used for longest.
 */
export function trimCache(cache: Cache, mostBytes = MOST_BYTES, cutDownBytes = CUT_DOWN_BYTES): void {
  try {
    const entries = readdirSync(cache.folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .flatMap((path) => {
        const info = statSync(path, { throwIfNoEntry: false })
        return info ? [{ path, size: info.size, usedMs: info.mtimeMs }] : []
      })
    const isLeft = ({ path, usedMs }: (typeof entries)[number]): boolean =>
      UNFINISHED.test(path) && usedMs < Date.now() - UNFINISHED_MS
    for (const { path } of entries.filter(isLeft)) clearAway(path)
    const whole = entries.filter((entry) => !isLeft(entry))
    let bytes = whole.reduce((sum, { size }) => sum + size, 0)
    if (bytes <= mostBytes) return
    for (const { path, size } of whole.sort((a, b) => a.usedMs - b.usedMs)) {
      if (bytes <= cutDownBytes) return
      rmSync(path, { force: true })
      bytes -= size
    }
  } catch (error) {
    if (!isFileError(error)) throw error
  }
}
