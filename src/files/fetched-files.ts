import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { cleaned } from '../base/names.ts'
import { digestOfFile } from './file-digest.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'
import { makeFolder } from './make-folder.ts'
import { isWithin, lookAt, resolvedPath } from './places.ts'
import { beginWork, clearDeadWorks, endWork } from './unfinished-work.ts'

/**
 * Writes bytes to a file that is there as a whole or not at all; one that lies there is replaced only if it is still what
 * this program wrote, told by its digest.
 * @param folder the user's folder, out of which no link may lead
 * @param path below that folder, '/' between its parts
 * @param ours digests of what the program wrote there
 * @returns why it could not be written; null where it was
 */
export function placeFetched(folder: string, path: string, bytes: Uint8Array, ours: readonly string[]): string | null {
  try {
    const root = resolvedPath(folder)
    const target = join(resolvedPath(dirname(join(root, path))), path.slice(path.lastIndexOf('/') + 1))
    if (!isWithin(target, root))
      return `${cleaned(path)} leads out of the folder by a link, and nothing is written there`
    const refusal = refusalAt(target, path, ours)
    if (refusal !== null) return refusal
    makeFolder(dirname(target))
    clearDeadWorks(dirname(target))
    const work = beginWork(target)
    try {
      writeFileSync(work.fresh, bytes, { flag: 'wx' })
      // Somebody may have put a file there meanwhile.
      const late = refusalAt(target, path, ours)
      if (late !== null) return late
      renameSync(work.fresh, target)
      return null
    } finally {
      endWork(work)
    }
  } catch (error) {
    if (!isFileError(error)) throw error
    return `${cleaned(path)} could not be written: ${fileErrorReason(error)}`
  }
}

function refusalAt(target: string, path: string, ours: readonly string[]): string | null {
  const there = lookAt(target)
  if (there === null) return null
  if (there.isFile() && ours.includes(digestOfFile(target))) return null
  return `there is a file ${cleaned(path)} that this program did not write so; it is left as it is, and nothing is written`
}

/** Whether what lies at a path is what a digest says. */
export const isStillThere = (folder: string, path: string, sha256: string): boolean =>
  existsSync(join(folder, path)) && digestOfFile(join(folder, path)) === sha256

/** The text of a file in a folder; null where there is none. */
export function textOfFile(folder: string, path: string): string | null {
  try {
    return readFileSync(join(folder, path), 'utf8')
  } catch (error) {
    if (isFileError(error)) return null
    throw error
  }
}
