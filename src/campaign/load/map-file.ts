import type { Outcome, Problem } from '../../base/problem.ts'
import { decodeText } from '../../read/bytes.ts'
import { lineEndsIn } from '../../read/gpx/lines.ts'
import { isElevationTile, isPicture, type Kind, kindOf } from '../../read/kind.ts'
import { isOwnReport } from '../../read/own-report.ts'
import { type Picture, readPicture } from '../../read/picture/picture.ts'
import { columnsOfTable } from '../../read/table/looks-like-table.ts'
import { isHgtName } from '../../read/terrain/hgt.ts'
import { binaryTrackKindOf, isTrackKind, readTracks, type TrackKind } from '../../read/tracks/read.ts'
import type { TrackFile } from '../../read/types.ts'
import { hasDatedRows } from '../../read/weather/days-of-drives.ts'
import { isLegacyText } from '../../read/weather/read.ts'
import { driveOf, withProbes } from '../../track/drive.ts'
import { sessionsOf } from '../../track/sessions.ts'
import { type SpeedLog, speedLogOf } from '../../track/speed-log.ts'
import { exchangedPlaces } from './exchanged-places.ts'
import { type MappedDrive, type WholeDrive, wholeDrive } from './mapped-drive.ts'

/** A file of the campaign folder as bytes. */
export interface InputFile {
  /** Relative to the folder, '/' between its parts. */
  path: string
  bytes: Uint8Array
  /** The SHA-256 of the bytes, hexadecimal: two files with one digest are taken for one that was copied. */
  sha256: string
  /** What was found when it was read. */
  problems?: Problem[]
  /** Latitude and longitude of its tracks are exchanged, and are to be exchanged back. */
  isExchanged?: boolean
}

/** One track of a file, driven as far as its columns alone can tell. */
export interface MappedTrack<D extends MappedDrive = MappedDrive> {
  /** 1-based position in the file. */
  index: number
  /** 1-based part of the track, where pauses of an hour part it; 1 where none does. */
  session: number
  name: string | null
  drive: D | null
  /** Its times are those of a local clock, and the file does not say whose: they were read as UTC. */
  isZoneless?: boolean
  /** By how much its clock was moved since it was read, s. */
  clockShiftS?: number
  /** What a coast-down can be read from; left out where the speed was recorded less often than that takes. */
  speed?: SpeedLog
  problems: Problem[]
}

/** What one file holds: tracks, or the text of anything else that was recognised. */
export interface MappedFile<D extends MappedDrive = MappedDrive> {
  path: string
  sha256: string
  kind: Kind | 'elevation' | 'picture'
  problems: Problem[]
  notes: string[]
  tracks: MappedTrack<D>[]
  text: string | null
  /** Latitude and longitude stand the other way round in the file, and were exchanged. */
  isExchanged?: boolean
  /** Of a picture: what it tells without being decoded. */
  picture?: Picture
}

/** A file as it was just mapped, with the motions of its drives. */
export type WholeFile = MappedFile<WholeDrive>

/**
 * The map step: one file in, one plain value out, independent of every other file, so that it can run in any worker.
 * Never throws on bad input; what is wrong comes back as problems.
 */
export function mapFile(file: InputFile): WholeFile {
  const mapped: WholeFile = {
    path: file.path,
    sha256: file.sha256,
    kind: 'unrecognised',
    problems: [...(file.problems ?? [])],
    notes: [],
    tracks: [],
    text: null,
    ...(file.isExchanged && { isExchanged: true }),
  }
  // Read once the roads are known: a tile is large, and no more of it is wanted than what lies around them.
  if (isElevationTile(file.bytes, file.path) || isHgtName(file.path)) return { ...mapped, kind: 'elevation' }
  if (isPicture(file.bytes)) return { ...mapped, kind: 'picture', picture: readPicture(file.bytes) }
  const binary = binaryTrackKindOf(file.bytes)
  if (binary !== null)
    return mapTracks({ ...mapped, kind: binary }, readTracks(binary, { text: '', bytes: file.bytes }))
  const decoded = decodeText(file.bytes)
  mapped.problems.push(...decoded.problems)
  if (!decoded.value) return mapped
  const { text, encoding } = decoded.value
  if (encoding !== 'utf-8') mapped.notes.push(`text in ${encoding}`)
  return mapText(mapped, text)
}

