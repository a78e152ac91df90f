import type { Problem } from '../../../base/problem.ts'
import { sum } from '../../../base/statistics.ts'
import type { GateSettings } from '../../../read/campaign/settings.ts'
import { type RunRow, rowKey } from '../../../read/runs/rows.ts'
import { divide } from '../../../road/division/divide.ts'
import type { Piece } from '../../../road/division/pieces.ts'
import type { Part } from '../../../track/cut.ts'
import { claimedBy } from '../rows/claimed-rows.ts'
import type { FoundDrive, Recording, Session, Stint } from '../rows/drives-and-rows.ts'
import type { DrivenElsewhere } from '../rows/fuel-of-stints.ts'
import { withRows } from '../rows/rows-of-drives.ts'
import { statedDrives } from '../rows/stated-drives.ts'
import { withStatedWindows } from '../rows/stated-windows.ts'
import { zoneDoubts } from '../rows/zone-of-rows.ts'
import { gateProblems } from './gate-problems.ts'
import { pieceNames } from './piece-names.ts'

export interface RecordingPieces {
  track: string
  /** In the order of time, without a break; `drive` is the index of the drive that a piece became. */
  pieces: (Piece & { drive: number | null })[]
}

export interface DividedRecordings {
  drives: FoundDrive[]
  stints: Stint[]
  recordings: RecordingPieces[]
  /** Of rows, with their lines. */
  problems: Problem[]
  gateProblems: Problem[]
}

/** Divides the recordings of a campaign into drives, names them and gives them the rows of runs.csv. */
export function divideRecordings(
  sessions: Session[],
  rows: RunRow[],
  gates: GateSettings[],
  timeZone: string | null,
): DividedRecordings {
  const recordings = recordingsOf(sessions)
  const { claimed, problems } = claimedBy(rows, recordings, timeZone)
  const stated = statedDrives(claimed, recordings, sessions, timeZone)
  const places = gates.map(({ latitude, longitude, radiusM }) => ({
    latitude,
    longitude,
    radiusM,
    courseDeg: Number.NaN,
  }))
  const divided = divide(sessions, places, stated.ofSession)
  const pieces = recordings.map((recording) => chained(recording, divided, sessions))
  const drives: FoundDrive[] = []
  for (const [r, recording] of recordings.entries())
    addDrives(drives, recording, pieces[r], sessions, timeZone, gates.length === 1)
  const { held, problems: ofZone } = zoneDoubts(rows, drives, timeZone)
  const { stints, problems: lost } = withRows(
    claimed.filter(({ row }) => !held.has(rowKey(row))),
    stated.stretches,
    drives,
    recordings,
    elsewhereIn(recordings, pieces),
  )
  return {
    drives,
    stints,
    recordings: recordings.map(({ track }, r) => ({ track, pieces: pieces[r] })),
    problems: [
      ...problems,
      ...stated.problems,
      ...ofZone,
      ...lost,
      ...withStatedWindows(drives, recordings, sessions, timeZone),
    ],
    gateProblems: gateProblems(gates, places, recordings, sessions),
  }
}

/** Adds the drives among a recording's pieces, with their names, and tells the pieces which drives they are. */
function addDrives(
  drives: FoundDrive[],
  recording: Recording,
  pieces: RecordingPieces['pieces'],
  sessions: Session[],
  timeZone: string | null,
  areLaps: boolean,
): void {
  const isAlone = pieces.filter(({ kind }) => kind === 'drive').length === 1
  const names = pieceNames(pieces, recording, timeZone)
  const utcNames = timeZone === null ? names : pieceNames(pieces, recording, null)
  for (const [p, piece] of pieces.entries()) {
    if (piece.kind !== 'drive') continue
    const session = recording.sessions.findLast((s) => sessions[s].startTime <= piece.fromTime) ?? 0
    piece.drive = drives.length
    drives.push({
      session,
      track: isAlone ? recording.track : `${recording.track}@${names[p]}`,
      name: names[p],
      utcName: utcNames[p],
      fromTime: piece.fromTime,
      toTime: piece.toTime,
      whole: piece.fromTime <= sessions[session].startTime && piece.toTime >= sessions[session].endTime,
      row: null,
      without: areLaps && piece.lap !== null ? stopsWithin(piece, sessions[session]) : [],
      engineOff: null,
    })
  }
}

/** Rests between two passes of a gate are no part of the lap: they are cut out of it. */
const stopsWithin = ({ fromTime, toTime }: Piece, { rests }: Session): Part[] =>
  rests
    .filter((rest) => rest.kind === 'stop' && rest.fromTime > fromTime + 1 && rest.toTime < toTime - 1)
    .map((rest) => ({ fromTime: rest.fromTime, toTime: rest.toTime }))

function recordingsOf(sessions: Session[]): Recording[] {
  const byTrack = new Map<string, Recording>()
  for (const [i, { track, startTime, endTime }] of sessions.entries()) {
    const known = byTrack.get(track)
    if (!known) byTrack.set(track, { track, sessions: [i], startTime, endTime })
    else {
      known.sessions.push(i)
      known.endTime = endTime
    }
  }
  return [...byTrack.values()]
}

/** The pieces of all sessions of a recording, with the pauses between them. */
function chained(recording: Recording, divided: Piece[][], sessions: Session[]): RecordingPieces['pieces'] {
  return recording.sessions.flatMap((session, n) => {
    const own = divided[session].map((piece) => ({ ...piece, drive: null }))
    if (n === 0) return own
    const fromTime = sessions[recording.sessions[n - 1]].endTime
    const pause = { kind: 'gap' as const, fromTime, toTime: sessions[session].startTime, distanceM: 0 }
    return [{ ...pause, stintTime: null, lap: null, drive: null }, ...own]
  })
}

const elsewhereIn = (recordings: Recording[], pieces: RecordingPieces['pieces'][]): DrivenElsewhere[] =>
  recordings.map(({ track }, r) => {
    const lengthOf = (kind: Piece['kind']): number =>
      sum(Float64Array.from(pieces[r].filter((piece) => piece.kind === kind).map(({ distanceM }) => distanceM)))
    return { track, otherM: lengthOf('other'), driveM: lengthOf('drive') }
  })
