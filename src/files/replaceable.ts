import { lstatSync, readdirSync } from 'node:fs'
import type { Problem } from '../base/problem.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'
import { isWithin, lookAt, resolvedPath } from './places.ts'
import { contentOf, isOlderReport, type ReportContent } from './report-folder.ts'
import { listOf } from './report-list.ts'

/** What of the place of a report counts when it is to be replaced. */
export type Replaceable = Pick<ReportContent, 'others'>

/**
 * What a new report has to carry over when it takes a place; null where nothing is there yet; or why it cannot: only a
 * folder with the list of its files is replaced, or an empty one.
 *
 * Another call may put its report there while the folder is looked through, so that the list is of one report and the
 * files are of the next. An answer counts only if the place held one folder, unmoved, from the first look to the last.
 * @param folder resolved path
 */
export function replaceableAt(folder: string): Replaceable | null | Problem {
  for (let i = 0; i < MOST_TRIES; i++) {
    const before = stampOf(folder)
    if (before === null) return null
    let answer = replaceableNow(folder)
    if (answer !== null && !isNothingToKeep(answer)) {
      pause(STEP_MS)
      answer = replaceableNow(folder)
    }
    if (answer !== null && stampOf(folder) === before) return answer
    pause(STEP_MS * Math.random())
  }
  const message = 'the report was not written: other calls keep writing to the same place'
  const hint = 'Let each call write to a place of its own.'
  return { code: 'out-busy', severity: 'error', message, hint, file: folder }
}

const MOST_TRIES = 200

/** Some systems keep times in steps of up to 10 ms: a folder moved twice within one seems not to have been moved. */
const STEP_MS = 12

/** Stops this thread: what is done in one go must not be cut in two by an `await`. */
const pause = (milliseconds: number): void => {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, milliseconds)
}

/**
 * Tells a folder from any other, and from itself before it was last moved. The number alone does not: disks give that
 * of a deleted folder to the next one.
 */
function stampOf(path: string): string | null {
  const info = lstatSync(path, { bigint: true, throwIfNoEntry: false })
  return info === undefined ? null : [info.dev, info.ino, info.birthtimeNs, info.ctimeNs].join()
}

const isNothingToKeep = (answer: Replaceable | Problem): boolean => !('code' in answer) && answer.others.length === 0

/** As `replaceableAt`, of a folder that nobody exchanges meanwhile; null where it is gone, or goes while it is looked through. */
export function replaceableNow(folder: string): Replaceable | Problem | null {
  try {
    return lookAt(folder) === null ? null : replaceable(folder)
  } catch (error) {
    if (isFileError(error) && (error.code === 'ENOENT' || error.code === 'ENOTDIR')) return null
    throw error
  }
}

/** Files that the systems' own file managers leave in any folder that was looked at. */
const OF_FILE_MANAGERS = ['.DS_Store', 'Thumbs.db', 'desktop.ini', '.directory']

function replaceable(folder: string): Replaceable | Problem {
  const refusal = (code: string, message: string, hint: string): Problem => ({
    code,
    severity: 'error',
    message: `the report was not written: ${message}`,
    hint,
    file: folder,
  })
  const elsewhere = 'Name another folder with --out, or move away what is there.'
  const info = lstatSync(folder)
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
