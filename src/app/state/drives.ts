import type { Course, FoundDrive, Recognised } from '../compute/compute.ts'
import type { DriveOfTable } from '../edit/drive-edits.ts'

export type Recording = Recognised['recordings'][number]

/** A drive with its place in its recording. */
export interface ShownDrive extends DriveOfTable {
  /** Its number in the report, from 1. */
  number: number
  id: string
  setup: string | null
  distanceM: number
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

/** The drives as they were found, by their recordings. */
export function shownRecordings({ recordings, drives, courses }: Recognised): ShownRecording[] {
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
      drives: own.map((drive, i) => shown(drive, recording, own[i + 1] ?? null, numberOf.get(drive.id) ?? 0)),
    }
  })
}

/** Whether a drive's best recording is this one; another one recorded the same drive. */
const isOf = ({ track }: FoundDrive, recording: Recording): boolean =>
  track === recording.track || track.startsWith(`${recording.track}@`)

function shown(drive: FoundDrive, recording: Recording, next: FoundDrive | null, number: number): ShownDrive {
  const { id, track, setup, startTime, endTime, distanceM, row } = drive
  return {
    number,
    id,
    track,
    setup,
    recording: recording.track,
    startTime,
    endTime,
    distanceM,
    line: row?.isItsAlone ? row.line : null,
    hasRow: row !== null,
    isFirst: startTime - Date.parse(recording.start_time) / 1000 < 1,
    isLast: Date.parse(recording.end_time) / 1000 - endTime < 1,
    next: next?.id ?? null,
  }
}