/** The map step of a text that is decoded already: a file's, or a sheet's of a workbook. */
export function mapText(empty: WholeFile, text: string): WholeFile {
  if (isOwnReport(text)) return { ...empty, problems: [...empty.problems, OWN_REPORT] }
  const mapped = { ...empty, kind: kindOf(text) }
  if (isLegacyText(mapped.kind)) mapped.problems = mapped.problems.filter(({ code }) => code !== 'encoding-guessed')
  const tracks: TrackKind | null = isTrackKind(mapped.kind) ? mapped.kind : null
  const unread = mapped.kind === 'html' || mapped.kind === 'unrecognised'
  const tooLarge = unread ? null : tracks !== null ? tooLargeForTracks(text) : tooLargeForRows(text)
  if (tooLarge) {
    mapped.problems.push(tooLarge)
    return { ...mapped, kind: 'unrecognised' }
  }
  if (mapped.kind !== 'gpx') mapped.problems.push(...controlBlock(text))
  if (tracks !== null) return mapTracks(mapped, readTracks(tracks, { text, bytes: NOTHING }))
  if (mapped.kind === 'html') mapped.problems.push(NOT_A_TRACK_BUT_A_PAGE)
  else if (mapped.kind === 'unrecognised') mapped.problems.push(unrecognised(text))
  else mapped.text = text
  return mapped
}

const NOTHING = new Uint8Array(0)

/** A day of ten points a second; more would not fit into a gigabyte together with what is made of it. */
export const MOST_TRACK_MILLIONS = 128
/** Most that is read as rows and not as columns: a year of one station with all its remarks, four days of a report a second. */
const MOST_ROW_MILLIONS = 20
const MOST_LINES = 400_000

function refused(found: string, most: string, held: string, hint: string): Problem {
  const message = `found ${found}, expected at most ${most} in a file that holds ${held}`
  return { code: 'file-too-large', severity: 'error', message, hint }
}

function tooLargeForTracks(text: string): Problem | null {
  if (text.length <= MOST_TRACK_MILLIONS * 1e6) return null
  const found = `${Math.round(text.length / 1e6)} million characters`
  return refused(found, `${MOST_TRACK_MILLIONS} million`, 'tracks', 'Split it into one file for each drive.')
}

function tooLargeForRows(text: string): Problem | null {
  const refuse = (found: string, most: string): Problem =>
    refused(found, most, 'no track', 'Keep the days of the drives, and leave out the others.')
  const millions = text.length / 1e6
  // Archives of many years: of these only the days of the drives are read.
  const isDated = isLongTable(text) && hasDatedRows(text)
  const most = isDated ? MOST_TRACK_MILLIONS : MOST_ROW_MILLIONS
  if (millions > most) return refuse(`${Math.round(millions)} million characters`, `${most} million`)
  return isDated ? null : tooManyLines(text, refuse)
}

/** Longer than what is read as rows: of such a table only the days of the drives are. */
export const isLongTable = (text: string): boolean => text.length > (MOST_ROW_MILLIONS / 2) * 1e6

function tooManyLines(text: string, refuse: (found: string, most: string) => Problem): Problem | null {
  let lines = 0
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) lines++
  return lines > MOST_LINES ? refuse(`${lines} lines`, String(MOST_LINES)) : null
}

/** Eight control characters in a row, blanks and line ends aside: single ones begin and end weather bulletins, and are no damage. */
const CONTROL_BLOCK = /[^\P{Cc}\s]{8}/u
// Blocks can have many megabytes, and a repetition of that length in one expression overflows the stack.
const NO_CONTROL = /[\P{Cc}\s]/gu

/** A block of control characters, as a loss of power leaves behind. The reader of GPX tells of each by itself. */
function controlBlock(text: string): Problem[] {
  const block = CONTROL_BLOCK.exec(text)
  if (block === null) return []
  NO_CONTROL.lastIndex = block.index
  const length = (NO_CONTROL.exec(text)?.index ?? text.length) - block.index
  const line = lineEndsIn(text, 0, block.index) + 1
  const code = block[0].charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')
  const message = `a block of ${length} control characters begins here (the first is U+${code}), which no text file holds; what stands before it is read`
  const hint = 'Loggers leave such a block after a loss of power: remove it, or copy the file again.'
  return [{ code: 'control-characters', severity: 'warning', message, line, hint }]
}

