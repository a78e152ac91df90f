import type { Outcome } from '../../base/problem.ts'
import type { TrackFile } from '../types.ts'
import type { TextLook, TrackReader } from './reader.ts'
import { TRACK_READERS } from './readers.ts'

export type TrackKind = (typeof TRACK_READERS)[number]['kind']

const READERS: readonly TrackReader<TrackKind>[] = TRACK_READERS

/** The names of all formats of recordings. */
export const TRACK_KINDS: readonly TrackKind[] = READERS.map(({ kind }) => kind)

/** Whether a kind of file is one of recordings. */
export const isTrackKind = (kind: string): kind is TrackKind => (TRACK_KINDS as readonly string[]).includes(kind)

/** The format of recordings that a text belongs to; null for anything else. */
export const trackKindOf = (look: TextLook): TrackKind | null =>
  READERS.find((reader) => reader.holds === 'text' && reader.recognises(look))?.kind ?? null

/** The format of recordings that is no text and that a file's bytes belong to; null for anything else. */
export const binaryTrackKindOf = (bytes: Uint8Array): TrackKind | null =>
  READERS.find((reader) => reader.holds === 'bytes' && reader.recognises(bytes))?.kind ?? null

/** Reads a file of recordings of a kind that is already known. Bad input comes back as problems; nothing throws. */
export function readTracks(kind: TrackKind, content: { text: string; bytes: Uint8Array }): Outcome<TrackFile> {
  const reader = READERS.find((one) => one.kind === kind)
  if (!reader) throw new Error(`no reader is registered for ${kind}`)
  return reader.holds === 'text' ? reader.read(content.text) : reader.read(content.bytes)
}
