import { createHash } from 'node:crypto'
import { jsonText } from '../base/json-text.ts'
import type { Problem } from '../base/problem.ts'
import { isoSecond } from '../base/time.ts'
import { isStillThere, placeFetched, textOfFile } from '../files/fetched-files.ts'
import {
  FETCHED_ABOUT,
  FETCHED_SCHEMA,
  type FetchedEntry,
  type FetchedList,
  readFetchedList,
} from '../read/fetched-list.ts'
import type { Answer, Ask, Known } from './types.ts'

/** Name of the list in each folder of fetched files. */
export const LIST_NAME = 'ceteris-fetched.json'
/** Lists of stations and directories, which are no input of a report. */
const PAGES_FOLDER = '.ceteris-pages'
/** What was observed may still be corrected or completed for so long, s. */
const FINAL_AFTER_S = 10 * 86_400
/** Lists of stations change slowly. */
const PAGE_LASTS_S = 30 * 86_400

/** A folder below the user's, in which the program keeps what it fetched and the list of it. */
export interface FetchedFolder {
  /** The user's folder. */
  root: string
  /** `weather`, `forecast` or `elevation`. */
  name: string
  entries: FetchedEntry[]
  /** The list's text as it was last written or read; null where there is none. */
  listText: string | null
}

/** What a service says of the right to use its data. */
export interface Terms {
  serviceName: string
  licence: string
  credit: string
}

/** Opens the folder's list; an unreadable one is a problem, and then nothing may be written. */
export function openFetched(root: string, name: string): { folder: FetchedFolder; problem: Problem | null } {
  const listText = textOfFile(root, `${name}/${LIST_NAME}`)
  if (listText === null) return { folder: { root, name, entries: [], listText: null }, problem: null }
  const read = readFetchedList(listText)
  const problem = read.value ? null : { ...read.problems[0], file: `${name}/${LIST_NAME}` }
  return { folder: { root, name, entries: read.value?.entries ?? [], listText }, problem }
}

/** What the folder holds of an answer, and what is to be done about it. */
export type Held = { state: 'there' | 'nothing'; entry: FetchedEntry } | { state: 'renew'; entry: FetchedEntry } | null

/** Whether an answer needs no asking: it is there, final, and as it was written; or it was asked for lately. */
export function heldOf(folder: FetchedFolder, ask: Ask, nowS: number): Held {
  const entry = folder.entries.find(({ url }) => url === ask.url)
  if (entry === undefined) return null
  const ageS = nowS - Date.parse(entry.fetched_at) / 1000
  if (entry.purpose === 'list') return ageS < PAGE_LASTS_S && isThere(folder, entry) ? { state: 'there', entry } : null
  if (entry.state === 'nothing') return mayChange(ask, entry) ? { state: 'renew', entry } : { state: 'nothing', entry }
  if (!isThere(folder, entry)) return null
  return entry.state === 'final' && holdsSpan(entry, ask) ? { state: 'there', entry } : { state: 'renew', entry }
}

/** A file that grows, as those of the last months do, was whole for an earlier day and is not for a later one. */
const holdsSpan = ({ from, to }: FetchedEntry, { span }: Ask): boolean =>
  span === null || (from !== null && to !== null && from <= isoOf(span.fromS) && to >= isoOf(span.toS))

/** The time that an answer was fetched for, with that of its earlier fetches. */
function spanWith({ span }: Ask, before: FetchedEntry | undefined): Pick<FetchedEntry, 'from' | 'to'> {
  if (span === null) return { from: null, to: null }
  const [from, to] = [isoOf(span.fromS), isoOf(span.toS)]
  if (!before?.from || !before.to) return { from, to }
  return { from: [before.from, from].sort()[0], to: [before.to, to].sort()[1] }
}

/** Whether an answer came so soon after what it tells of that another may hold more. */
const mayChange = ({ span }: Ask, { fetched_at }: FetchedEntry): boolean =>
  span !== null && Date.parse(fetched_at) / 1000 < span.toS + FINAL_AFTER_S

const isThere = ({ root, name }: FetchedFolder, { file, sha256 }: FetchedEntry): boolean =>
  file !== null && sha256 !== null && isStillThere(root, `${name}/${file}`, sha256)

/** By what a question is asked whether anything has changed. */
export const knownOf = (held: Held): Known | null =>
  held?.state === 'renew' && held.entry.file !== null
    ? { etag: held.entry.etag, lastModified: held.entry.last_modified }
    : null

/** Pages are kept apart, but for those that a report needs beside the answers. */
const placeOf = ({ purpose, beside, file }: Ask): string =>
  purpose === 'list' && beside !== true ? `${PAGES_FOLDER}/${file}` : file

