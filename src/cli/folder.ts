import { createHash } from 'node:crypto'
import type { Dirent } from 'node:fs'
import { open, readdir, readFile, realpath, stat } from 'node:fs/promises'
import { join, relative, sep } from 'node:path'
import type { Problem } from '../base/problem.ts'
import type { InputFile } from '../pipeline/map-file.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'

/** A track of a day at ten fixes a second has some 200 MB; what is larger is a film or a disk image. */
const MAX_FILE_BYTES = 512 * 1024 * 1024

export interface FolderContent {
  files: InputFile[]
  /** What could not be read or was passed over, with the path in `file`. */
  problems: Problem[]
}

interface Walk {
  root: string
  /** Absolute paths of folders that are not entered. */
  skipped: string[]
  content: FolderContent
}

/**
 * Reads all files below a folder, in the order of their names. Passed over are hidden files, report folders (the named
 * ones, and any that holds a report of this program), and links: what a link in the folder points to is read where it
 * lies, if it lies within, and not at all otherwise. What cannot be read is a problem, and the walk goes on.
 * @param folder an existing folder
 * @param reportFolders absolute paths never entered
 */
export async function readFolder(folder: string, reportFolders: readonly string[]): Promise<FolderContent> {
  const walk: Walk = { root: await realpath(folder), skipped: [...reportFolders], content: { files: [], problems: [] } }
  await walkFolder(walk, walk.root)
  return walk.content
}

async function walkFolder(walk: Walk, path: string): Promise<void> {
  const entries = await orProblem(walk, path, () => readdir(path, { withFileTypes: true }))
  if (entries === null) return
  const sorted = entries.filter(({ name }) => !name.startsWith('.')).sort((a, b) => (a.name < b.name ? -1 : 1))
  for (const entry of sorted) await visit(walk, join(path, entry.name), entry)
}

async function visit(walk: Walk, path: string, entry: Dirent): Promise<void> {
  if (entry.isSymbolicLink()) return visitLink(walk, path)
  if (entry.isDirectory()) {
    const skip = walk.skipped.includes(path) || (await isReportFolder(path))
    return skip ? undefined : walkFolder(walk, path)
  }
  if (!entry.isFile()) return
  const read = await orProblem(walk, path, async () => {
    const { size } = await stat(path)
    return size > MAX_FILE_BYTES ? size : readFile(path)
  })
  if (read === null) return
  if (typeof read === 'number') {
    const message = `found ${Math.round(read / 2 ** 20)} MB, expected at most ${MAX_FILE_BYTES / 2 ** 20} MB; the file was not read`
    walk.content.problems.push({ code: 'file-too-large', severity: 'warning', message, file: shortPath(walk, path) })
    return
  }
  const sha256 = createHash('sha256').update(read).digest('hex')
  walk.content.files.push({ path: shortPath(walk, path), bytes: read, sha256 })
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

/** Whether a folder holds a report that this program wrote. */
export async function isReportFolder(path: string): Promise<boolean> {
  try {
    const file = await open(join(path, 'report.json'))
    try {
      const { buffer, bytesRead } = await file.read(Buffer.alloc(64), 0, 64, 0)
      return /^\{\s*"schema": "ceteris-report\//.test(buffer.toString('utf8', 0, bytesRead))
    } finally {
      await file.close()
    }
  } catch (error) {
    if (isFileError(error)) return false
    throw error
  }
}
