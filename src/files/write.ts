import { createHash } from 'node:crypto'
import { existsSync, renameSync, rmSync } from 'node:fs'
import { lstat, mkdir, open, readdir, realpath, rename, rm } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import type { Outcome } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'
import { isReportFolder } from './folder.ts'

/** Path within the report folder, '/' between its parts → content, whole or in pieces. */
export type ReportFiles = Record<string, Content>

export type Content = string | Uint8Array | Generator<string | Uint8Array>

/** A report that lies in its place. */
export interface WrittenReport {
  folder: string
  /** SHA-256 of each file's content by its path. */
  digests: Record<string, string>
}

/**
 * Replaces the report folder as a whole: the files are written to a new folder beside it, which then takes its place.
 * A crash leaves the old report, at worst under the hidden name that the next call puts right. A folder that holds
 * anything but a report of this program is never replaced.
 * @param folder absolute path of the report folder
 * @param more further files, each made when those before it are written
 */
export async function writeReport(
  folder: string,
  files: ReportFiles,
  more: Iterable<[path: string, Content]> = [],
): Promise<Outcome<WrittenReport>> {
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
    return found({ folder: target, digests: await replace(target, eachOf(files, more), present === 'free') })
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

async function replace(
  target: string,
  files: Iterable<[string, Content]>,
  free: boolean,
): Promise<WrittenReport['digests']> {
  const fresh = hiddenName(target, 'new', process.pid)
  const old = hiddenName(target, 'old', process.pid)
  const digests: WrittenReport['digests'] = {}
  underWay = { target, fresh, old }
  try {
    await mkdir(fresh)
    for (const [name, content] of files) {
      await mkdir(dirname(join(fresh, name)), { recursive: true })
      digests[name] = await writeContent(join(fresh, name), content)
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
  return digests
}

/** Writes a new file, and gives the SHA-256 of what is in it. */
async function writeContent(path: string, content: Content): Promise<string> {
  const hash = createHash('sha256')
  const file = await open(path, 'wx')
  try {
    for (const piece of largePieces(content)) {
      const writing = file.writeFile(piece)
      hash.update(piece)
      await writing
    }
  } finally {
    await file.close()
  }
  return hash.digest('hex')
}

const LARGE_BYTES = 2 ** 20

/** The content in pieces that are worth a call of the system each. */
function* largePieces(content: Content): Generator<Uint8Array> {
  let some: Uint8Array[] = []
  let bytes = 0
  for (const piece of typeof content === 'string' || ArrayBuffer.isView(content) ? [content] : content) {
    some.push(typeof piece === 'string' ? Buffer.from(piece) : piece)
    bytes += some.at(-1)!.length
    if (bytes < LARGE_BYTES) continue
    yield Buffer.concat(some)
    ;[some, bytes] = [[], 0]
  }
  if (bytes > 0) yield Buffer.concat(some)
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
