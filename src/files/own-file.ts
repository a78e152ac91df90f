import { once } from 'node:events'
import { createReadStream, linkSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { open } from 'node:fs/promises'
import { dirname } from 'node:path'
import { cleaned } from '../base/names.ts'
import { sha256, toHex } from '../base/platform.ts'
import { RECORD_SCHEMA } from '../records/batch-record.ts'
import { stoppingCleanly } from './clean-stop.ts'
import { fileErrorReason, isFileError } from './file-errors.ts'
import { makeFolder } from './make-folder.ts'
import { isOneFile, isWithin, lookAt, resolvedPath } from './places.ts'
import { abandonWorks, beginWork, clearDeadWorks, endWork } from './unfinished-work.ts'

/** A kind of single file that the program writes, and knows again by its content. */
export interface OwnKind {
  what: string
  isOwn: (path: string) => Promise<boolean>
}

/** Records, one in each line; nothing else may stand there. */
export const RECORDS: OwnKind = { what: 'records', isOwn: holdsRecordsAlone }

/** A picture that ends in a mark with the digest of all before it, so that one that was changed is known as well. */
export const PICTURE: OwnKind = { what: 'a picture', isOwn: markedThatBegins('<svg') }

/** A sheet for the field, a page with the same mark. */
export const SHEET: OwnKind = { what: 'the sheet', isOwn: markedThatBegins('<!doctype html>') }

/** A share of the work without any file has no record; this line, which readers pass over, says whose the file is. */
const NO_RECORD = ' '.repeat(79)

const RECORD_BEGIN = `{"schema":"${RECORD_SCHEMA}","made_by":`

/** Whether each line begins as a record does. Lines may be as long as a file: only their beginnings are held. */
async function holdsRecordsAlone(path: string): Promise<boolean> {
  const isBegin = (text: string): boolean => text === RECORD_BEGIN || text === NO_RECORD.slice(0, RECORD_BEGIN.length)
  let begin = ''
  let lines = 0
  for await (const chunk of createReadStream(path, { encoding: 'latin1' }) as AsyncIterable<string>) {
    for (let from = 0; from < chunk.length; ) {
      begin += chunk.slice(from, from + RECORD_BEGIN.length - begin.length)
      const end = chunk.indexOf('\n', from)
      if (end < 0) break
      begin = begin.split('\n', 1)[0]
      if (!isBegin(begin)) return false
      lines++
      begin = ''
      from = end + 1
    }
  }
  return lines > 0 && begin === ''
}

function markedThatBegins(begin: string): OwnKind['isOwn'] {
  return async (path) => {
    const text = readFileSync(path, 'utf8')
    return text.startsWith(begin) && isMarked(text)
  }
}

const digestOf = (text: string): string => toHex(sha256(text))

const MARK = /<!-- written by ceteris; sha256 of all before: ([0-9a-f]{64}) -->\n$/

/** The text of a picture or page with the mark by which it is known again. */
export const marked = (text: string): string =>
  `${text}<!-- written by ceteris; sha256 of all before: ${digestOf(text)} -->\n`

function isMarked(text: string): boolean {
  const mark = MARK.exec(text)
  return mark !== null && digestOf(text.slice(0, mark.index)) === mark[1]
}

/**
 * Why a file cannot be written; null where it can: nothing is there yet, or a file that is known as the program's own
 * and is none of those read.
 * @param inputs files, and folders, that are read
 */
export async function fileRefusal(path: string, { what, isOwn }: OwnKind, inputs: string[]): Promise<string | null> {
  const target = resolvedPath(path)
  const refusal = (reason: string): string => `${what} cannot be written to ${cleaned(path)}: ${reason}`
  try {
    const info = lookAt(target)
    if (info === null) return null
    if (info.isSymbolicLink()) return refusal('it is a link to nothing; name a file')
    if (!info.isFile()) return refusal(`it is ${info.isDirectory() ? 'a folder' : 'no file'}; name a file`)
    const input = inputs.find((read) => isOneFile(read, target) || isWithin(target, resolvedPath(read)))
    if (input !== undefined) return refusal(`it is among what is read (${cleaned(input)}); name another file`)
    if (await isOwn(target)) return null
    return refusal('there is a file that this program did not write so; name another, or move that one away')
  } catch (error) {
    if (!isFileError(error)) throw error
    return refusal(fileErrorReason(error))
  }
}

/**
 * Writes records, one in each line: to standard output as they come, or to a file that is there as a whole or not at all.
 * @param inputs what is read, and never replaced
 * @returns why they could not be written; null where they were
 */
export async function writeRecords(
  lines: AsyncIterable<string>,
  out: string | undefined,
  inputs: string[],
): Promise<string | null> {
  if (out !== undefined) return writeOwnFile(out, RECORDS, inputs, lines, NO_RECORD)
  for await (const line of lines) if (!process.stdout.write(`${line}\n`)) await once(process.stdout, 'drain')
  return null
}

/**
 * Writes a picture with the mark by which it is known again, to a file that is there as a whole or not at all.
 * @returns why it could not be written; null where it was
 */
export const writePicture = (svg: string, out: string, inputs: string[]): Promise<string | null> =>
  writeOwnFile(out, PICTURE, inputs, [marked(svg).slice(0, -1)], '')

/** Likewise a sheet for the field. */
export const writeSheet = (page: string, out: string, inputs: string[]): Promise<string | null> =>
  writeOwnFile(out, SHEET, inputs, [marked(page).slice(0, -1)], '')

/**
 * Writes lines to a file that is there as a whole or not at all.
 * @param otherwise the line that is written where there is none
 */
async function writeOwnFile(
  out: string,
  kind: OwnKind,
  inputs: string[],
  lines: Iterable<string> | AsyncIterable<string>,
  otherwise: string,
): Promise<string | null> {
  const refusal = await fileRefusal(out, kind, inputs)
  if (refusal !== null) return refusal
  const work = async (): Promise<string | null> => {
    try {
      return await writeWhole(resolvedPath(out), lines, otherwise, () => fileRefusal(out, kind, inputs))
    } catch (error) {
      if (!isFileError(error)) throw error
      return `${kind.what} cannot be written to ${cleaned(out)}: ${fileErrorReason(error)}`
    }
  }
  return stoppingCleanly(work, abandonWorks, `${cleaned(out)} is as it was`)
}

async function writeWhole(
  target: string,
  lines: Iterable<string> | AsyncIterable<string>,
  otherwise: string,
  refused: () => Promise<string | null>,
): Promise<string | null> {
  makeFolder(dirname(target))
  clearDeadWorks(dirname(target))
  const work = beginWork(target)
  try {
    const file = await open(work.fresh, 'wx')
    try {
      let isEmpty = true
      for await (const line of lines) {
        await file.writeFile(`${line}\n`)
        isEmpty = false
      }
      if (isEmpty) await file.writeFile(`${otherwise}\n`)
    } finally {
      await file.close()
    }
    for (;;) {
      if (placedAnew(work.fresh, target)) return null
      const refusal = await refused()
      if (refusal !== null) return refusal
      if (lookAt(target) === null) continue
      renameSync(work.fresh, target)
      return null
    }
  } finally {
    endWork(work)
  }
}

/**
 * Writes a file where none is yet, whole or not at all, even if the program is killed meanwhile.
 * @returns false where there is one, whatever it is: it stays as it is
 */
export function writeNewFile(path: string, content: string | Uint8Array): boolean {
  const target = resolvedPath(path)
  if (lookAt(target) !== null) return false
  const work = beginWork(target)
  try {
    writeFileSync(work.fresh, content, { flag: 'wx' })
    return placedAnew(work.fresh, target)
  } finally {
    endWork(work)
  }
}

/** Puts a file where none is yet. @returns false where there is one: unlike a second name, a new name replaces it */
function placedAnew(fresh: string, target: string): boolean {
  if (lookAt(target) !== null) return false
  try {
    linkSync(fresh, target)
  } catch (error) {
    if (!isFileError(error)) throw error
    if (error.code === 'EEXIST') return false
    if (error.code === 'ENOENT') throw error
    // A disk that knows no second names.
    renameSync(fresh, target)
  }
  return true
}
