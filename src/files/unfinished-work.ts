import { createHash, randomUUID } from 'node:crypto'
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  renameSync,
  rmdirSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { hostname } from 'node:os'
import { basename, dirname, join } from 'node:path'
import { present } from '../base/present.ts'
import { isFileError } from './file-errors.ts'
import { lookAt } from './places.ts'
import { readPlainFile } from './plain-file.ts'
import { clearReplaced } from './replaced.ts'

/**
 * A hidden folder beside a place, in which what shall lie there is made: `new`, and what lay there before: `old-1` and so
 * on, `waste-1` once it is not needed any more. Its name says who works in it, a note in it for which place.
 */
export interface Work {
  folder: string
  /** What is being made. */
  fresh: string
  target: string
  /** So many folders were taken out of the place. */
  taken: number
}

/** Works of this thread that have not ended, for the case that somebody ends the program meanwhile. */
const underWay = new Set<Work>()

/** Begins work for a place, in a folder that nobody can have foreseen. */
export function beginWork(target: string): Work {
  const folder = join(dirname(target), `${PREFIX}${processTable()}-${process.pid}-${randomUUID()}`)
  mkdirSync(folder, { mode: 0o700 })
  const work = { folder, fresh: join(folder, 'new'), target, taken: 0 }
  underWay.add(work)
  writeFileSync(join(folder, NOTE), `${NOTE_BEGIN}${JSON.stringify(basename(target))}}\n`, { flag: 'wx' })
  return work
}

/**
 * Ends work: what it took out of the place comes back if nothing is there now, and its folder goes.
 * @returns paths in it that are not the program's, and were left
 */
export function endWork({ folder, target }: Work): string[] {
  bringBack(target)
  const kept = clearWork(folder, target)
  for (const work of underWay) if (work.folder === folder) underWay.delete(work)
  return kept
}

/** Ends all works of this thread, half done as they are. */
export function abandonWorks(): void {
  for (const work of underWay) endWork(work)
}

const PREFIX = '.ceteris-writing-'
const NAME = /^\.ceteris-writing-([0-9a-f]{16}|elsewhere)-(\d+)-[0-9a-f-]{36}$/
const NOTE = 'about.json'
const NOTE_BEGIN =
  '{"schema":"ceteris-writing/1","about":"A file or report is being written here. If no ceteris runs, its next call there clears this folder.","place":'

/**
 * Clears up after calls that were killed: what they had taken out of a place comes back if nothing is there now, and
 * their folders go. A folder is left alone unless its writer is proven dead, by the table of processes that both belong
 * to, or nobody has touched it for a day.
 * @param parent the folder in which the places lie
 * @returns paths in such folders that are not the program's, and were left
 */
export function clearDeadWorks(parent: string): string[] {
  const kept: string[] = []
  for (const folder of worksIn(parent).filter(isDead)) {
    const place = placeOf(folder)
    if (place === null) clearUnnoted(folder)
    else {
      bringBack(join(parent, place))
      kept.push(...clearWork(folder, join(parent, place)))
    }
  }
  return kept
}

/**
 * Puts what was last taken out of a place back, if nothing is there: its writer was killed, or is just about to put the
 * new in its place and then tries again.
 */
export function bringBack(target: string): void {
  if (lookAt(target) !== null) return
  const taken = worksIn(dirname(target))
    .filter((folder) => placeOf(folder) === basename(target))
    .flatMap((folder) => {
      const timeMs = lookAt(folder)?.mtimeMs ?? 0
      const names = namesIn(folder).filter((name) => name.startsWith('old-'))
      return names.map((name) => ({ path: join(folder, name), timeMs }))
    })
  for (const { path } of taken.sort((a, b) => b.timeMs - a.timeMs)) if (movedTo(path, target)) return
}

/** Moves a file or folder. @returns false where there is nothing to move, or something else has taken the new place */
export function movedTo(from: string, to: string): boolean {
  try {
    renameSync(from, to)
    return true
  } catch (error) {
    if (!isFileError(error)) throw error
    if (['ENOENT', 'ENOTEMPTY', 'EEXIST', 'ENOTDIR', 'EISDIR'].includes(error.code ?? '')) return false
    // Windows says only that this is not permitted.
    if (error.code === 'EPERM' && lookAt(to) !== null) return false
    throw error
  }
}

