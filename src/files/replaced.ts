import {
  chmodSync,
  constants,
  copyFileSync,
  linkSync,
  lutimesSync,
  mkdirSync,
  readlinkSync,
  rmdirSync,
  type Stats,
  symlinkSync,
  unlinkSync,
  utimesSync,
} from 'node:fs'
import { dirname, join } from 'node:path'
import { isFileError } from './file-errors.ts'
import { isSame, lookAt } from './places.ts'
import { contentOf } from './report-folder.ts'
import { listOf } from './report-list.ts'

/**
 * Makes what is not the program's appear in another folder too: files under a second name (or copied, where the disk
 * knows no second names), links and folders made again. Nothing is taken away.
 * @param paths in the folder, folders before what they hold
 * @returns the first path whose place is taken there; null where all is done
 */
export function carryOver(from: string, to: string, paths: readonly string[]): string | null {
  const folders: [path: string, info: Stats][] = []
  for (const path of paths) {
    const [source, place] = [join(from, path), join(to, path)]
    const info = lookAt(source)
    // Gone meanwhile, or there from an earlier try.
    if (info === null || isSame(source, place)) continue
    if (lookAt(place) !== null || !hasFolder(to, dirname(path))) return path
    makeFolders(to, dirname(path))
    if (info.isDirectory()) {
      mkdirSync(place)
      folders.push([place, info])
    } else secondName(source, place, info)
  }
  for (const [place, { mode, atime, mtime }] of folders.reverse()) {
    chmodSync(place, mode)
    utimesSync(place, atime, mtime)
  }
  return null
}

/** Whether nothing but folders stands where the folders of a path have to be. */
function hasFolder(to: string, inner: string): boolean {
  if (inner === '.') return true
  return (lookAt(join(to, inner))?.isDirectory() ?? true) && hasFolder(to, dirname(inner))
}

/** Makes the folders of a path that are not there yet; never `to` itself, which another call may just have moved. */
function makeFolders(to: string, inner: string): void {
  if (inner === '.' || lookAt(join(to, inner)) !== null) return
  makeFolders(to, dirname(inner))
  mkdirSync(join(to, inner))
}

function secondName(source: string, place: string, info: Stats): void {
  if (info.isSymbolicLink()) {
    symlinkSync(readlinkSync(source), place)
    lutimesSync(place, info.atime, info.mtime)
    return
  }
  try {
    linkSync(source, place)
  } catch (error) {
    if (!isFileError(error) || !info.isFile() || error.code === 'EEXIST') throw error
    copyFileSync(source, place, constants.COPYFILE_EXCL)
    utimesSync(place, info.atime, info.mtime)
  }
}

/**
 * Removes a report that another has replaced. Of what is not the program's, or was changed, only what lies in the new
 * report too goes; the rest is brought there, or else stays.
 * @returns paths that stay
 */
export function clearReplaced(folder: string, target: string): string[] {
  const { own, changed, others, ownFolders } = contentOf(folder, listOf(folder))
  const list = own.splice(-1)
  for (const path of own) remove(join(folder, path))
  const kept: string[] = []
  for (const path of [...others, ...changed].reverse()) {
    const [old, place] = [join(folder, path), join(target, path)]
    if (!isSame(old, place) && lookAt(target)?.isDirectory()) carryOver(folder, target, [path])
    if (isSame(old, place)) remove(old)
    else if (lookAt(old) !== null) kept.push(old)
  }
  for (const path of ownFolders.reverse()) remove(join(folder, path))
  if (kept.length > 0) return kept
  for (const path of list) remove(join(folder, path))
  remove(folder)
  return []
}

/** Removes a file, a link or an empty folder; one that is not empty stays, and one that is gone is no fault. */
function remove(path: string): void {
  try {
    if (lookAt(path)?.isDirectory()) rmdirSync(path)
    else unlinkSync(path)
  } catch (error) {
    if (!isFileError(error) || !['ENOENT', 'ENOTEMPTY', 'EEXIST'].includes(error.code ?? '')) throw error
  }
}
