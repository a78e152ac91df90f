import { isFerry } from '../../track/ferry.ts'
import { stepM } from '../../track/geodesy.ts'
import type { Rest } from '../../track/rests.ts'
import { cutTrace, indexAt, type Trace, timeAtDistance } from './trace.ts'

/** What a recording shows of itself before it is held against others. */
export interface TracedRecording {
  trace: Trace
  /** In their order. */
  rests: Rest[]
  /** Seconds since 1970 UTC. */
  startTime: number
  endTime: number
}

/** A stretch of a recording from one rest to the next. */
export interface Leg {
  /** Index of the recording. */
  recording: number
  fromTime: number
  toTime: number
  /** From distance 0 at its begin. */
  trace: Trace
  /** Whether it begins and ends at a rest within its recording, not where the recording begins or ends. */
  restBefore: boolean
  restAfter: boolean
}

/** Less road than this between two rests is moving the vehicle, m. */
const SHORTEST_LEG_M = 100

/** The legs of a recording, in their order. */
export function legsOf(recording: TracedRecording, index: number): Leg[] {
  const { trace, rests, startTime, endTime } = recording
  const legs: Leg[] = []
  for (let i = 0; i <= rests.length; i++) {
    const fromTime = i === 0 ? startTime : rests[i - 1].toTime
    const toTime = i === rests.length ? endTime : rests[i].fromTime
    const leg = legBetween(recording, index, fromTime, toTime)
    if (leg) legs.push({ ...leg, restBefore: i > 0 && fromTime > trace.time[0], restAfter: i < rests.length })
  }
  return legs
}

/** Whether a leg was a ride on a ferry. */
export function wasFerry({ trace, fromTime, toTime, restBefore, restAfter }: Leg): boolean {
  if (!restBefore || !restAfter) return false
  const { time, latitude, longitude, lengthM, spacingM } = trace
  const last = time.length - 1
  return isFerry({
    lastsS: toTime - fromTime,
    lengthM,
    apartM: stepM(latitude[0], longitude[0], latitude[last], longitude[last]),
    speedMps: Float64Array.from({ length: last }, (_, i) => spacingM / Math.max(0.1, time[i + 1] - time[i])),
    timeAt: (m) => timeAtDistance(trace, m),
  })
}

/** The part of a recording between two times as a leg; null where next to no road was driven. */
export function legBetween(
  { trace }: TracedRecording,
  recording: number,
  fromTime: number,
  toTime: number,
): Leg | null {
  const from = indexAt(trace, fromTime)
  const past = indexAt(trace, toTime) + 1
  if (past - from < 2 || trace.distanceM[past - 1] - trace.distanceM[from] < SHORTEST_LEG_M) return null
  return { recording, fromTime, toTime, trace: cutTrace(trace, from, past), restBefore: true, restAfter: true }
}
