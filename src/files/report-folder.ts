import { readdirSync, type Stats } from 'node:fs'
import { join } from 'node:path'
import type { Problem } from '../base/problem.ts'
import { digestOfFile } from './file-digest.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'
import { isWithin, lookAt, resolvedPath } from './places.ts'
import { readPlainFile } from './plain-file.ts'
import { LIST_NAME, listOf, type ReportList } from './report-list.ts'

/** What lies in a report's folder, by the list that the program left there. Paths have '/' between their parts. */
export interface ReportContent {
  /** Files that are as the program wrote them, the list itself last. */
  own: string[]
  /** Listed files that somebody has changed since. */
  changed: string[]
  /** All else: files, links, and folders in which the program wrote nothing; folders before what they hold. */
  others: string[]
  /** Folders that hold files of the program. */
  ownFolders: string[]
}

/**
 * Looks through a report's folder without following any link.
 * @param list null for a folder that has none: then nothing in it is the program's
 */
export function contentOf(folder: string, list: ReportList | null): ReportContent {
  const content: ReportContent = { own: [], changed: [], others: [], ownFolders: [] }
  const ownFolders = foldersOf(list ?? new Map())
  const walk = (inner: string): void => {
    for (const entry of readdirSync(join(folder, inner), { withFileTypes: true })) {
      const path = inner === '' ? entry.name : `${inner}/${entry.name}`
      if (list !== null && path === LIST_NAME) continue
      if (entry.isDirectory()) {
        if (ownFolders.has(path)) content.ownFolders.push(path)
        else content[list?.has(path) ? 'changed' : 'others'].push(path)
        walk(path)
      } else if (!list?.has(path)) content.others.push(path)
      else content[isAsWritten(folder, path, list) ? 'own' : 'changed'].push(path)
    }
  }
  walk('')
  if (list !== null) content.own.push(LIST_NAME)
  return content
}

function foldersOf(list: ReportList): Set<string> {
  const folders = new Set<string>()
  for (const path of list.keys()) {
    for (let at = path.lastIndexOf('/'); at > 0; at = path.lastIndexOf('/', at - 1)) folders.add(path.slice(0, at))
  }
  return folders
}

function isAsWritten(folder: string, path: string, list: ReportList): boolean {
  const written = list.get(path)
  const info = lookAt(join(folder, path))
  return (
    written !== undefined &&
    info?.isFile() === true &&
    info.size === written.sizeBytes &&
    digestOfFile(join(folder, path)) === written.sha256
  )
}

/** Digests of a report's files by their paths, if all that was written is still there as it was; null otherwise. */
export function digestsIn(folder: string): Record<string, string> | null {
  const list = listOf(folder)
  if (list === null || ![...list.keys()].every((path) => isAsWritten(folder, path, list))) return null
  return Object.fromEntries([...list].map(([path, { sha256 }]) => [path, sha256]))
}

/** Files that the systems' own file managers leave in any folder that was looked at. */
const OF_FILE_MANAGERS = ['.DS_Store', 'Thumbs.db', 'desktop.ini', '.directory']

/** What of the place of a report counts when it is to be replaced. */
export type Replaceable = Pick<ReportContent, 'others'>

/**
 * What a new report has to carry over when it takes a place; null where nothing is there yet; or why it cannot: only a
 * folder with the list of its files is replaced, or an empty one.
 * @param folder resolved path
 */
export function replaceableAt(folder: string): Replaceable | null | Problem {
  for (let tries = 1; ; tries++) {
    const before = lookAt(folder)
    if (before === null) return null
    if (tries === MOST_TRIES) return replaceable(folder, before)
    const state = steadily(() => replaceable(folder, before))
    // Another call may have put its report there while this one was looking through the last.
    const after = lookAt(folder)
    if (state !== null && after?.ino === before.ino) return state
  }
}

const MOST_TRIES = 100

/** What somebody takes away while it is looked through is looked through again: null. */
function steadily<T>(look: () => T): T | null {
  try {
    return look()
  } catch (error) {
    if (isFileError(error) && error.code === 'ENOENT') return null
    throw error
  }
}

