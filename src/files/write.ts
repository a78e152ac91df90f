import { createHash } from 'node:crypto'
import { chmodSync } from 'node:fs'
import { mkdir, open } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { LIST_NAME, listText, type WrittenFile } from '../report/report-list.ts'
import { isFileError } from './file-errors.ts'
import { makeFolder } from './make-folder.ts'
import { lookAt, resolvedPath } from './places.ts'
import { leftThere, replaceableAt, replaceableNow, unwritable } from './replaceable.ts'
import { carryOver } from './replaced.ts'
import { beginWork, bringBack, clearDeadWorks, endWork, movedTo, type Work } from './unfinished-work.ts'

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
 * Replaces the report folder as a whole: the files are written to a new folder beside it, with a list of them, which
 * then takes its place. Only a folder with such a list, or an empty one, is replaced; of what lies there only the files
 * of the list go, and all else is in the new folder as it was. A crash leaves the old report, at worst under a hidden
 * name from which the next call brings it back. Of several calls at once the last one's report stays.
 * @param folder path of the report folder
 * @param more further files, each made when those before it are written
 */
export async function writeReport(
  folder: string,
  files: ReportFiles,
  more: Iterable<[path: string, Content]> = [],
): Promise<Outcome<WrittenReport>> {
  try {
    const target = resolvedPath(folder)
    makeFolder(dirname(target))
    const left = clearDeadWorks(dirname(target))
    const refusal = replaceableAt(target)
    if (refusal !== null && 'code' in refusal) return failed({ ...refusal, file: folder })
    const work = beginWork(target)
    let written: Map<string, WrittenFile> | null = null
    let taken: Problem | null = null
    try {
      written = await writeFiles(work.fresh, eachOf(files, more))
      taken = await placed(work)
    } finally {
      left.push(...(await ended(work)))
    }
    if (taken !== null) return failed({ ...taken, file: folder })
    const digests = Object.fromEntries([...written].map(([path, { sha256 }]) => [path, sha256]))
    return found({ folder: target, digests }, left.map(leftThere))
  } catch (error) {
    if (!isFileError(error)) throw error
    return failed(unwritable(error, folder))
  }
}

function* eachOf(files: ReportFiles, more: Iterable<[string, Content]>): Generator<[string, Content]> {
  yield* Object.entries(files)
  yield* more
}

/** Writes the files of a new folder and, when they are whole, the list of them. */
async function writeFiles(folder: string, files: Iterable<[string, Content]>): Promise<Map<string, WrittenFile>> {
  const list = new Map<string, WrittenFile>()
  await mkdir(folder)
  for (const [name, content] of files) {
    makeFolder(dirname(join(folder, name)))
    list.set(name, await writeContent(join(folder, name), content))
  }
  await writeContent(join(folder, LIST_NAME), listText(list))
  return list
}

/** So often others may take the place first. */
const MOST_TRIES = 1000

/** Puts the new report in its place, while others may do the same. @returns why that cannot be */
async function placed(work: Work): Promise<Problem | null> {
  for (let i = 0; i < MOST_TRIES && lookAt(work.fresh) !== null; i++) {
    const state = tryOnce(work)
    if (state === 'placed') return null
    if (state !== 'again') return state
    await sleep(20 * Math.random())
  }
  const message =
    'the report was not written: other calls keep writing to the same place, or have removed what this one wrote'
  return { code: 'out-unwritable', severity: 'error', message, hint: 'Let each call write to a place of its own.' }
}

function tryOnce(work: Work): ReturnType<typeof tryToPlace> {
  try {
    return tryToPlace(work)
  } catch (error) {
    // Another call took away what this one was just carrying over: that one carries it too.
    if (isFileError(error) && error.code === 'ENOENT' && lookAt(work.fresh) !== null) return 'again'
    throw error
  }
}

/** In one go, so that nothing that ends the program politely comes in between. */
function tryToPlace(work: Work): 'placed' | 'again' | Problem {
  const { target, fresh } = work
  bringBack(target)
  const there = replaceableAt(target)
  if (there !== null) {
    if ('code' in there) return there
    const conflict = carryOver(target, fresh, there.others)
    if (conflict !== null) return conflictAt(target, conflict)
    const mode = lookAt(target)?.mode
    if (mode !== undefined) chmodSync(fresh, mode)
    const old = join(work.folder, `old-${++work.taken}`)
    if (!movedTo(target, old)) return 'again'
    const moved = replaceableNow(old)
    if (moved === null || 'code' in moved) {
      movedTo(old, target)
      return 'again'
    }
  }
  return movedTo(fresh, target) ? 'placed' : 'again'
}

const conflictAt = (target: string, path: string): Problem => ({
  code: 'out-not-a-report',
  severity: 'error',
  message: `the report was not written: ${basename(target)}/${path} is not this program's, and one of its files has to lie there`,
  hint: 'Move it away, or name another folder with --out.',
})

/** Ends the work; while another call is just putting its report in place, it is not known yet what is carried over there. */
async function ended(work: Work): Promise<string[]> {
  for (let i = 0; ; i++) {
    const kept = endWork(work)
    if (i === 20 || lookAt(work.folder) === null) return kept
    await sleep(20)
  }
}

/** Writes a new file, and tells what is in it. */
async function writeContent(path: string, content: Content): Promise<WrittenFile> {
  const hash = createHash('sha256')
  let sizeBytes = 0
  const file = await open(path, 'wx')
  try {
    for (const piece of largePieces(content)) {
      const writing = file.writeFile(piece)
      hash.update(piece)
      sizeBytes += piece.length
      await writing
    }
  } finally {
    await file.close()
  }
  return { sizeBytes, sha256: hash.digest('hex') }
}

const LARGE_BYTES = 2 ** 20

/** The content in pieces that are worth a call of the system each. */
export function* largePieces(content: Content): Generator<Uint8Array> {
  let some: Uint8Array[] = []
  let bytes = 0
  for (const piece of typeof content === 'string' || ArrayBuffer.isView(content) ? [content] : content) {
    const next = typeof piece === 'string' ? Buffer.from(piece) : piece
    some.push(next)
    bytes += next.length
    if (bytes < LARGE_BYTES) continue
    yield Buffer.concat(some)
    ;[some, bytes] = [[], 0]
  }
  if (bytes > 0) yield Buffer.concat(some)
}
