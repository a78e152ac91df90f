import { DateTime } from 'luxon'
import { figure, joined, name, type Sentence, say } from '../../../base/sentence.ts'
import { sum } from '../../../base/statistics.ts'
import type { Report } from '../../contract.ts'
import { hoursAndMinutes, plural } from '../../words.ts'

export type ReportRecording = Report['recordings'][number]
export type ReportPiece = ReportRecording['pieces'][number]

/** What a piece of a recording is called, and the sign that it has in a strip of text. */
export const PIECE_WORDS: Record<ReportPiece['kind'], { word: string; sign: string }> = {
  drive: { word: 'drive', sign: '=' },
  other: { word: 'other driving', sign: '-' },
  stop: { word: 'stop', sign: '.' },
  gap: { word: 'not recorded', sign: ' ' },
}

/** The begin of each drive in a strip of text, so that laps can be counted. */
const BEGIN = '|'

/** Recordings that hold more than one piece. */
export const dividedRecordings = ({ recordings }: Pick<Report, 'recordings'>): ReportRecording[] =>
  recordings.filter(({ pieces }) => pieces.length > 1)

/** The clock in the report's zone, or UTC: "09:14", or with the date. */
export function clockTime(instant: string, zone: string | null, format = 'HH:mm'): string {
  return DateTime.fromISO(instant, { zone: zone ?? 'UTC' }).toFormat(format)
}

export const secondsOf = (instant: string): number => Date.parse(instant) / 1000
export const durationOf = ({ start_time, end_time }: ReportPiece): number => secondsOf(end_time) - secondsOf(start_time)

/** A lap's number; null of another drive. */
export const lapOf = (track: string): number | null => {
  const found = /@[\dT]+\.(\d+)$/.exec(track)
  return found ? Number(found[1]) : null
}

/** "day.gpx, 2026-05-12 07:02 to 16:40: 9 drives, 6 of them laps; 24 km of other driving, 2 h 10 min of stops". */
export function recordingWords(
  recording: ReportRecording,
  report: Pick<Report, 'runs' | 'settings'>,
  times: Sentence = [timesOf(recording, report.settings.time_zone)],
): Sentence {
  const { track, pieces } = recording
  const of = (kind: ReportPiece['kind']): ReportPiece[] => pieces.filter((piece) => piece.kind === kind)
  const drives = of('drive')
  const laps = drives.filter((piece) => lapOf(trackOf(piece, report) ?? '') !== null).length
  const otherM = sum(Float64Array.from(of('other'), ({ distance_m }) => distance_m))
  const stoppedS = sum(Float64Array.from(of('stop'), durationOf))
  const silentS = sum(Float64Array.from(of('gap'), durationOf))
  const lapWords = laps === 0 ? '' : laps === drives.length ? ', all of them laps' : `, ${laps} of them laps`
  const rest: Sentence[] = [
    ...(otherM > 0 ? [say`${figure(otherM, 'distance', 1)} of other driving`] : []),
    ...(stoppedS > 0 ? [[`${hoursAndMinutes(stoppedS)} of stops`]] : []),
    ...(silentS > 0 ? [[`${hoursAndMinutes(silentS)} not recorded`]] : []),
  ]
  return joined([
    say`${name(track)}, ${times}: ${plural(drives.length, 'drive')}${lapWords}`,
    ...rest.flatMap((words, i) => [i === 0 ? '; ' : ', ', words]),
  ])
}

/** "2026-05-12 07:02 to 16:40 UTC". */
export function timesOf(
  { start_time, end_time }: Pick<ReportRecording, 'start_time' | 'end_time'>,
  zone: string | null,
): string {
  const [from, to] = [start_time, end_time].map((time) => clockTime(time, zone, 'yyyy-MM-dd HH:mm'))
  return `${from} to ${from.slice(0, 10) === to.slice(0, 10) ? to.slice(11) : to}${zone === null ? ' UTC' : ''}`
}

/** What the drive of a piece is called; null of other pieces. */
export const trackOf = ({ run }: ReportPiece, { runs }: Pick<Report, 'runs'>): string | null =>
  run === null ? null : (runs.find(({ id }) => id === run)?.track ?? run)

/** A recording over time as so many signs: every drive begins with a bar. */
export function stripText({ start_time, end_time, pieces }: ReportRecording, width: number): string {
  const from = secondsOf(start_time)
  const wholeS = Math.max(1, secondsOf(end_time) - from)
  const at = (instant: string): number => Math.round((width * (secondsOf(instant) - from)) / wholeS)
  const signs = Array.from({ length: width }, () => ' ')
  for (const piece of pieces) {
    const first = at(piece.start_time)
    for (let i = first; i < at(piece.end_time); i++) signs[i] = PIECE_WORDS[piece.kind].sign
    if (piece.kind === 'drive' && first < width) signs[first] = BEGIN
  }
  return `[${signs.join('')}]`
}

export const STRIP_LEGEND = '| begin of a drive   = drive   - other driving   . stop   blank: not recorded'

/** A drive, or all laps of a stint, behind each other. */
interface DrivesTold {
  name: string
  distanceM: number
}

/** The drives of a recording with their lengths, laps of one stint together: "@0914 12.1 km, @1102.1-6 30.0 km". */
export function driveList({ pieces }: ReportRecording, report: Pick<Report, 'runs'>): Sentence {
  const told: DrivesTold[] = []
  for (const piece of pieces) {
    const track = trackOf(piece, report)
    if (track === null) continue
    const short = track.includes('@') ? track.slice(track.lastIndexOf('@')) : track
    const lap = lapOf(track)
    const last = told[told.length - 1]
    if (last && lap !== null && lap > 1 && last.name.startsWith(`${short.split('.')[0]}.`)) {
      last.name = `${last.name.split('-')[0]}-${lap}`
      last.distanceM += piece.distance_m
    } else told.push({ name: short, distanceM: piece.distance_m })
  }
  return joined(
    told.flatMap((drive, i) => [
      i === 0 ? '' : ', ',
      say`${name(drive.name)} ${figure(drive.distanceM, 'distance', 1)}`,
    ]),
  )
}
