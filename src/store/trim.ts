import { lstatSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { isFileError } from '../files/file-errors.ts'
import { readPlainFile } from '../files/plain-file.ts'
import { type Cache, clearAway, MAGIC } from './cache.ts'

/** Room that the cache may take, and what it is brought down to when it takes more. */
const MOST_BYTES = 4 * 2 ** 30
const CUT_DOWN_BYTES = 3 * 2 ** 30

const ENTRY = /^[0-9a-f]{64}\.entry$/
/** An entry that is being written, by the call of this name, or was when that ended. */
const BEGUN = /^[0-9a-f]{64}\.([0-9a-f]{16})-[0-9a-f]{16}\.begun$/
/** No entry takes so long to be written. */
const BEGUN_MS = 3_600_000

interface Found {
  path: string
  size: number
  usedMs: number
}

/** Plain files of the cache's folder whose names are of a kind; links, folders and all else are not looked at. */
function filesNamed(folder: string, name: RegExp): Found[] {
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isFile() && name.test(entry.name))
    .flatMap((entry) => {
      const path = join(folder, entry.name)
      const info = lstatSync(path, { throwIfNoEntry: false })
      return info?.isFile() ? [{ path, size: info.size, usedMs: info.mtimeMs }] : []
    })
}

/** Whether a file begins as an entry does: only such a file is ever counted or removed. */
function isEntry({ path, size }: Found): boolean {
  return readPlainFile(path, size, MAGIC.length)?.equals(MAGIC) ?? false
}

/** Whether a file was begun as an entry: it may have ended before its first byte. */
function isBegun({ path, size }: Found): boolean {
  const start = readPlainFile(path, size, MAGIC.length)
  return start?.equals(MAGIC.subarray(0, start.length)) ?? false
}

/** Removes what this call has begun to write and will not finish. */
export function clearUnfinished({ folder, writer }: Cache): void {
  whereReadable(() => {
    for (const found of filesNamed(folder, BEGUN)) {
      if (found.path.includes(`.${writer}-`) && isBegun(found)) clearAway(found.path)
    }
  })
}

/**
 * Throws out what a call that was killed has left half written and, where the cache has grown too large, the entries
 * that were not used for longest. What is no entry by its name and its first bytes is neither counted nor touched.
 */
export function trimCache({ folder }: Cache, mostBytes = MOST_BYTES, cutDownBytes = CUT_DOWN_BYTES): void {
  whereReadable(() => {
    for (const found of filesNamed(folder, BEGUN)) {
      if (found.usedMs < Date.now() - BEGUN_MS && isBegun(found)) clearAway(found.path)
    }
    const named = filesNamed(folder, ENTRY)
    if (bytesOf(named) <= mostBytes) return
    const entries = named.filter(isEntry)
    let bytes = bytesOf(entries)
    if (bytes <= mostBytes) return
    for (const { path, size } of entries.sort((a, b) => a.usedMs - b.usedMs)) {
      if (bytes <= cutDownBytes) return
      clearAway(path)
      bytes -= size
    }
  })
}

const bytesOf = (files: Found[]): number => files.reduce((sum, { size }) => sum + size, 0)

/** A cache that cannot be read is left as it is. */
function whereReadable(work: () => void): void {
  try {
    work()
  } catch (error) {
    if (!isFileError(error)) throw error
  }
}
