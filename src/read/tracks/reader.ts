import type { Outcome } from '../../base/problem.ts'
import type { TrackFile } from '../types.ts'

/** What a text shows of itself before it is read. */
export interface TextLook {
  /** Its first characters, without blanks before them. */
  head: string
  /** Of markup, the root element's name without its prefix; null of anything else. */
  root: string | null
}

interface Named<K extends string> {
  /** Name of the format, for programs. */
  kind: K
  /** The format's line in docs/files.md: its name, and what its files hold, in Markdown. */
  format: { name: string; holds: string }
}

/** How one format of recordings that is text is read. Bad input comes back as problems; nothing throws. */
export interface TextTrackReader<K extends string = string> extends Named<K> {
  holds: 'text'
  recognises: (look: TextLook) => boolean
  read: (text: string) => Outcome<TrackFile>
}

/** How one format of recordings that is no text is read, told by its first bytes. */
export interface BinaryTrackReader<K extends string = string> extends Named<K> {
  holds: 'bytes'
  recognises: (bytes: Uint8Array) => boolean
  read: (bytes: Uint8Array) => Outcome<TrackFile>
}

export type TrackReader<K extends string = string> = TextTrackReader<K> | BinaryTrackReader<K>

export const trackReader = <const K extends string>(reader: Omit<TextTrackReader<K>, 'holds'>): TextTrackReader<K> => ({
  ...reader,
  holds: 'text',
})

export const binaryTrackReader = <const K extends string>(
  reader: Omit<BinaryTrackReader<K>, 'holds'>,
): BinaryTrackReader<K> => ({ ...reader, holds: 'bytes' })
