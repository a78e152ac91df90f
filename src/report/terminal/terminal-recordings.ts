import { cleaned } from '../../base/names.ts'
import type { System } from '../../base/quantities.ts'
import { plainText } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'
import { consumptionColumns } from '../fuel/consumption.ts'
import { STINT_COLUMNS } from '../fuel/stints.ts'
import {
  clockTime,
  dividedRecordings,
  driveList,
  durationOf,
  PIECE_WORDS,
  type ReportPiece,
  type ReportRecording,
  recordingWords,
  STRIP_LEGEND,
  stripText,
  trackOf,
} from '../words/drives/recordings.ts'
import { hoursAndMinutes, plural } from '../words.ts'
import { cut, type TextColumn, textTable, wrapped } from './terminal-text.ts'

/** More divided recordings than these are counted only. */
const MOST_RECORDINGS = 8
/** Drives are listed where there are so few recordings; the table of drives below holds them all. */
const MOST_LISTED = 3
const WIDEST_STRIP = 72

/** What the divided recordings hold, for a terminal; empty where every recording is one drive. */
export function recordingLines(report: Report, width: number): string[] {
  const divided = dividedRecordings(report)
  if (divided.length === 0) return []
  const shown = divided.slice(0, MOST_RECORDINGS)
  const more = divided.length - shown.length
  return [
    ...shown.flatMap((recording) => [
      ...wrapped(plainText(recordingWords(recording, report)), width),
      `  ${stripText(recording, Math.min(WIDEST_STRIP, width - 4))}`,
      ...(divided.length <= MOST_LISTED ? wrapped(plainText(driveList(recording, report)), width, '  ') : []),
    ]),
    ...wrapped(STRIP_LEGEND, width, '  '),
    ...(more > 0 ? [`… and ${plural(more, 'more divided recording')} (all in report.json)`] : []),
  ]
}

function pieceColumns(pieces: ReportPiece[], report: Report, system: System): TextColumn[] {
  const zone = report.settings.time_zone
  const column = (
    header: string,
    align: TextColumn['align'],
    cell: (piece: ReportPiece) => string,
    rank = 0,
  ): TextColumn => ({
    header,
    align,
    rank,
    cells: pieces.map(cell),
  })
  return [
    column(zone === null ? 'UTC' : 'from', 'left', (piece) => clockTime(piece.start_time, zone)),
    column('to', 'left', (piece) => clockTime(piece.end_time, zone)),
    column('what', 'left', ({ kind }) => PIECE_WORDS[kind].word),
    column('', 'right', (piece) => hoursAndMinutes(durationOf(piece)), 1),
    column('', 'right', ({ distance_m: m }) => (m >= 50 ? lengthText(m, system) : '')),
    column('name', 'left', (piece) => fileName(trackOf(piece, report))),
  ]
}

const fileName = (track: string | null): string =>
  track === null ? '' : cleaned(track.slice(track.lastIndexOf('/') + 1))

/** A recording with all of its pieces, a line each. */
export function pieceLines(recording: ReportRecording, report: Report, width: number, system: System): string[] {
  const { lines } = textTable(pieceColumns(recording.pieces, report, system), width - 2)
  return [
    ...wrapped(plainText(recordingWords(recording, report), system), width),
    `  ${stripText(recording, width - 4)}`,
    ...wrapped(STRIP_LEGEND, width, '  '),
    ...lines.map((line) => `  ${line}`),
  ]
}

const lengthText = (metres: number, system: System): string =>
  plainText([{ value: metres, quantity: 'distance', decimals: 1, sign: false, difference: false, bare: false }], system)

/** The fuel log from full fill to full fill; empty without one. */
export function consumptionLines(report: Report, width: number): string[] {
  const { consumption } = report
  const shown = consumption.slice(-MOST_STINTS)
  if (shown.length === 0) return []
  const columns = consumptionColumns(report).map(({ header, align, rank, cell }) => {
    const cells = shown.map((span) => cut(plainText(cell(span)), 60))
    return { header, align, rank, cells }
  })
  const more = consumption.length - shown.length
  return [
    ...(more > 0 ? [`${plural(more, 'earlier row')} in consumption.csv`] : []),
    ...textTable(columns, width).lines,
  ]
}

/** More stints than these are in stints.csv alone. */
const MOST_STINTS = 20

/** The stints with what was used over them; empty where no fuel belongs to several drives. */
export function stintLines(report: Report, width: number): string[] {
  const shown = report.stints.slice(0, MOST_STINTS)
  if (shown.length === 0) return []
  const columns = STINT_COLUMNS.map(({ header, align, rank, cell }) => {
    const cells = shown.map((stint) => cut(plainText(cell(stint, report)), 40))
    return { header, align, rank, cells }
  })
  const more = report.stints.length - shown.length
  return [
    ...textTable(columns, width).lines,
    ...(more > 0 ? [`… and ${plural(more, 'more stint')} (all in stints.csv)`] : []),
  ]
}
