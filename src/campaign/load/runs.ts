import { byCodeUnits } from '../../base/arithmetic.ts'
import { present } from '../../base/present.ts'
import type { Problem } from '../../base/problem.ts'
import { forgetful, type Remember } from '../../base/remember.ts'
import type { EngineOff } from '../../demand/engine.ts'
import { firstOfEach } from '../../read/many.ts'
import type { GateSettings, RunRow } from '../../read/types.ts'
import type { Piece } from '../../road/division/pieces.ts'
import { mayBeTwoVehicles, type RecordedDrive, recordersOf } from '../../road/recorders.ts'
import { type CutPart, cutDrive } from '../../track/cut.ts'
import type { DriveSummary, Motion } from '../../track/types.ts'
import { DRIVE_PART } from '../kept/drive-shape.ts'
import { type DrivenRow, withAmounts } from './consumption-rows.ts'
import type { Session } from './drives-and-rows.ts'
import type { OtherVehicle } from './left-out.ts'
import type { MappedFile, MappedTrack } from './map-file.ts'
import { type MappedDrive, wholeDrive, withoutMotion } from './mapped-drive.ts'
import { namedBy } from './names.ts'
import { pieceInName } from './piece-names.ts'
import { divideRecordings } from './recordings.ts'

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

/** A file of a thousand scraps of tracks says so once. */
const MOST_OF_A_KIND = 20

interface Found extends Session {
  file: string
  source: string
  drive: MappedDrive
  problems: Problem[]
}

/** Divides all recordings into drives, and makes runs of these in the order of their start. */
export function runsOf(
  files: MappedFile[],
  { rows, runsFile, gates, campaignFile, timeZone }: SaidOfRuns,
  motions: MotionSource,
  remember: Remember = forgetful,
): CampaignRuns {
  const problems: Problem[] = []
  const sessions = withoutCopies(sessionsIn(files, problems), rows, problems)
  const divided = divideRecordings(sessions, rows, gates, timeZone)
  if (runsFile !== null) problems.push(...divided.problems.map((problem) => ({ ...problem, file: runsFile })))
  if (campaignFile !== null)
    problems.push(...divided.gateProblems.map((problem) => ({ ...problem, file: campaignFile })))
  for (const { track, pieces } of divided.recordings) {
    if (pieces.some(({ kind }) => kind === 'drive')) continue
    problems.push({
      code: 'no-drive-found',
      severity: 'error',
      file: track,
      message: 'no drive was found in this recording: the vehicle stood, or hardly moved, all the time',
      hint: 'If it did drive, write "split: no" into its row of runs.csv, and the recording is one drive.',
    })
  }
  const unnamed = divided.drives.map(({ session, track, whole, fromTime, toTime, row, without, engineOff }) => {
    const of = sessions[session]
    const cuts = without.length > 0 ? { without } : {}
    const part = whole && without.length === 0 ? null : { fromTime, toTime, ...cuts }
    const windows = without.map((window) => ` without ${window.fromTime}-${window.toTime}`).join('')
    const source = part ? `${of.source}@${fromTime}-${toTime}${windows}` : of.source
    const drive = part
      ? remember(DRIVE_PART, [source], () =>
          withoutMotion(
            wholeDrive(cutDrive({ ...of.drive, motion: motions({ recording: of.source, file: of.file }) }, part)),
          ),
        )
      : of.drive
    const own = {
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
    }
    return { ...own, problems: whole ? of.problems : [] }
  })
  const { rows: withFuel, problems: ofConsumption } = withAmounts(drivenRows(unnamed, divided.stints))
  for (const drive of unnamed) if (drive.row) drive.row = withFuel.get(drive.row) ?? drive.row
  if (runsFile !== null) problems.push(...ofConsumption.map((problem) => ({ ...problem, file: runsFile })))
  const recorded = unnamed.map(({ drive, summary, row }) => ({
    trace: drive.trace,
    startTime: summary.startTime,
    endTime: summary.endTime,
    excluded: Boolean(row?.exclude),
    says: saidOfVehicle(row),
  }))
  const groups = recordersOf(recorded)
  problems.push(...doubtfulRecorders(groups, unnamed, recorded))
  const leadOf = new Map(groups.flatMap(([lead, ...others]) => others.map((other) => [other, lead] as const)))
  const rowProblems = rowsOfLeads(unnamed, groups)
  if (runsFile !== null) problems.push(...rowProblems.map((problem) => ({ ...problem, file: runsFile })))
  const order = unnamed
    .map((_, i) => i)
    .filter((i) => !leadOf.has(i))
    .sort((a, b) => {
      const [x, y] = [unnamed[a], unnamed[b]]
      return x.summary.startTime - y.summary.startTime || byCodeUnits(x.track, y.track)
    })
  const slugs = slugsOf(order.map((i) => unnamed[i].track))
  const runs = order.map((i, place) => ({ ...unnamed[i], id: slugs[place] }))
  const ids = new Map(order.map((i, place) => [i, slugs[place]]))
  for (const [other, lead] of leadOf) ids.set(other, present(ids.get(lead)))
  if (runsFile !== null) problems.push(...withoutRow(runs, runsFile))
  return {
    runs,
    stints: divided.stints.map(({ row, drives }) => ({
      row: withFuel.get(row) ?? row,
      runs: [...new Set(drives.map((drive) => present(ids.get(drive))))],
    })),
    recordings: divided.recordings.map(({ track, pieces }) => ({
      track,
      sessions: sessions
        .filter((session) => session.track === track)
        .map(({ source, file, drive, startTime, endTime }) => ({ source, file, drive, startTime, endTime })),
      pieces: pieces.map(({ drive, ...piece }) => ({ ...piece, run: drive === null ? null : present(ids.get(drive)) })),
    })),
    recorders: groups.map((group) => ({ run: present(ids.get(group[0])), members: group.map((i) => unnamed[i]) })),
    problems,
  }
}

