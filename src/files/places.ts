import { lstatSync, readlinkSync, realpathSync, type Stats } from 'node:fs'
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from 'node:path'
import { digestOfFile } from './file-digest.ts'
import { isFileError } from './file-errors.ts'

/** The absolute path with the links in it resolved, as far as it exists. */
export function resolvedPath(path: string): string {
  const absolute = resolve(path)
  try {
    return realpathSync.native(absolute)
  } catch (error) {
    if (!isFileError(error)) throw error
    const parent = dirname(absolute)
    return parent === absolute ? absolute : join(resolvedPath(parent), basename(absolute))
  }
}

/** Whether a resolved path is a folder, or lies anywhere below it. */
export function isWithin(path: string, folder: string): boolean {
  const way = relative(folder, path)
  return way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way)
}

/** What lies at a path, links not followed; null where nothing does. */
export function lookAt(path: string): Stats | null {
  try {
    return lstatSync(path)
  } catch (error) {
    if (isFileError(error) && (error.code === 'ENOENT' || error.code === 'ENOTDIR')) return null
    throw error
  }
}

/** Whether two paths lead to one file of the disk, by whatever names and links. */
export function isOneFile(a: string, b: string): boolean {
  const [first, second] = [a, b].map((path) => lookAt(resolvedPath(path)))
  return first !== null && second !== null && isSameInode(first, second)
}

/** Whether the same lies at both paths: two folders, links to the same, or one file or two of the same content. */
export function isSame(a: string, b: string): boolean {
  const [first, second] = [lookAt(a), lookAt(b)]
  if (first === null || second === null) return false
  if (isSameInode(first, second)) return true
  if (first.isDirectory() || second.isDirectory()) return first.isDirectory() && second.isDirectory()
  if (first.isSymbolicLink() && second.isSymbolicLink()) return readlinkSync(a) === readlinkSync(b)
  if (!first.isFile() || !second.isFile() || first.size !== second.size) return false
  const digest = digestOfFile(a)
  return digest !== '' && digest === digestOfFile(b)
}

const isSameInode = (a: Stats, b: Stats): boolean => a.dev === b.dev && a.ino === b.ino && a.ino !== 0
