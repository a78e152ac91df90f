import { existsSync, renameSync, rmSync } from 'node:fs'
import { lstat, mkdir, readdir, realpath, rename, rm, writeFile } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import type { Outcome } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'
import { isReportFolder } from './folder.ts'

/** Path within the report folder → content, whole or in pieces. */
export type ReportFiles = Record<string, Content>

export type Content = string | Uint8Array | Generator<string | Uint8Array>

/**
 * Replaces the report folder as a whole: the files are written to a new folder beside it, which then takes its place.
 * A crash leaves the old report, at worst under the hidden name that the next call puts right. A folder that holds
 * anything but a report of this program is never replaced.
 * @param folder absolute path of the report folder
 * @param more further files, each made when those before it are written
 * @returns the path written to
 */
export async function writeReport(
  folder: string,
  files: ReportFiles,
  more: Iterable<[path: string, Content]> = [],
): Promise<Outcome<string>> {
  try {
    const target = await realpath(folder).catch(() => folder)
    await mkdir(dirname(target), { recursive: true })
    await putRight(target)
    const present = await stateOf(target)
    if (present === 'foreign') {
      return failed({
        code: 'out-not-a-report',
        message: 'the report was not written, because its place is taken by something that this program did not write',
        hint: 'Name another folder with --out, or move away what is there.',
        file: folder,
      })
    }
    await replace(target, eachOf(files, more), present === 'free')
    return found(target)
  } catch (error) {
    if (!isFileError(error)) throw error
    return failed({
      code: 'out-unwritable',
      message: `the report could not be written: ${fileErrorReason(error)}; an earlier report, if there was one, is still there`,
      hint: 'Name a folder that can be written to with --out.',
      file: folder,
    })
  }
}

const hiddenName = (target: string, what: 'new' | 'old', id: number): string =>
  join(dirname(target), `.${basename(target)}.${what}-${id}`)

/** What is being written, for the case that somebody ends the program meanwhile. */
let underWay: { target: string; fresh: string; old: string } | null = null

/** Undoes what was begun: the earlier report is back in its place, and nothing lies beside it. */
export function abandonReport(): void {
  if (underWay === null) return
  const { target, fresh, old } = underWay
  if (!existsSync(target) && existsSync(old)) renameSync(old, target)
  for (const path of [fresh, old]) rmSync(path, { recursive: true, force: true })
}

function* eachOf(files: ReportFiles, more: Iterable<[string, Content]>): Generator<[string, Content]> {
  yield* Object.entries(files)
  yield* more
}

async function replace(target: string, files: Iterable<[string, Content]>, free: boolean): Promise<void> {
  const fresh = hiddenName(target, 'new', process.pid)
  const old = hiddenName(target, 'old', process.pid)
  underWay = { target, fresh, old }
  try {
    await mkdir(fresh)
    for (const [name, content] of files) {
      await mkdir(dirname(join(fresh, name)), { recursive: true })
      await writeFile(join(fresh, name), content)
    }
    if (!free) await rename(target, old)
    try {
      await rename(fresh, target)
    } catch (error) {
      if (!free) await rename(old, target)
      throw error
    }
  } catch (error) {
    await rm(fresh, { recursive: true, force: true })
    throw error
  }
  await rm(old, { recursive: true, force: true })
  underWay = null
}

async function stateOf(target: string): Promise<'free' | 'replaceable' | 'foreign'> {
  const info = await lstat(target).catch((error: unknown) => {
    if (isFileError(error) && error.code === 'ENOENT') return null
    throw error
  })
  if (info === null) return 'free'
  if (!info.isDirectory()) return 'foreign'
  return (await readdir(target)).length === 0 || (await isReportFolder(target)) ? 'replaceable' : 'foreign'
}

/** Clears up after a process that was killed: brings back the old report if none is in its place, removes the rest. */
async function putRight(target: string): Promise<void> {
  const start = `.${basename(target)}.`
  for (const name of (await readdir(dirname(target))).sort()) {
    const left = name.startsWith(start) ? /^(new|old)-(\d+)$/.exec(name.slice(start.length)) : null
    if (left === null || isRunning(Number(left[2]))) continue
    const path = join(dirname(target), name)
    if (left[1] === 'old' && (await stateOf(target)) === 'free') await rename(path, target)
    else await rm(path, { recursive: true, force: true })
  }
}

/** Signal 0 only asks whether the process exists. */
function isRunning(processId: number): boolean {
  if (processId === process.pid) return false
  try {
    process.kill(processId, 0)
    return true
  } catch (error) {
    return isFileError(error) && error.code === 'EPERM'
  }
}
