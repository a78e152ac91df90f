import { stat } from 'node:fs/promises'
import { availableParallelism } from 'node:os'
import { resolve } from 'node:path'
import { cleaned } from '../base/names.ts'
import type { Problem } from '../base/problem.ts'
import type { WholeFile } from '../campaign/load/map-file.ts'
import { fileErrorReason, isFileError } from '../files/file-errors.ts'
import { listFolder } from '../files/folder.ts'
import { type MappedFolder, mapFolder } from './map-folder.ts'
import { silent } from './progress.ts'

/** A campaign folder's files after the map step, or why there are none to work on. */
export type Opened = (MappedFolder<WholeFile> & { root: string; refusal: null }) | { refusal: string }

/** Reads a campaign's folder for a command that cannot work without a file in it. */
export async function openFolder(written: string): Promise<Opened> {
  const root = resolve(written)
  const refusal = await folderRefusal(root, written)
  if (refusal !== null) return { refusal }
  const { listed, problems } = await listFolder(root)
  const folder = await mapFolder(listed, { jobs: availableParallelism(), progress: silent })
  const all = [...problems, ...folder.problems]
  if (folder.mapped.length > 0) return { ...folder, root, problems: all, refusal: null }
  for (const problem of all) sayProblem(problem)
  return { refusal: `the folder ${cleaned(written)} holds no file that could be read; put GPX tracks into it` }
}

/** Why a path is no folder to read; null where it is one. */
export async function folderRefusal(root: string, written: string): Promise<string | null> {
  try {
    return (await stat(root)).isDirectory() ? null : `${cleaned(written)} is a file, expected a folder`
  } catch (error) {
    if (!isFileError(error)) throw error
    return `the folder ${cleaned(written)} cannot be read: ${fileErrorReason(error)}`
  }
}

/** One problem on stderr: its place as file, line and column, and its fix. */
export function sayProblem({ file, line, column, message, hint }: Problem): void {
  const place = [file && cleaned(file), line, line && column].filter(Boolean).join(':')
  process.stderr.write(`${place ? `${place}: ` : ''}${cleaned(message)}\n${hint ? `  ${hint}\n` : ''}`)
}
