import type { Outcome } from '../../base/problem.ts'
import type { Span } from '../../base/time.ts'
import type { Observations } from '../types.ts'

/** What weather files leave out and others know. */
export interface WeatherContext {
  /** IANA name from the campaign, or null. */
  timeZone: string | null
  /** Path of the file within the campaign. */
  fileName: string
  /** When the first drive began and the last one ended, seconds since 1970 UTC; null without tracks. */
  coverFrom: number | null
  coverTo: number | null
  /** The drives one by one, where known. */
  coverSpans?: Span[]
  /** Days since 1970 on which something was driven. */
  days?: number[]
}

/** How one format of weather files is read. */
export interface WeatherReader<K extends string = string, D extends keyof WeatherContext = keyof WeatherContext> {
  /** Name of the format, for programs. */
  kind: K
  /** How the format is written, where it is no plain text or table; only such texts are shown to `recognises`. */
  syntax?: 'json' | 'xml'
  /** The encoding in which the service writes, where it is not UTF-8: no word is lost about it. */
  encoding?: 'windows-1252'
  /** Whether a text is of this format. @param head its first characters, without blanks before them */
  recognises: (head: string) => boolean
  /** Reads a whole text. Bad input comes back as problems; nothing throws. */
  read: (text: string, context: Pick<WeatherContext, D>) => Outcome<Observations>
  /**
   * All that the result depends on besides the text. `read` is given nothing else, and what was read before is used again
   * only while these are the same.
   */
  dependsOn: readonly D[]
  /** The format's line in docs/files.md: its name, and what its files hold, in Markdown. */
  format: { name: string; holds: string }
}

/** A reader whose `read` may ask for no more of the context than `dependsOn` names: the compiler checks it. */
export const weatherReader = <const K extends string, const D extends keyof WeatherContext = never>(
  reader: Omit<WeatherReader<K, D>, 'read'> & {
    read: (text: string, context: Pick<WeatherContext, NoInfer<D>>) => Outcome<Observations>
  },
): WeatherReader<K, D> => reader
