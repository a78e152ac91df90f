import type { Found } from './found.ts'
import type { TracedRecording } from './legs.ts'
import { distanceAtTime } from './trace.ts'

export type PieceKind = 'drive' | 'other' | 'stop' | 'gap'

/** A piece of a recording; all of them, one after the other, are the recording. */
export interface Piece {
  kind: PieceKind
  /** Seconds since 1970 UTC. */
  fromTime: number
  toTime: number
  distanceM: number
  /** Of a lap: when its stint began, and which lap of it this is, from 1; null of other pieces. */
  stintTime: number | null
  lap: number | null
}

/** A recording as the chain of its drives, rests and what lies between them. */
export function piecesOf(recording: TracedRecording, drives: Found[]): Piece[] {
  const { trace, rests, startTime, endTime } = recording
  const pieces: Piece[] = []
  const distanceBetween = (from: number, to: number): number => distanceAtTime(trace, to) - distanceAtTime(trace, from)
  const add = (kind: PieceKind, fromTime: number, toTime: number, drive: Found | null = null): void => {
    if (toTime - fromTime < 1) return
    pieces.push({
      kind,
      fromTime,
      toTime,
      distanceM: distanceBetween(fromTime, toTime),
      stintTime: drive?.stintTime ?? null,
      lap: drive?.lap ?? null,
    })
  }
  const between = (fromTime: number, toTime: number): void => {
    let at = fromTime
    for (const rest of rests) {
      if (rest.toTime <= fromTime || rest.fromTime >= toTime) continue
      add('other', at, Math.max(at, rest.fromTime))
      add(rest.kind, Math.max(at, rest.fromTime), Math.min(toTime, rest.toTime))
      at = Math.min(toTime, rest.toTime)
    }
    add('other', at, toTime)
  }
  let at = startTime
  for (const drive of [...drives].sort((a, b) => a.fromTime - b.fromTime)) {
    if (drive.fromTime < at - 1) continue
    between(at, drive.fromTime)
    add('drive', drive.fromTime, drive.toTime, drive)
    at = drive.toTime
  }
  between(at, endTime)
  return pieces
}