/** The folders in which somebody works, or did. */
const worksIn = (parent: string): string[] =>
  namesIn(parent)
    .filter((name) => NAME.test(name))
    .map((name) => join(parent, name))
    .filter((folder) => lookAt(folder)?.isDirectory())

/** Only what lies in a folder of this name, with a note like ours, is taken for our own. */
function clearWork(folder: string, target: string): string[] {
  try {
    rmSync(join(folder, 'new'), { recursive: true, force: true })
    const kept: string[] = []
    for (const name of namesIn(folder)) {
      const number = /^(?:old|waste)-(\d+)$/.exec(name)?.[1]
      if (number === undefined) continue
      const waste = join(folder, `waste-${number}`)
      // From here on nobody brings it back: it may be half gone.
      if (name.startsWith('waste') || movedTo(join(folder, name), waste)) kept.push(...clearReplaced(waste, target))
    }
    if (namesIn(folder).every((name) => name === NOTE)) removeNoted(folder)
    return kept
  } catch (error) {
    // Another call is changing what lies there, or it may not be done: to be tried again.
    if (isFileError(error)) return []
    throw error
  }
}

/** A folder whose writer was killed before its note was whole holds nothing else. */
function clearUnnoted(folder: string): void {
  const names = namesIn(folder)
  const note = noteOf(folder) ?? '?'
  const isBegun = NOTE_BEGIN.startsWith(note) || (note.startsWith(NOTE_BEGIN) && !note.endsWith('\n'))
  if (names.length === 0 || (names.join() === NOTE && isBegun)) removeNoted(folder)
}

function removeNoted(folder: string): void {
  rmSync(join(folder, NOTE), { force: true })
  try {
    rmdirSync(folder)
  } catch (error) {
    // Another call clears up here too, or somebody has put something into it.
    if (!isFileError(error)) throw error
  }
}

/** The name of the place that a work is for; null where its note is not whole, or none of ours. */
function placeOf(folder: string): string | null {
  const note = noteOf(folder)
  if (!note?.startsWith(NOTE_BEGIN) || !note.endsWith('}\n')) return null
  try {
    const place: unknown = JSON.parse(note.slice(NOTE_BEGIN.length, -2))
    return typeof place === 'string' && basename(place) === place && !/^\.{0,2}$/.test(place) ? place : null
  } catch {
    return null
  }
}

const noteOf = (folder: string): string | null => readPlainFile(join(folder, NOTE), 10_000)?.toString('utf8') ?? null

/** No report takes so long to be written. */
const DAY_MS = 86_400_000

function isDead(folder: string): boolean {
  const [, table, pid] = present(NAME.exec(basename(folder)))
  if (table !== 'elsewhere' && table === processTable() && !isRunning(Number(pid))) return true
  const touchedMs = [folder, join(folder, 'new')].map((path) => lookAt(path)?.mtimeMs ?? 0)
  return Math.max(...touchedMs) < Date.now() - DAY_MS
}

/** Signal 0 only asks whether the process exists. */
function isRunning(processId: number): boolean {
  try {
    process.kill(processId, 0)
    return true
  } catch (error) {
    return !isFileError(error) || error.code !== 'ESRCH'
  }
}

let table: string | null = null

/**
 * Names the table in which the numbers of processes mean something: of one host since it was started, or of one
 * container. 'elsewhere' where the system does not tell.
 * @source Linux: proc_sys_kernel(5), random/boot_id; pid_namespaces(7)
 */
function processTable(): string {
  if (table !== null) return table
  try {
    const boot = readFileSync('/proc/sys/kernel/random/boot_id', 'utf8')
    const space = readlinkSync('/proc/self/ns/pid')
    table = createHash('sha256').update([boot, space, hostname()].join('\n')).digest('hex').slice(0, 16)
  } catch (error) {
    if (!isFileError(error)) throw error
    table = 'elsewhere'
  }
  return table
}

/** The names in a folder; none where it is not there, or none any more. */
function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder).sort()
  } catch (error) {
    if (isFileError(error)) return []
    throw error
  }
}