/** Recordings of one drive that may be of two vehicles, one behind the other. */
function doubtfulRecorders(groups: number[][], drives: { track: string }[], recorded: RecordedDrive[]): Problem[] {
  return groups.flatMap(([lead, ...others]): Problem[] => {
    const doubtful = others.filter((other) => mayBeTwoVehicles(recorded[lead], recorded[other]))
    if (doubtful.length === 0) return []
    const message = `${doubtful.map((i) => drives[i].track).join(', ')} recorded this drive as well; the positions are too coarse to tell one vehicle from two behind each other`
    const hint = 'if they were two vehicles, give each recording a row in runs.csv with its own setup or fuel'
    return [{ code: 'recorders-or-two-vehicles', severity: 'note', file: drives[lead].track, message, hint }]
  })
}

/** A vehicle has one setup at a time, and uses one amount of fuel on a drive. */
function saidOfVehicle(row: RunRow | null): (string | null)[] {
  const amounts = [row?.fuelLitres, row?.fuelKg, row?.energyKwh]
  return [row?.setup ?? null, ...amounts.map((amount) => (amount !== undefined && amount > 0 ? String(amount) : null))]
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

/** A row of runs.csv may name any recording of a drive: the best one takes it. Of two rows the second is not used. */
function rowsOfLeads(drives: { track: string; row: RunRow | null }[], groups: number[][]): Problem[] {
  return groups.flatMap(([lead, ...others]) =>
    others.flatMap((other): Problem[] => {
      const { row } = drives[other]
      if (!row || row.exclude) return []
      if (!drives[lead].row) {
        drives[lead].row = row
        return []
      }
      const [named, led] = [drives[other].track, drives[lead]]
      return [
        {
          code: 'row-of-second-recorder',
          severity: 'warning',
          line: row.line,
          message: `"${named}" is a second recording of the drive "${led.track}", which has line ${present(led.row).line}; this row is not used`,
          hint: 'give a drive one row, whichever of its recordings it names',
        },
      ]
    }),
  )
}

/** All sessions with a drive, in the order of their start. */
function sessionsIn(files: MappedFile[], problems: Problem[]): Found[] {
  const found: Found[] = []
  for (const file of files) {
    const several = file.tracks.some(({ index }) => index !== file.tracks[0].index)
    const nameOf = (track: MappedTrack): string => (several ? `${file.path}#${track.index}` : file.path)
    const ofTracks = file.tracks.flatMap((track) => track.problems.map((p) => ({ ...p, file: nameOf(track) })))
    for (const problem of firstOfEach(ofTracks, MOST_OF_A_KIND)) problems.push({ file: file.path, ...problem })
    for (const track of file.tracks) {
      const { drive } = track
      if (!drive) continue
      const { startTime, endTime } = drive.summary
      const { trace, rests } = drive
      const own = { track: nameOf(track), file: file.path, source: sourceOf(file, track), drive }
      found.push({ ...own, trace, rests, startTime, endTime, problems: track.problems })
    }
  }
  return found.sort((a, b) => a.startTime - b.startTime || byCodeUnits(a.track, b.track))
}

function withoutRow(runs: Run[], runsFile: string): Problem[] {
  const rowless = runs.filter((run) => run.row === null).map((run) => run.track)
  if (rowless.length === 0) return []
  const message = `${rowless.length} of ${runs.length} drives have no row here: ${rowless.slice(0, 5).join(', ')}${rowless.length > 5 ? ', …' : ''}`
  return [{ code: 'track-without-row', severity: 'note', file: runsFile, message }]
}

/** Names a track by the content of its file, never by that one's name. */
export const sourceOf = ({ sha256 }: MappedFile, { index, session }: MappedTrack): string =>
  session === 1 ? `${sha256}#${index}` : `${sha256}#${index}/${session}`

/** The same recording under two names counts once: the name that a row of runs.csv uses stands, or else the first in order. */
function withoutCopies<T extends { track: string; drive: MappedDrive }>(
  runs: T[],
  rows: RunRow[],
  problems: Problem[],
): T[] {
  const named = new Set(rows.flatMap(({ track }) => namedBy(pieceInName(track)?.recording ?? track, runs)))
  const kept = new Set<T>()
  const byBegin = new Map<string, T[]>()
  for (const run of [...runs.filter((r) => named.has(r)), ...runs.filter((r) => !named.has(r))]) {
    const begin = `${run.drive.fixCount} fixes from ${run.drive.fixes.time[0]}`
    const alike = byBegin.get(begin) ?? []
    const original = alike.find((other) => isCopy(run, other))
    if (!original) {
      kept.add(run)
      byBegin.set(begin, [...alike, run])
      continue
    }
    problems.push({
      code: 'duplicate-run',
      severity: 'warning',
      file: run.track,
      message: `holds the same recording as ${original.track}; it is counted once, under that name`,
    })
  }
  return runs.filter((run) => kept.has(run))
}

function isCopy(a: Pick<Run, 'drive'>, b: Pick<Run, 'drive'>): boolean {
  const x = a.drive.fixes
  const y = b.drive.fixes
  if (a.drive.fixCount !== b.drive.fixCount || x.time[0] !== y.time[0]) return false
  for (let i = 0; i < x.time.length; i++) {
    if (x.time[i] !== y.time[i] || x.latitude[i] !== y.latitude[i] || x.longitude[i] !== y.longitude[i]) return false
  }
  return true
}

/**
 * Names that Windows gives to devices, with any ending too; files are called after drives.
 * @source Microsoft, "Naming Files, Paths, and Namespaces"
 */
const DEVICE = /^(?:con|prn|aux|nul|com\d|lpt\d)$/

/** Stable names from file names: lower case letters, digits and '-'; made unique by the folder, then by a number. */
export function slugsOf(tracks: string[]): string[] {
  const slug = (text: string): string =>
    text
      .normalize('NFKD')
      .replace(/[\u0300-\u036f]/g, '')
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-+|-+$/g, '')
      .replace(DEVICE, 'run-$&') || 'run'
  const withoutExtension = (path: string): string =>
    path.replace(
      /(\.(?:gpx|kml|xml|nmea|fit|tcx|geojson|json|csv|tsv|log|txt))?(\.gz)?(#\d+)?(@[\dT.]+)?$/i,
      (_, _e, _z, n, at) => `${n ?? ''}${at ?? ''}`,
    )
  const short = tracks.map((t) => slug(withoutExtension(t.slice(t.lastIndexOf('/') + 1))))
  const long = tracks.map((t) => slug(withoutExtension(t)))
  const chosen = tracks.map((_, i) => (short.indexOf(short[i]) === short.lastIndexOf(short[i]) ? short[i] : long[i]))
  const taken = new Set<string>()
  return chosen.map((base) => {
    let name = base
    for (let n = 2; taken.has(name); n++) name = `${base}-${n}`
    taken.add(name)
    return name
  })
}
