import type { Piece } from '../../../road/division/pieces.ts'
import { zoneOffsetS } from '../rows/stated-times.ts'

/** What a row of runs.csv may write behind a recording's name: `@`, a time, a lap or a range of laps. */
export interface NamedPiece {
  /** As written: HHMM, with seconds or with the date before it where that is needed. */
  time: string
  /** null: the whole drive, or stint. */
  firstLap: number | null
  lastLap: number | null
}

const WITH_PIECE = /^(.+)@((?:\d{4}-?\d\d-?\d\dT)?(?:\d{1,2}:\d\d(?::\d\d)?|\d{4}(?:\d\d)?))(?:\.(\d+)(?:-(\d+))?)?$/i

/** Parts a name in runs.csv into the recording's and the piece's; null where it names no piece. */
export function pieceInName(track: string): { recording: string; piece: NamedPiece } | null {
  const found = WITH_PIECE.exec(track.trim())
  if (!found) return null
  const [, recording, time, first, last] = found
  const firstLap = first === undefined ? null : Number(first)
  return {
    recording,
    piece: { time: bareTime(time), firstLap, lastLap: last === undefined ? firstLap : Number(last) },
  }
}

/** A time without its marks: 9:14 is 0914. */
function bareTime(written: string): string {
  const [time, date = ''] = written.toUpperCase().split('T').reverse()
  const hours = /^\d:/.test(time) ? `0${time}` : time
  return `${date.replaceAll('-', '')}${date === '' ? '' : 'T'}${hours.replaceAll(':', '')}`
}

/**
 * How the drives of a recording are called: by the clock time at which they begin, or their stint began, and the lap. The
 * time is local where the campaign names a zone; the date stands before it where the recording passes midnight, seconds
 * behind it where two drives begin in one minute. Names depend on nothing but the drive and its recording.
 */
export function pieceNames(
  pieces: readonly Piece[],
  recording: { startTime: number; endTime: number },
  timeZone: string | null,
): string[] {
  const local = (seconds: number): string => {
    const shown = new Date(1000 * (seconds + (timeZone === null ? 0 : zoneOffsetS(seconds, timeZone))))
    return shown.toISOString().replace(/[-:]/g, '')
  }
  const passesMidnight = local(recording.startTime).slice(0, 8) !== local(recording.endTime).slice(0, 8)
  const startOf = ({ stintTime, fromTime }: Piece): number => stintTime ?? fromTime
  const nameAt = (time: number, digits: number): string => {
    const text = local(time)
    return `${passesMidnight ? `${text.slice(0, 8)}T` : ''}${text.slice(9, 9 + digits)}`
  }
  const drives = pieces.filter(({ kind }) => kind === 'drive')
  const isOneOfTwo = (piece: Piece): boolean =>
    drives.some((other) => startOf(other) !== startOf(piece) && nameAt(startOf(other), 4) === nameAt(startOf(piece), 4))
  return pieces.map((piece) => {
    const time = nameAt(startOf(piece), piece.kind === 'drive' && isOneOfTwo(piece) ? 6 : 4)
    return piece.lap === null ? time : `${time}.${piece.lap}`
  })
}
