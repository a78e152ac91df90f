import { createHash } from 'node:crypto'
import type { Dirent } from 'node:fs'
import { lstat, readdir, readFile, realpath, stat } from 'node:fs/promises'
import { basename, dirname, join, relative, resolve, sep } from 'node:path'
import { failed, found, type Outcome, type Problem } from '../base/problem.ts'
import type { InputFile } from '../campaign/load/map-file.ts'
import { LARGEST_BYTES } from '../read/bytes.ts'
import { isCacheFolder } from './cache-marker.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'
import { largeTrackIn, readLargeTrack } from './large-track.ts'
import { besideReport, isUnfinished, tooLargeToRead, UNFINISHED } from './passed-over.ts'
import { reportPaths } from './report-folder.ts'

/** A file that was found and not read yet. */
export interface ListedFile {
  /** Relative to the folder, '/' between its parts. */
  path: string
  absolutePath: string
  size: number
}

interface Walk {
  root: string
  listed: ListedFile[]
  content: { problems: Problem[] }
}

/**
 * Lists all files below a folder, in the order of their names, without reading them. Passed over are hidden files, report
 * folders, a cache of this program, and links: what a link in the folder points to is read where it lies, if it lies
 * within, and not at all otherwise. A report folder is one with the list of what this program wrote there, whatever it is
 * called; whatever else lies in it is named. What cannot be looked at is a problem, and the walk goes on.
 * @param folder an existing folder
 */
export async function listFolder(folder: string): Promise<{ listed: ListedFile[]; problems: Problem[] }> {
  const root = await realpath(folder)
  const walk: Walk = { root, listed: [], content: { problems: [] } }
  await walkFolder(walk, walk.root)
  return { listed: walk.listed, problems: walk.content.problems }
}

/** What `listFolder` says of one path, or why it would never come to it. */
export type PathListing =
  | { listed: ListedFile[]; problems: Problem[]; passedOver: null }
  | { passedOver: 'outside' | 'hidden' | 'report' | 'cache' }

/**
 * The files that `listFolder` finds of one path below the folder.
 * @param path a file, a folder, or a link
 */
export async function listPath(folder: string, path: string): Promise<PathListing> {
  const root = await realpath(folder)
  const walk: Walk = { root, listed: [], content: { problems: [] } }
  const parent = await realpath(dirname(resolve(path))).catch(() => dirname(resolve(path)))
  const placed = join(parent, basename(resolve(path)))
  if (placed === root) await walkFolder(walk, root)
  else if (!placed.startsWith(root + sep)) return { passedOver: 'outside' }
  else {
    const passedOver = passedOverWithin(walk, placed)
    if (passedOver) return { passedOver }
    const entry = await orProblem(walk, placed, () => lstat(placed))
    if (entry !== null) await visit(walk, placed, entry)
  }
  return { listed: walk.listed, problems: walk.content.problems, passedOver: null }
}

function passedOverWithin({ root }: Walk, placed: string): 'hidden' | 'report' | 'cache' | null {
  let at = root
  for (const part of relative(root, placed).split(sep)) {
    at = join(at, part)
    if (part.startsWith('.')) return 'hidden'
    if (isCacheFolder(at)) return 'cache'
    if (reportPaths(at)) return 'report'
  }
  return null
}

/**
 * Reads a file that was listed, a track that is too large with fewer of its points; one that can no longer be read is a
 * problem.
 */
export async function readListed({
  path,
  absolutePath,
}: Pick<ListedFile, 'path' | 'absolutePath'>): Promise<Outcome<InputFile>> {
  try {
    const large = await largeTrackIn(absolutePath)
    const fewer = large && (await readLargeTrack(path, absolutePath, large))
    if (fewer) return found(fewer)
    if (large && !large.packed && large.bytes > LARGEST_BYTES)
      return failed({ ...tooLargeToRead(large.bytes, LARGEST_BYTES), file: path })
    const bytes = await readFile(absolutePath)
    return found({ path, bytes, sha256: createHash('sha256').update(bytes).digest('hex') })
  } catch (error) {
    if (!isFileError(error)) throw error
    const message = `this cannot be read: ${fileErrorReason(error)}`
    return failed({ code: 'file-unreadable', message, file: path })
  }
}

