import type { Problem } from '../../../base/problem.ts'
import { found } from '../../../base/problem.ts'
import { lineWords, placeOfRow, type RunRow } from '../../../read/runs/rows.ts'
import { wetOrDry, yesOrNo } from '../../../read/table/yes-or-no.ts'
import type { Stated } from '../../../road/division/divide.ts'
import type { Trace } from '../../../road/division/trace.ts'
import type { ClaimedRow, Recording, Session, Stretch } from './drives-and-rows.ts'
import { shownTime, statedTime } from './stated-times.ts'

export interface StatedDrives {
  ofSession: Stated[]
  /** By rows; rows whose stretch cannot be are left out. */
  stretches: Map<ClaimedRow, Stretch>
  problems: Problem[]
}

type Told = Omit<Problem, 'severity' | 'line'>
type Say = (problem: Told) => void

/** What the rows of runs.csv say of where drives begin and end: their columns `from`, `to` and `split`. */
export function statedDrives(
  claimed: ClaimedRow[],
  recordings: Recording[],
  sessions: Session[],
  timeZone: string | null,
): StatedDrives {
  const stated: StatedDrives = {
    ofSession: sessions.map(() => ({ whole: false, drives: [] })),
    stretches: new Map(),
    problems: [],
  }
  const rows = new Map<Stretch, RunRow>()
  for (const claim of claimed) {
    const { row } = claim
    const recording = recordings[claim.recording]
    const say: Say = (problem) => {
      stated.problems.push({ severity: 'error', ...problem, ...placeOfRow(row) })
    }
    sayUnreadAnswers(row, say)
    if (yesOrNo(row.split) === false) for (const session of recording.sessions) stated.ofSession[session].whole = true
    if (row.from === null && row.to === null) continue
    const stretch = stretchOf(claim, recording, sessions, timeZone, say)
    if (!stretch) continue
    const session = recording.sessions.find((s) => sessions[s].endTime > stretch.fromTime) ?? recording.sessions[0]
    if (stretch.toTime > sessions[session].endTime + 1) {
      say(overPause(sessions[session], timeZone))
      continue
    }
    const { drives } = stated.ofSession[session]
    const other = drives.find((d) => d.fromTime < stretch.toTime && d.toTime > stretch.fromTime)
    if (other && other.fromTime === stretch.fromTime && other.toTime === stretch.toTime) {
      // Said twice: what becomes of the two rows is seen where drives get them.
      stated.stretches.set(claim, other)
      continue
    }
    if (other) {
      say(overlapOf(stretch, other, lineWords(rows.get(other) ?? row, row), timeZone))
      continue
    }
    rows.set(stretch, row)
    drives.push(stretch)
    stated.stretches.set(claim, stretch)
  }
  return stated
}

/** What becomes of a row whose stretch cannot be: it is given to no other drive. */
const NOT_USED = 'this row is not used'

/** The columns that are answered with words which nobody understands. */
function sayUnreadAnswers({ split, testVehicle, roadWet }: RunRow, say: Say): void {
  if (split !== null && yesOrNo(split) === null) {
    say({ code: 'split-not-yes-or-no', message: `split: found "${split.slice(0, 40)}", expected yes or no` })
  }
  if (testVehicle !== null && yesOrNo(testVehicle) === null) {
    const message = `test_vehicle: found "${testVehicle.slice(0, 40)}", expected yes or no`
    say({ code: 'test-vehicle-not-yes-or-no', message })
  }
  if (roadWet !== null && wetOrDry(roadWet) === null) {
    const message = `road_wet: found "${roadWet.slice(0, 40)}", expected wet or dry`
    say({ code: 'road-not-wet-or-dry', message })
  }
}

function overPause({ endTime }: Session, timeZone: string | null): Told {
  const end = shownTime(endTime, timeZone)
  const message = `nothing was recorded from ${end} for an hour or more: a drive cannot go on over that; ${NOT_USED}`
  const hint = `end it at ${end}, and write a row of its own for what comes after`
  return { code: 'stated-drive-over-pause', message, hint }
}

function overlapOf(stretch: Stretch, other: Stretch, itsLine: string, timeZone: string | null): Told {
  const shown = (t: Stretch): string => `${shownTime(t.fromTime, timeZone)} to ${shownTime(t.toTime, timeZone)}`
  const message = `${shown(stretch)} overlaps the drive of ${itsLine}, ${shown(other)}; ${NOT_USED}`
  return { code: 'stated-drives-overlap', message, hint: freeOf(stretch, other, timeZone) }
}

/** What of a stretch lies beside another. */
function freeOf(stretch: Stretch, other: Stretch, timeZone: string | null): string {
  if (stretch.fromTime < other.fromTime) return `end it by ${shownTime(other.fromTime, timeZone)}`
  if (stretch.toTime > other.toTime) return `begin it at ${shownTime(other.toTime, timeZone)} or later`
  return 'all of it lies within the other: write one row for both'
}

function stretchOf(
  { row }: ClaimedRow,
  recording: Recording,
  sessions: Session[],
  timeZone: string | null,
  say: Say,
): Stretch | null {
  const span = { ...recording, trace: traceOfAll(recording.sessions.map((s) => sessions[s].trace)) }
  const ends = [
    row.from === null ? found(span.startTime) : statedTime(row.from, 'from', span, timeZone),
    row.to === null ? found(span.endTime) : statedTime(row.to, 'to', span, timeZone),
  ]
  for (const { problems } of ends) {
    for (const problem of problems)
      say(problem.severity === 'note' ? problem : { ...problem, message: `${problem.message}; ${NOT_USED}` })
  }
  const [fromTime, toTime] = ends.map(({ value }) => value)
  if (fromTime === null || toTime === null) return null
  if (toTime > fromTime) return { fromTime, toTime }
  const message = `"from" is ${row.from ?? 'the start of the recording'} and "to" is ${row.to ?? 'its end'}; expected "to" to be later than "from"; ${NOT_USED}`
  say({ code: 'stated-times-reversed', message })
  return null
}

/** Distances and times of all sessions one behind the other. */
export function traceOfAll(traces: Trace[]): Trace {
  if (traces.length === 1) return traces[0]
  let beforeM = 0
  const distanceM = traces.flatMap((trace) => {
    const own = Array.from(trace.distanceM, (m) => m + beforeM)
    beforeM = own[own.length - 1]
    return own
  })
  return {
    ...traces[0],
    distanceM: Float64Array.from(distanceM),
    time: Float64Array.from(traces.flatMap((trace) => [...trace.time])),
  }
}
