import { byCodeUnits } from '../../base/arithmetic.ts'
import { present } from '../../base/present.ts'
import type { Problem } from '../../base/problem.ts'
import { forgetful, type Remember } from '../../base/remember.ts'
import type { EngineOff } from '../../demand/engine.ts'
import type { GateSettings } from '../../read/campaign/settings.ts'
import type { RunRow } from '../../read/runs/rows.ts'
import type { Piece } from '../../road/division/pieces.ts'
import { type CutPart, cutDrive } from '../../track/cut.ts'
import type { DriveSummary, Motion } from '../../track/types.ts'
import { DRIVE_PART } from '../kept/drive-shape.ts'
import type { MappedFile } from './map-file.ts'
import { type MappedDrive, wholeDrive, withoutMotion } from './mapped-drive.ts'
import { type FoundSession, foundSessions } from './recordings/found-sessions.ts'
import type { OtherVehicle } from './recordings/left-out.ts'
import { recordersOfDrives } from './recordings/recorders-of-drives.ts'
import { divideRecordings, type RecordingPieces } from './recordings/recordings.ts'
import { type DrivenRow, withAmounts } from './rows/consumption-rows.ts'
import type { FoundDrive } from './rows/drives-and-rows.ts'
import { slugsOf } from './run-ids.ts'

/** One run of the campaign: a drive with its name, its place in runs.csv and its own troubles. */
export interface Run {
  id: string
  /** Path relative to the folder, `#n` where the file holds several tracks, `@` and a time where a track holds several drives. */
  track: string
  /** Path of its file. */
  file: string
  /** Names the recording that it was cut from by its content, never by its name. */
  recording: string
  /** The part of the recording that it is; null: the whole of it. */
  part: CutPart | null
  /** What its row says of stands with the engine off; null: nothing. */
  engineOff: EngineOff | null
  /** Names what it was read from by its content: the recording and the part of it. */
  source: string
  drive: MappedDrive
  summary: DriveSummary
  row: RunRow | null
  /** Why it is taken to be another vehicle's; null: it is not. */
  otherVehicle: OtherVehicle | null
  problems: Problem[]
}

/** Where the motions of recordings come from. */
export type MotionSource = (of: Pick<Run, 'recording' | 'file'>) => Motion

/** Runs that have one row of runs.csv together. */
export interface RunsOfRow {
  row: RunRow
  runs: string[]
}

/** A drive that several devices recorded. */
export interface RecordersOfRun {
  /** The run that its best recording is. */
  run: string
  /** All of its recordings, the best first. */
  members: Pick<Run, 'track' | 'recording' | 'file' | 'part' | 'source' | 'drive'>[]
}

/** What became of a recording. */
export interface DividedRecording {
  track: string
  pieces: (Piece & { run: string | null })[]
  /** What its pieces are cut from, in the order of time. */
  sessions: RecordedSession[]
}

/** A recording from its first fix to a pause of an hour, or to its last one. */
export interface RecordedSession extends Pick<Run, 'source' | 'file' | 'drive'> {
  startTime: number
  endTime: number
}

export interface CampaignRuns {
  runs: Run[]
  stints: RunsOfRow[]
  recordings: DividedRecording[]
  recorders: RecordersOfRun[]
  problems: Problem[]
}

/** What the settings and tables of a campaign say of its drives. */
export interface SaidOfRuns {
  rows: RunRow[]
  /** null without a runs.csv. */
  runsFile: string | null
  gates: GateSettings[]
  /** null without a campaign.yaml. */
  campaignFile: string | null
  timeZone: string | null
}

/** Of a folder without settings and tables. */
export const NOTHING_SAID: SaidOfRuns = { rows: [], runsFile: null, gates: [], campaignFile: null, timeZone: null }

/** Divides all recordings into drives, and makes runs of these in the order of their start. */
export function runsOf(
  files: MappedFile[],
  { rows, runsFile, gates, campaignFile, timeZone }: SaidOfRuns,
  motions: MotionSource,
  remember: Remember = forgetful,
): CampaignRuns {
  const inFile = (file: string | null, problems: Problem[]): Problem[] =>
    file === null ? [] : problems.map((problem) => ({ ...problem, file: problem.file ?? file }))
  const { sessions, problems: ofSessions } = foundSessions(files, rows)
  const divided = divideRecordings(sessions, rows, gates, timeZone)
  const unnamed = divided.drives.map((drive) => drivenPart(drive, sessions[drive.session], motions, remember))
  const { rows: withFuel, problems: ofConsumption } = withAmounts(drivenRows(unnamed, divided.stints))
  for (const drive of unnamed) if (drive.row) drive.row = withFuel.get(drive.row) ?? drive.row
  const { groups, problems: ofRecorders, rowProblems } = recordersOfDrives(unnamed)
  const { runs, ids } = namedRuns(unnamed, groups)
  const idOf = (drive: number): string => present(ids.get(drive))
  const sessionsOf = new Map<string, typeof sessions>()
  for (const session of sessions) sessionsOf.set(session.track, [...(sessionsOf.get(session.track) ?? []), session])
  return {
    runs,
    stints: divided.stints.map(({ row, drives }) => ({
      row: withFuel.get(row) ?? row,
      runs: [...new Set(drives.map(idOf))],
    })),
    recordings: divided.recordings.map(({ track, pieces }) => ({
      track,
      sessions: (sessionsOf.get(track) ?? []).map(({ source, file, drive, startTime, endTime }) => ({
        source,
        file,
        drive,
        startTime,
        endTime,
      })),
      pieces: pieces.map(({ drive, ...piece }) => ({ ...piece, run: drive === null ? null : idOf(drive) })),
    })),
    recorders: groups.map((group) => ({ run: idOf(group[0]), members: group.map((i) => unnamed[i]) })),
    problems: [
      ...ofSessions,
      ...inFile(runsFile, divided.problems),
      ...inFile(campaignFile, divided.gateProblems),
      ...withoutDrive(divided.recordings),
      ...inFile(runsFile, ofConsumption),
      ...ofRecorders,
      ...inFile(runsFile, rowProblems),
      ...(runsFile === null ? [] : withoutRow(runs, runsFile)),
    ],
  }
}

