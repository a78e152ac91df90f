import { z } from 'zod'
import type { Outcome } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'

/**
 * The list that `ceteris weather` keeps beside what it fetched: for each answer from where, when and under which licence it
 * came, and the digest by which the file is known again. A report takes the credit lines from it, and nothing else.
 */
export const FETCHED_SCHEMA = 'ceteris-fetched/1'

/** A name in the list's own folder, or in the hidden one of pages: nobody's list may lead elsewhere. */
const fileName = z.string().regex(/^(\.ceteris-pages\/)?(?!\.\.?$)[^/\\\p{Cc}]+$/u)

const entry = z.strictObject({
  /** Path from the list's own folder; null where the answer held nothing. */
  file: fileName.nullable(),
  sha256: z.string().nullable(),
  /** Digests of what the file held before: it is the program's own with any of these. */
  earlier_sha256: z.array(z.string()),
  bytes: z.number().int().nullable(),
  purpose: z.enum(['list', 'observations', 'model', 'forecast', 'terrain']),
  service: z.string(),
  service_name: z.string(),
  station: z.string().nullable(),
  about: z.string(),
  url: z.string(),
  status: z.number().int(),
  fetched_at: z.string(),
  etag: z.string().nullable(),
  last_modified: z.string().nullable(),
  from: z.string().nullable(),
  to: z.string().nullable(),
  /** `provisional` may still change or grow; `nothing` is an answer without observations. */
  state: z.enum(['final', 'provisional', 'nothing']),
  /** Why there is nothing, or what is missing. */
  gap: z.string().nullable(),
  licence: z.string(),
  credit: z.string(),
})

const list = z.strictObject({
  schema: z.literal(FETCHED_SCHEMA),
  about: z.string(),
  entries: z.array(entry),
})

export type FetchedEntry = z.infer<typeof entry>
export type FetchedList = z.infer<typeof list>

export const FETCHED_ABOUT =
  'What ceteris weather fetched, and from where. The files named here are replaced by its next call as long as nobody changes them; no other file is.'

/** Whether a text is such a list, by its first words. */
export const isFetchedList = (head: string): boolean => /^\{\s*"schema"\s*:\s*"ceteris-fetched\//.test(head)

/** Reads a list; one that somebody changed may have become unreadable, which costs the credit lines and no figure. */
export function readFetchedList(text: string): Outcome<FetchedList> {
  try {
    const read = list.safeParse(JSON.parse(text))
    if (read.success) return found(read.data)
    const { path, message } = read.error.issues[0]
    return unreadable(`${path.join('.')}: ${message}`)
  } catch {
    return unreadable('it is no JSON')
  }
}

const unreadable = (why: string): Outcome<FetchedList> =>
  failed({
    code: 'fetched-list-unreadable',
    message: `this is the list of what ceteris weather fetched, and it cannot be read (${why}); the sources of the files beside it are not named in the report`,
    hint: 'Move it away, with the files that it names, and call ceteris weather again.',
  })

/** The credit line of each file that lists name, by the file's digest. */
export function creditsOf(lists: readonly FetchedList[]): Map<string, FetchedEntry> {
  const credits = new Map<string, FetchedEntry>()
  for (const { entries } of lists) for (const one of entries) if (one.sha256 !== null) credits.set(one.sha256, one)
  return credits
}
