import type { EngineOff } from '../../../demand/engine.ts'
import type { RunRow } from '../../../read/runs/rows.ts'
import type { TracedRecording } from '../../../road/division/legs.ts'
import type { Part } from '../../../track/cut.ts'
import type { NamedPiece } from '../recordings/piece-names.ts'

/** A session of a recording, as the division of a campaign needs it. */
export interface Session extends TracedRecording {
  /** The recording's path relative to the folder, `#n` where the file holds several tracks. */
  track: string
}

/** All that one device wrote in one go, with its pauses. */
export interface Recording {
  track: string
  /** Indices of its sessions, in the order of time. */
  sessions: number[]
  startTime: number
  endTime: number
}

/** A drive found in a recording, or stated by the user. */
export interface FoundDrive {
  /** Index of the session. */
  session: number
  /** The recording's name alone where it holds this drive only; else with `@` and when the drive began. */
  track: string
  /** What stands behind the `@`. */
  name: string
  /** The same by UTC, as it was called before the campaign named a zone. */
  utcName: string
  /** Seconds since 1970 UTC. */
  fromTime: number
  toTime: number
  /** It is its session from the first fix to the last. */
  whole: boolean
  row: RunRow | null
  /** Cut out of it: no distance, no time. */
  without: Part[]
  engineOff: EngineOff | null
}

/** A row of runs.csv that names one recording. */
export interface ClaimedRow {
  row: RunRow
  /** Index of the recording. */
  recording: number
  /** Which piece of the recording the row's name means; null where it means the recording. */
  piece: NamedPiece | null
  /** The row names no track, and was found by its time. */
  byTime?: boolean
}

/** Drives that have one row together: its fuel was used over all of them. */
export interface Stint {
  row: RunRow
  /** Indices of drives, in the order of time. */
  drives: number[]
}

/** A stretch of a recording that a row says is a drive, seconds since 1970 UTC. */
export interface Stretch {
  fromTime: number
  toTime: number
}

/** A thousand rows of one slip say so once. */
export const MOST_OF_A_KIND = 20
