import { upperMedian } from '../../base/statistics.ts'
import { stepM } from '../geodesy.ts'
import type { Fixes, Repairs } from '../types.ts'
import { kept } from './order.ts'

/** A car that starts from rest gains no more than this, m/s² (an electric sports car's full start is about 10). */
const HARDEST_START_MPS2 = 4
/** How a car is usually set in motion, m/s². Common practice, no source. */
const USUAL_START_MPS2 = 1.2
/** Step that position noise and a receiver's own standstill filter make without the vehicle having moved on, m. */
const NOISE_STEP_M = 12
/** A device is held to refresh late when at least this many holds, and this share of them, end in a jump. */
const HOLDS_TO_TELL = 8
const SHARE_TO_TELL = 0.3
export interface FreshFixes {
  fixes: Fixes
  /** How long the device usually holds a position, s; 0 where that is not its habit. */
  usualHoldS: number
}

interface Hold {
  first: number
  last: number
  heldS: number
  /** Distance to the next position, m. */
  stepM: number
  /** The next position cannot be reached from standstill in the time since the last repeat. */
  jumps: boolean
}

/**
 * Leaves out held fixes: rows that repeat a position while the vehicle moves on. A vehicle that stands repeats its
 * position too; the two are told apart by what follows. From standstill, the next position is reached at a plausible
 * pace from the time of the *last* repeat; after a held fix it is not. Where holds are the device's habit, its usual
 * hold is known: repeats older than that before the next position can only come from standing, and are kept.
 */
export function withoutFrozen(fixes: Fixes, repairs: Repairs): FreshFixes {
  const holds = holdsOf(fixes)
  const jumping = holds.filter((hold) => hold.jumps)
  if (jumping.length === 0) return { fixes, usualHoldS: 0 }
  const habit = jumping.length >= HOLDS_TO_TELL && jumping.length >= SHARE_TO_TELL * holds.length
  const longestHoldS = longestUsual(jumping)
  const usualPaceMps = brisk(jumping.map(({ stepM: step, heldS }) => step / heldS))
  const keep = new Uint8Array(fixes.time.length).fill(1)
  for (const hold of holds) {
    if (!hold.jumps && !habit) continue
    const changed = fixes.time[hold.last + 1]
    const leastS = Math.max(longestHoldS, habit ? shortestWayS(hold.stepM, usualPaceMps) : 0)
    for (let row = hold.first + 1; row <= hold.last; row++) {
      if (changed - fixes.time[row] > leastS) continue
      keep[row] = 0
    }
  }
  if (habit) dropLastHold(fixes, longestHoldS, keep)
  repairs.frozenFixes += keep.reduce((dropped, k) => dropped + 1 - k, 0)
  return { fixes: kept(fixes, keep), usualHoldS: habit ? upperMedian(jumping.map((hold) => hold.heldS)) : 0 }
}

/** Drops the repeats that end a track, unless they go on for longer than the device's habit, as when it stands. */
function dropLastHold({ time, latitude, longitude }: Fixes, longestHoldS: number, keep: Uint8Array): void {
  const last = time.length - 1
  let first = last
  while (first > 0 && latitude[first - 1] === latitude[last] && longitude[first - 1] === longitude[last]) first--
  if (time[last] - time[first] <= longestHoldS) keep.fill(0, first + 1)
}

/** All runs of two or more rows with one position that are followed by another position. */
function holdsOf({ time, latitude, longitude }: Fixes): Hold[] {
  const holds: Hold[] = []
  let first = 0
  for (let i = 1; i < time.length; i++) {
    if (latitude[i] === latitude[first] && longitude[i] === longitude[first]) continue
    const last = i - 1
    if (last > first) {
      const step = stepM(latitude[last], longitude[last], latitude[i], longitude[i])
      const since = time[i] - time[last]
      const jumps = step > NOISE_STEP_M + 0.5 * HARDEST_START_MPS2 * since * since
      holds.push({ first, last, heldS: time[i] - time[first], stepM: step, jumps })
    }
    first = i
  }
  return holds
}

/** The pace that nine tenths of the ways between refreshes do not exceed, m/s. */
function brisk(pacesMps: number[]): number {
  const sorted = pacesMps.sort((a, b) => a - b)
  return sorted[Math.ceil(0.9 * sorted.length) - 1]
}

/**
 * The shortest time in which a vehicle at rest gets so far, s, when it sets off as usual and drives no faster than it does
 * on this recording: repeats nearer than this to the next position cannot be standing.
 */
function shortestWayS(stepM: number, paceMps: number): number {
  const startM = (paceMps * paceMps) / (2 * USUAL_START_MPS2)
  return stepM <= startM
    ? Math.sqrt((2 * stepM) / USUAL_START_MPS2)
    : stepM / paceMps + paceMps / (2 * USUAL_START_MPS2)
}

/** The hold that 95 % of the jumping ones do not exceed, s. */
function longestUsual(jumping: Hold[]): number {
  const held = jumping.map((hold) => hold.heldS).sort((a, b) => a - b)
  return held[Math.ceil(0.95 * held.length) - 1]
}
