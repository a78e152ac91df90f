import type { Drive } from '../../track/types.ts'
import { cut, sampledPath } from '../path.ts'
import type { Path } from '../types.ts'

/** Where a recording went, at even steps of distance, and when; columns of one length. */
export interface Trace extends Path {
  /** Seconds since 1970 UTC at which each point was reached. */
  time: Float64Array
}

const SPACING_M = 25
/** A thousand kilometres at 25 m. */
const MOST_POINTS = 40_000

/** The trace of a whole recording: fine enough to tell laps and joins, a twentieth of its motion. */
export function traceOf(drive: Drive): Trace {
  const { motion } = drive
  const lengthM = motion.distanceM[motion.count - 1]
  const path = sampledPath(drive, Math.max(SPACING_M, lengthM / MOST_POINTS))
  const time = new Float64Array(path.distanceM.length)
  let row = 0
  for (let i = 0; i < time.length; i++) {
    const wanted = path.distanceM[i]
    while (row < motion.count - 2 && motion.distanceM[row + 1] < wanted) row++
    const step = motion.distanceM[row + 1] - motion.distanceM[row]
    const share = step > 0 ? Math.min(1, Math.max(0, (wanted - motion.distanceM[row]) / step)) : 0
    time[i] = motion.startTime + (row + share) * motion.stepS
  }
  return { ...path, time }
}

/** The points of a trace from `from` to before `past`, as a trace of its own that begins at distance 0. */
export const cutTrace = (trace: Trace, from: number, past: number): Trace => ({
  ...cut(trace, from, past),
  time: trace.time.slice(from, past),
})

/** The place of a time in a trace, as the index of the last point reached by then. */
export function indexAt({ time }: Trace, wanted: number): number {
  let low = 0
  let high = time.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (time[middle] <= wanted) low = middle
    else high = middle - 1
  }
  return low
}

/** When a distance along a trace was reached, seconds since 1970 UTC, between its points in proportion. */
export function timeAtDistance({ distanceM, time }: Trace, wantedM: number): number {
  let low = 0
  let high = distanceM.length - 1
  if (wantedM <= distanceM[0]) return time[0]
  if (wantedM >= distanceM[high]) return time[high]
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (distanceM[middle] <= wantedM) low = middle
    else high = middle
  }
  const share = (wantedM - distanceM[low]) / (distanceM[high] - distanceM[low])
  return time[low] + share * (time[high] - time[low])
}

/** How far along the trace the vehicle was at a time, m, between its points in proportion. */
export function distanceAtTime(trace: Trace, wanted: number): number {
  const { distanceM, time } = trace
  const i = indexAt(trace, wanted)
  if (wanted <= time[i] || i + 1 >= time.length) return distanceM[i]
  const lastsS = time[i + 1] - time[i]
  return lastsS > 0 ? distanceM[i] + ((wanted - time[i]) / lastsS) * (distanceM[i + 1] - distanceM[i]) : distanceM[i]
}