function replaceable(folder: string, info: Stats): Replaceable | Problem {
  const refusal = (code: string, message: string, hint: string): Problem => ({
    code,
    severity: 'error',
    message: `the report was not written: ${message}`,
    hint,
    file: folder,
  })
  const elsewhere = 'Name another folder with --out, or move away what is there.'
  if (!info.isDirectory()) {
    const what = info.isSymbolicLink() ? 'a link to nothing' : 'a file'
    return refusal('out-not-a-report', `its place is taken by ${what} that this program did not write`, elsewhere)
  }
  const list = listOf(folder)
  if (list !== null) {
    const { changed, others } = contentOf(folder, list)
    if (changed.length === 0) return { others }
    const message = `${changed[0]} in this folder is no longer as this program wrote it, and would be lost`
    return refusal('out-changed', message, `Move or delete ${changed[0]}, or name another folder with --out.`)
  }
  if (isOlderReport(folder)) {
    const message = 'this report was made by an earlier version, which kept no list of its own files'
    return refusal('out-older-report', message, 'Move or delete this folder once, or name another one with --out.')
  }
  const names = readdirSync(folder).sort()
  const first = names.find((name) => !OF_FILE_MANAGERS.includes(name))
  if (first === undefined) return { others: names }
  const message = `this folder holds something that this program did not write, such as ${first}`
  return refusal('out-not-a-report', message, elsewhere)
}

/**
 * Why a report cannot lie there, told before any work is done; null where it can.
 * @param root the folder that is read, if there is one
 */
export function reportRefusal(root: string | null, out: string): Problem | null {
  try {
    const place = resolvedPath(out)
    if (root !== null && isWithin(resolvedPath(root), place)) {
      const message = 'the folder of the report must not be, or hold, the folder that is read'
      return { code: 'out-holds-input', severity: 'error', message, file: out }
    }
    const there = replaceableAt(place)
    return there !== null && 'code' in there ? { ...there, file: out } : null
  } catch (error) {
    if (!isFileError(error)) throw error
    return unwritable(error, out)
  }
}

export const unwritable = (error: NodeJS.ErrnoException, out: string): Problem => ({
  code: 'out-unwritable',
  severity: 'error',
  message: `the report could not be written: ${fileErrorReason(error)}; an earlier report, if there was one, is still there`,
  hint: 'Name a folder that can be written to with --out.',
  file: out,
})

/** Tells of something in the folder of a replaced report that could not be carried over, and is not the program's to delete. */
export const leftThere = (path: string): Problem => ({
  code: 'out-left',
  severity: 'warning',
  message: 'this was in the folder of a report that was replaced, and this program did not write it so; it was left',
  hint: 'Move it to where you want it, or delete it.',
  file: path,
})

const FILES = ['report.json', 'runs.csv', 'claims.csv', 'parts.csv', 'pairs.csv', 'index.html', 'report.md']

/** Whether a path in the report of an earlier version is one that it wrote, by its name. */
const isOlderName = (path: string): boolean =>
  FILES.includes(path) || /^cards\/[^/]+\.(svg|png|txt)$|^points\/[^/]+\.(csv|geojson|parquet)$/.test(path)

/** Whether a folder holds a whole report without a list: all seven files, of which report.json says that it is one. */
function isOlderReport(folder: string): boolean {
  const isThere = (name: string): boolean => lookAt(join(folder, name))?.isFile() === true
  const begin = readPlainFile(join(folder, FILES[0]), Number.MAX_SAFE_INTEGER, 64)
  return /^\{\s*"schema": "ceteris-report\//.test(begin?.toString('utf8') ?? '') && FILES.every(isThere)
}

/**
 * Which paths below a folder are of a report and no input; null where the folder is none. A report.json alone makes no
 * report: anybody can print one into any folder.
 */
export function reportPaths(folder: string): ((path: string) => boolean) | null {
  try {
    const list = listOf(folder)
    if (list !== null) return (path) => path === LIST_NAME || list.has(path)
    return isOlderReport(folder) ? isOlderName : null
  } catch (error) {
    if (isFileError(error)) return null
    throw error
  }
}

/** Whether a folder holds a report of this program. */
export const isReportFolder = (folder: string): boolean => reportPaths(folder) !== null