const NOT_A_TRACK_BUT_A_PAGE: Problem = {
  code: 'html-page',
  severity: 'error',
  message: 'this is a web page, not a track or a weather table',
  hint: 'the download probably brought a login or error page; fetch the file itself again',
}

const OWN_REPORT: Problem = {
  code: 'unrecognised',
  severity: 'warning',
  message: 'this file is not used: it is of a report that ceteris wrote, and states nothing of the test',
}

/** Why a text is not used: a table that nobody reads may hold what the user counts on, which is an error. */
function unrecognised(text: string): Problem {
  const columns = columnsOfTable(text)
  if (columns === null) {
    const message =
      'this file is not used: it is no track (GPX, timed KML, FIT, TCX, GeoJSON, NMEA or CSV log), no weather report or table, no runs.csv and no campaign.yaml'
    return { code: 'unrecognised', severity: 'warning', message }
  }
  const named = `${columns.slice(0, 10).join(', ')}${columns.length > 10 ? ', …' : ''}`
  const message = `this looks like a table (${named}), and none of its rows is used: found no column "track", as in runs.csv, and no column of times beside one of weather or beside latitude and longitude, expected one of these`
  const hint = 'Name the columns as docs/files.md lists them, or move the file out of the folder.'
  return { code: 'unrecognised', severity: 'error', message, hint }
}

function mapTracks(mapped: WholeFile, outcome: Outcome<TrackFile>): WholeFile {
  mapped.problems.push(...outcome.problems)
  if (!outcome.value) return mapped
  const { tracks, waypoints, version, creator } = outcome.value
  if (version) mapped.notes.push(`${mapped.kind.toUpperCase()} ${version}`)
  if (creator) mapped.notes.push(`written by ${creator}`)
  if (waypoints.length > 0) mapped.notes.push(`${waypoints.length} waypoints, not used`)
  for (const read of tracks) {
    const track = mapped.isExchanged ? { ...read, latitude: read.longitude, longitude: read.latitude } : read
    if (track.zonelessTimes > 0) mapped.notes.push(`${track.zonelessTimes} times without a zone, read as UTC`)
    for (const [i, part] of sessionsOf(track).entries()) {
      const drive = driveOf(part)
      const speed = speedLogOf(part)
      const isPlaced = part.latitude.some(Number.isFinite)
      mapped.tracks.push({
        index: track.index,
        session: i + 1,
        name: track.name,
        drive: drive.value && wholeDrive(withProbes(drive.value)),
        ...(track.zonelessTimes > 0 && mapped.kind === 'csv-log' && { isZoneless: true }),
        ...(speed && { speed }),
        problems:
          speed && !isPlaced
            ? [WITHOUT_PLACES]
            : [...drive.problems, ...(drive.value ? [] : exchangedPlaces(part, mapped.path))],
      })
    }
  }
  return mapped
}

const WITHOUT_PLACES: Problem = {
  code: 'log-without-places',
  severity: 'note',
  message:
    'this log holds a speed and no positions: it is no drive, and is read for coast_downs in campaign.yaml alone',
}

/** The buffers of a mapped file, to be handed from a worker to the main thread without copying. */
export function buffersOf(mapped: MappedFile | WholeFile): ArrayBuffer[] {
  const buffers = new Set<ArrayBuffer>()
  for (const { drive } of mapped.tracks) {
    if (!drive) continue
    const { fixes, path, trace, pathElevationM, log } = drive
    const motion = 'motion' in drive ? drive.motion : {}
    const logged = log ? [log.time, ...Object.values(log.columns).map(({ values }) => values)] : []
    for (const value of [fixes, motion, path, trace, [pathElevationM], logged].flatMap((columns) =>
      Object.values(columns),
    )) {
      if (ArrayBuffer.isView(value)) buffers.add(value.buffer as ArrayBuffer)
    }
  }
  return [...buffers]
}
