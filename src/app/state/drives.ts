import type { Course, FoundDrive, Recognised } from '../compute/compute.ts'
import { cellsOf, type DriveOfTable, nameInRow } from '../edit/drive-edits.ts'
import type { TableText } from '../edit/table-text.ts'

export type Recording = Recognised['recordings'][number]

/** A drive with its place in its recording. */
export interface ShownDrive extends DriveOfTable {
  /** Its number in the report, from 1. */
  number: number
  id: string
  setup: string | null
  distanceM: number
  /** Why it is excluded, as its row says; empty where it is used. */
  excluded: string
  /** Some row of the table of drives is about it. */
  hasRow: boolean
  /** The drive that follows it in the recording, which it may be put together with. */
  next: string | null
}

/** A recording with its drives and where it went. */
export interface ShownRecording {
  recording: Recording
  drives: ShownDrive[]
  courses: Course[]
}

/**
 * The drives as they were found, by their recordings.
 * @param table of drives as it stands now, which may have been changed since
 */
export function shownRecordings(
  { recordings, drives, courses }: Recognised,
  table: TableText | null,
): ShownRecording[] {
  const lineOf = linesByName(table)
  const numberOf = new Map(drives.map(({ id }, i) => [id, i + 1]))
  const byId = new Map(drives.map((drive) => [drive.id, drive]))
  return recordings.map((recording) => {
    const own = recording.pieces.flatMap(({ kind, run }) => {
      const drive = kind === 'drive' && run !== null ? byId.get(run) : undefined
      return drive && isOf(drive, recording) ? [drive] : []
    })
    return {
      recording,
      courses: courses.filter(({ track }) => track === recording.track),
      drives: own.map((drive, i) => {
        const line = lineOf.get(nameInRow(drive.track)) ?? null
        const place = { next: own[i + 1] ?? null, number: numberOf.get(drive.id) ?? 0, line }
        return shown(drive, recording, place, table)
      }),
    }
  })
}

/** Whether a drive's best recording is this one; another one recorded the same drive. */
const isOf = ({ track }: FoundDrive, recording: Recording): boolean =>
  track === recording.track || track.startsWith(`${recording.track}@`)

/** The rows by what they call their drive. */
function linesByName(table: TableText | null): Map<string, number> {
  const at = table?.header.indexOf('track') ?? -1
  return new Map((table?.rows ?? []).map(({ line, cells }) => [cells[at] ?? '', line]))
}

interface DriveInTable {
  next: FoundDrive | null
  number: number
  /** Of a row that calls the drive by its name. */
  line: number | null
}

function shown(
  drive: FoundDrive,
  recording: Recording,
  { next, number, line }: DriveInTable,
  table: TableText | null,
): ShownDrive {
  const { id, track, setup, startTime, endTime, distanceM, row } = drive
  const own = row?.isItsAlone ? row.line : row === null ? line : null
  return {
    number,
    id,
    track,
    setup,
    recording: recording.track,
    startTime,
    endTime,
    distanceM,
    line: own,
    excluded: cellsOf(table, own).exclude ?? '',
    hasRow: row !== null || line !== null,
    isFirst: startTime - Date.parse(recording.start_time) / 1000 < 1,
    isLast: Date.parse(recording.end_time) / 1000 - endTime < 1,
    next: next?.id ?? null,
  }
}