/** Reads files named one by one, which are known by their names as written; those that cannot be read are problems. */
export async function readNamed(paths: readonly string[]): Promise<{ files: InputFile[]; problems: Problem[] }> {
  const read = await Promise.all(paths.map((path) => readListed({ path, absolutePath: path })))
  return { files: read.flatMap(({ value }) => value ?? []), problems: read.flatMap(({ problems }) => problems) }
}

async function walkFolder(walk: Walk, path: string): Promise<void> {
  const entries = await orProblem(walk, path, () => readdir(path, { withFileTypes: true }))
  if (entries === null) return
  const sorted = entries.filter(({ name }) => !name.startsWith('.')).sort((a, b) => (a.name < b.name ? -1 : 1))
  for (const entry of sorted) await visit(walk, join(path, entry.name), entry)
}

async function visit(
  walk: Walk,
  path: string,
  entry: Pick<Dirent, 'isSymbolicLink' | 'isDirectory' | 'isFile'>,
): Promise<void> {
  if (entry.isSymbolicLink()) return visitLink(walk, path)
  if (entry.isDirectory()) {
    if (isCacheFolder(path)) return
    const isOfReport = reportPaths(path)
    return isOfReport ? nameOthers(walk, path, isOfReport) : walkFolder(walk, path)
  }
  if (!entry.isFile()) {
    walk.content.problems.push({
      code: 'not-a-file',
      severity: 'warning',
      message: 'this is a pipe, a socket or a device, not a file, and is not read',
      file: shortPath(walk, path),
    })
    return
  }
  if (isUnfinished(basename(path))) {
    walk.content.problems.push({ ...UNFINISHED, file: shortPath(walk, path) })
    return
  }
  const size = await orProblem(walk, path, async () => (await stat(path)).size)
  if (size === null) return
  if (size > LARGEST_BYTES && !(await orProblem(walk, path, () => largeTrackIn(path)))) {
    walk.content.problems.push({
      ...tooLargeToRead(size, LARGEST_BYTES),
      severity: 'warning',
      file: shortPath(walk, path),
    })
    return
  }
  walk.listed.push({ path: shortPath(walk, path), absolutePath: path, size })
}

/** Names what somebody has put into a report's folder: nothing is passed over without a word. */
async function nameOthers(walk: Walk, folder: string, isOfReport: (path: string) => boolean): Promise<void> {
  const entries = await orProblem(walk, folder, () => readdir(folder, { recursive: true, withFileTypes: true }))
  const others = (entries ?? [])
    .filter((entry) => !entry.isDirectory())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .filter((path) => !isOfReport(path) && !path.split('/').some((part) => part.startsWith('.')))
    .sort()
  if (others.length === 0) return
  walk.content.problems.push({ ...besideReport(others), file: shortPath(walk, folder) })
}

async function visitLink(walk: Walk, path: string): Promise<void> {
  const target = await orProblem(walk, path, () => realpath(path))
  if (target === null || target === walk.root || target.startsWith(walk.root + sep)) return
  walk.content.problems.push({
    code: 'link-out-of-folder',
    severity: 'warning',
    message: 'this is a link to something outside the folder, and is not followed',
    hint: 'Copy the file into the folder.',
    file: shortPath(walk, path),
  })
}

async function orProblem<T>(walk: Walk, path: string, work: () => Promise<T>): Promise<T | null> {
  try {
    return await work()
  } catch (error) {
    if (!isFileError(error)) throw error
    const message = `this cannot be read: ${fileErrorReason(error)}`
    walk.content.problems.push({ code: 'file-unreadable', severity: 'error', message, file: shortPath(walk, path) })
    return null
  }
}

const shortPath = ({ root }: Walk, path: string): string => relative(root, path).split(sep).join('/') || '.'