function withoutDrive(recordings: RecordingPieces[]): Problem[] {
  return recordings
    .filter(({ pieces }) => pieces.every(({ kind }) => kind !== 'drive'))
    .map(({ track }) => ({
      code: 'no-drive-found',
      severity: 'error',
      file: track,
      message: 'no drive was found in this recording: the vehicle stood, or hardly moved, all the time',
      hint: 'If it did drive, write "split: no" into its row of runs.csv, and the recording is one drive.',
    }))
}

/** A found drive with what its session recorded of it. */
function drivenPart(
  { track, whole, fromTime, toTime, row, without, engineOff }: FoundDrive,
  of: FoundSession,
  motions: MotionSource,
  remember: Remember,
): Omit<Run, 'id'> {
  const cuts = without.length > 0 ? { without } : {}
  const part = whole && without.length === 0 ? null : { fromTime, toTime, ...cuts }
  const windows = without.map((window) => ` without ${window.fromTime}-${window.toTime}`).join('')
  const source = part ? `${of.source}@${fromTime}-${toTime}${windows}` : of.source
  const cut = (own: CutPart): MappedDrive => {
    const motion = motions({ recording: of.source, file: of.file })
    return withoutMotion(wholeDrive(cutDrive({ ...of.drive, motion }, own)))
  }
  const drive = part ? remember(DRIVE_PART, [source], () => cut(part)) : of.drive
  return {
    track,
    file: of.file,
    recording: of.source,
    part,
    engineOff,
    source,
    drive,
    summary: drive.summary,
    row,
    otherVehicle: null,
    problems: whole ? of.problems : [],
  }
}

/** The runs in the order of their start, and the id of every drive; a second recording of a drive has that one's. */
function namedRuns(unnamed: Omit<Run, 'id'>[], groups: number[][]): { runs: Run[]; ids: Map<number, string> } {
  const leadOf = new Map(groups.flatMap(([lead, ...others]) => others.map((other) => [other, lead] as const)))
  const order = unnamed
    .map((_, i) => i)
    .filter((i) => !leadOf.has(i))
    .sort((a, b) => {
      const [x, y] = [unnamed[a], unnamed[b]]
      return x.summary.startTime - y.summary.startTime || byCodeUnits(x.track, y.track)
    })
  const slugs = slugsOf(order.map((i) => unnamed[i].track))
  const ids = new Map(order.map((i, place) => [i, slugs[place]]))
  for (const [other, lead] of leadOf) ids.set(other, present(ids.get(lead)))
  return { runs: order.map((i, place) => ({ ...unnamed[i], id: slugs[place] })), ids }
}

/** Each row with the distance of all its drives. */
function drivenRows(
  drives: { row: RunRow | null; summary: DriveSummary }[],
  stints: { row: RunRow; drives: number[] }[],
): DrivenRow[] {
  const lengthOf = (own: number[]): number => own.reduce((sum, i) => sum + drives[i].summary.distanceM, 0)
  const ofStints = stints.map(({ row, drives: own }) => ({ row, trackM: lengthOf(own) }))
  const inStints = new Set(stints.flatMap(({ drives: own }) => own))
  const single = drives.flatMap(({ row }, i) => (row && !inStints.has(i) ? [{ row, trackM: lengthOf([i]) }] : []))
  return [...ofStints, ...single]
}

function withoutRow(runs: Run[], runsFile: string): Problem[] {
  const rowless = runs.filter((run) => run.row === null).map((run) => run.track)
  if (rowless.length === 0) return []
  const message = `${rowless.length} of ${runs.length} drives have no row here: ${rowless.slice(0, 5).join(', ')}${rowless.length > 5 ? ', …' : ''}`
  return [{ code: 'track-without-row', severity: 'note', file: runsFile, message }]
}
