import { upperMedian } from '../base/statistics.ts'
import { stepM } from './geodesy.ts'
import { MOVING, type Motion, STANDING } from './types.ts'

/** A stretch in which the vehicle was perhaps carried or parked; seconds since 1970 UTC. */
export interface Carried {
  kind: 'ferry' | 'long-stand'
  fromTime: number
  toTime: number
  distanceM: number
}

/**
 * A ferry: minutes at a low and steady speed, nearly straight, between two stands, and so heavy that gathering way and
 * losing it costs it a quarter of a minute together, from the 25th metre on. Common practice, no source.
 */
const FERRY = { leastS: 240, leastM: 1000, mostMps: 14, straight: 0.96, steady: 0.2, steadyShare: 0.8, lostS: 12 }
const END_M = { from: 25, to: 325 }
/** Nobody idles for longer: stands within a drive that last longer are charging stops, waits, or breaks, s. Common practice, no source. */
export const LONG_STAND_S = 180

/** Stretches that a user may want to leave out of a drive. */
export function carriedIn(motion: Motion): Carried[] {
  const found: Carried[] = []
  for (let from = 0; from < motion.count; ) {
    const state = motion.state[from]
    let past = from + 1
    while (past < motion.count && motion.state[past] === state) past++
    const stretch = {
      fromTime: motion.startTime + from * motion.stepS,
      toTime: motion.startTime + (past - 1) * motion.stepS,
      distanceM: motion.distanceM[past - 1] - motion.distanceM[from],
    }
    if (state === STANDING && stretch.toTime - stretch.fromTime > LONG_STAND_S) {
      found.push({ kind: 'long-stand', ...stretch })
    }
    const betweenStands = motion.state[from - 1] === STANDING && motion.state[past] === STANDING
    if (state === MOVING && betweenStands && isFerry(motion, from, past)) found.push({ kind: 'ferry', ...stretch })
    from = past
  }
  return found
}

function isFerry({ latitude, longitude, distanceM, speedMps, stepS }: Motion, from: number, past: number): boolean {
  const last = past - 1
  const lengthM = distanceM[last] - distanceM[from]
  if ((last - from) * stepS < FERRY.leastS || lengthM < FERRY.leastM) return false
  if (stepM(latitude[from], longitude[from], latitude[last], longitude[last]) < FERRY.straight * lengthM) return false
  const speeds = speedMps.slice(from, past)
  const usual = upperMedian(speeds.slice())
  const steady = speeds.filter((speed) => Math.abs(speed - usual) <= FERRY.steady * usual)
  if (usual > FERRY.mostMps || steady.length < FERRY.steadyShare * speeds.length) return false
  const between = (fromM: number, toM: number): number => {
    const passed = (m: number): number => distanceM.findIndex((d, k) => k >= from && d - distanceM[from] >= m)
    return (passed(toM) - passed(fromM)) * stepS
  }
  const endsS = between(END_M.from, END_M.to) + between(lengthM - END_M.to, lengthM - END_M.from)
  return endsS - (2 * (END_M.to - END_M.from)) / usual >= FERRY.lostS
}
