import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { LIST_NAME, type ReportList } from '../report/report-list.ts'
import { digestOfFile } from './file-digest.ts'
import { isFileError } from './file-errors.ts'
import { lookAt } from './places.ts'
import { readPlainFile } from './plain-file.ts'
import { listOf } from './report-list.ts'

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

const FILES = ['report.json', 'runs.csv', 'claims.csv', 'parts.csv', 'pairs.csv', 'index.html', 'report.md']

/** Whether a path in the report of an earlier version is one that it wrote, by its name. */
const isOlderName = (path: string): boolean =>
  FILES.includes(path) || /^cards\/[^/]+\.(svg|png|txt)$|^points\/[^/]+\.(csv|geojson|parquet)$/.test(path)

/** Whether a folder holds a whole report without a list: all seven files, of which report.json says that it is one. */
export function isOlderReport(folder: string): boolean {
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