/** The text of a page that is kept, or that the user put into the folder himself; null where there is none. */
export function pageText(folder: FetchedFolder, ask: Ask): string | null {
  const own = textOfFile(folder.root, `${folder.name}/${placeOf(ask)}`)
  const saved = new URL(ask.url).pathname.replace(/^.*\//, '')
  const places = [ask.file, ...(saved === '' ? [] : [saved])].map((file) => `${folder.name}/${file}`)
  return own ?? places.map((path) => textOfFile(folder.root, path)).find((text) => text !== null) ?? null
}

/**
 * Keeps an answer: first the list says what will lie there, then the file is put there. A call that is killed in between
 * leaves a file that the list knows, with the old digest or the new one.
 * @returns why it could not be written; null where it was
 */
export function keepAnswer(folder: FetchedFolder, ask: Ask, answer: Answer, terms: Terms, nowS: number): string | null {
  const file = placeOf(ask)
  const sha256 = createHash('sha256').update(answer.bytes).digest('hex')
  const before = folder.entries.find((entry) => entry.file === file)
  const earlier = [...new Set([...(before?.earlier_sha256 ?? []), ...(before?.sha256 ? [before.sha256] : [])])].slice(
    -4,
  )
  const entry: FetchedEntry = {
    ...entryOf(ask, answer, terms, nowS),
    ...spanWith(ask, before?.url === ask.url ? before : undefined),
    file,
    sha256,
    earlier_sha256: earlier.filter((digest) => digest !== sha256),
    bytes: answer.bytes.length,
    state: isProvisional(ask, nowS) ? 'provisional' : 'final',
    gap: null,
  }
  const refusal = writeList(folder, [...folder.entries.filter((one) => one !== before && one.url !== ask.url), entry])
  return refusal ?? placeFetched(folder.root, `${folder.name}/${file}`, answer.bytes, [sha256, ...earlier])
}

/** Notes that an answer held nothing, so that the gap is known and not asked for again. */
export function keepNothing(
  folder: FetchedFolder,
  ask: Ask,
  answer: Answer,
  terms: Terms,
  nowS: number,
  why: string,
): string | null {
  const none = { file: null, sha256: null, earlier_sha256: [], bytes: null }
  const entry: FetchedEntry = { ...entryOf(ask, answer, terms, nowS), ...none, state: 'nothing', gap: why }
  return writeList(folder, [...folder.entries.filter(({ url }) => url !== ask.url), entry])
}

/** Notes that what is kept has not changed. */
export function keepUnchanged(folder: FetchedFolder, ask: Ask, nowS: number): string | null {
  const state = isProvisional(ask, nowS) ? 'provisional' : 'final'
  const renewed = folder.entries.map((entry) =>
    entry.url === ask.url ? { ...entry, ...spanWith(ask, entry), state, fetched_at: isoOf(nowS) } : entry,
  ) as FetchedEntry[]
  return writeList(folder, renewed)
}

const isProvisional = ({ span, purpose }: Ask, nowS: number): boolean =>
  purpose === 'forecast' || (span !== null && nowS < span.toS + FINAL_AFTER_S)

const isoOf = (seconds: number): string => isoSecond(Math.floor(seconds))

function entryOf(ask: Ask, { status, headers }: Answer, terms: Terms, nowS: number) {
  return {
    purpose: ask.purpose,
    service: ask.service,
    service_name: terms.serviceName,
    station: ask.station,
    about: ask.about,
    url: ask.url,
    status,
    fetched_at: isoOf(nowS),
    etag: headers.etag ?? null,
    last_modified: headers['last-modified'] ?? null,
    from: ask.span && isoOf(ask.span.fromS),
    to: ask.span && isoOf(ask.span.toS),
    licence: terms.licence,
    credit: terms.credit,
  }
}

function writeList(folder: FetchedFolder, entries: FetchedEntry[]): string | null {
  const order = (a: FetchedEntry, b: FetchedEntry): number => (keyOf(a) < keyOf(b) ? -1 : 1)
  const list: FetchedList = { schema: FETCHED_SCHEMA, about: FETCHED_ABOUT, entries: [...entries].sort(order) }
  const text = `${jsonText(list, 2)}\n`
  const ours = folder.listText === null ? [] : [createHash('sha256').update(folder.listText).digest('hex')]
  const refusal = placeFetched(folder.root, `${folder.name}/${LIST_NAME}`, new TextEncoder().encode(text), ours)
  if (refusal !== null) return refusal
  folder.entries = list.entries
  folder.listText = text
  return null
}

const keyOf = ({ file, url }: FetchedEntry): string => `${file ?? '~'} ${url}`
