import type { Problem } from '../../base/problem.ts'
import { upperMedian } from '../../base/statistics.ts'
import type { Fixes, Repairs } from '../types.ts'
import { clockStep } from './clock-words.ts'
import { intervals } from './order.ts'

/** A step of the clock is told from a pause by being longer than this, s. */
const SHORTEST_CLOCK_STEP_S = 120
/** A file with more backward steps than this is unordered, not one whose clock was set. */
const MOST_CLOCK_STEPS = 5

/**
 * Sets right a clock that was set while driving: the vehicle moves on as if nothing had happened while the time steps
 * by minutes or hours. The smaller part is moved to the larger one's clock. Rows are in the file's order.
 * @param moved the distance from row i to the next, m
 * @param told gets a problem for each step of the clock
 */
export function withSteadyClock(fixes: Fixes, repairs: Repairs, moved: (i: number) => number, told: Problem[]): Fixes {
  const { time } = fixes
  const steps = intervals(time)
  if (!steps.some((step) => Math.abs(step) > SHORTEST_CLOCK_STEP_S)) return fixes
  if (steps.filter((step) => step < -SHORTEST_CLOCK_STEP_S).length > MOST_CLOCK_STEPS) return fixes
  const usual = upperMedian(steps.filter((step) => step > 0))
  // What each step changes in the rows before it, or in those after it.
  const before = new Float64Array(time.length)
  const after = new Float64Array(time.length)
  for (let i = 2; i + 2 < time.length; i++) {
    const step = time[i + 1] - time[i]
    if (Math.abs(step) <= Math.max(SHORTEST_CLOCK_STEP_S, 10 * usual) || !drivesOn(i, usual, time, moved)) continue
    const late = i + 1 >= time.length / 2
    const change = step - usual
    if (late) after[i + 1] -= change
    else before[i] += change
    const points = late ? time.length - i - 1 : i + 1
    repairs.clockJumps += points
    told.push(clockStep({ fromTime: time[i], toTime: time[i + 1], points, late, byS: late ? -change : change }))
  }
  const shifted = time.slice()
  for (let i = 1; i < time.length; i++) after[i] += after[i - 1]
  for (let i = time.length - 2; i >= 0; i--) before[i] += before[i + 1]
  for (let i = 0; i < time.length; i++) shifted[i] += before[i] + after[i]
  return { ...fixes, time: shifted }
}

/**
 * Whether the distance across the step i → i+1 is what the speed before and after makes of one usual interval, to 40 %
 * and 2 m, at 3 to 70 m/s: below, the scatter of positions is as large. Common practice, no source.
 */
function drivesOn(i: number, usual: number, time: Float64Array, moved: (i: number) => number): boolean {
  const before = (moved(i - 1) + moved(i - 2)) / (time[i] - time[i - 2])
  const after = moved(i + 1) / (time[i + 2] - time[i + 1])
  const expected = ((before + after) / 2) * usual
  const slow = Math.min(before, after) < 3 || Math.max(before, after) > 70
  return !slow && Math.abs(moved(i) - expected) < 0.4 * expected + 2
}
