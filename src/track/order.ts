import { hypotenuse } from '../base/arithmetic.ts'
import { upperMedian } from '../base/statistics.ts'
import type { Fixes, Repairs } from './types.ts'

/** Rows further than this from the bulk of a track in time are not part of the drive. */
const FAR_IN_TIME_S = 12 * 3600
const YEAR_1990 = Date.UTC(1990, 0) / 1000
const YEAR_2100 = Date.UTC(2100, 0) / 1000

/** A step of the clock is told from a pause by being longer than this, s. */
const SHORTEST_CLOCK_STEP_S = 120
/** A file with more backward steps than this is unordered, not one whose clock was set. */
const MOST_CLOCK_STEPS = 5

const fixAt = (fixes: Fixes, row: number): [time: number, latitude: number, longitude: number, elevation: number] => [
  fixes.time[row],
  fixes.latitude[row],
  fixes.longitude[row],
  fixes.elevation[row],
]

/** The rows for which `keep` is not 0, in the same order. */
export function kept(fixes: Fixes, keep: Uint8Array): Fixes {
  if (!keep.includes(0)) return fixes
  const rows: number[] = []
  for (let row = 0; row < keep.length; row++) if (keep[row] !== 0) rows.push(row)
  return taken(fixes, rows)
}

function taken(fixes: Fixes, rows: number[]): Fixes {
  return {
    time: takenColumn(fixes.time, rows),
    latitude: takenColumn(fixes.latitude, rows),
    longitude: takenColumn(fixes.longitude, rows),
    elevation: takenColumn(fixes.elevation, rows),
  }
}

/** The values of a column at the given rows. (A plain loop: `from` with a function showed in the profile.) */
export function takenColumn(column: Float64Array, rows: number[]): Float64Array {
  const values = new Float64Array(rows.length)
  for (let i = 0; i < rows.length; i++) values[i] = column[rows[i]]
  return values
}

/** Leaves out rows without a time, of an impossible year, or without a possible position. */
export function withoutImpossible(fixes: Fixes, repairs: Repairs): Fixes {
  const { time, latitude, longitude } = fixes
  const nullIsland = isNullIslandWrong(fixes)
  const keep = new Uint8Array(time.length)
  for (let i = 0; i < time.length; i++) {
    const position = Math.abs(latitude[i]) <= 90 && Math.abs(longitude[i]) <= 180
    if (Number.isNaN(time[i])) repairs.missingTimes++
    else if (!(time[i] >= YEAR_1990 && time[i] < YEAR_2100)) repairs.impossibleTimes++
    else if (!position || (nullIsland && latitude[i] === 0 && longitude[i] === 0)) repairs.impossiblePositions++
    else keep[i] = 1
  }
  return kept(fixes, keep)
}

/** Whether 0°/0° is what a logger writes without a fix: so unless most of the track lies there. */
function isNullIslandWrong({ latitude, longitude }: Fixes): boolean {
  let [near, exact] = [0, 0]
  for (let i = 0; i < latitude.length; i++) {
    if (Math.abs(latitude[i]) < 1 && Math.abs(longitude[i]) < 1) near++
    if (latitude[i] === 0 && longitude[i] === 0) exact++
  }
  return exact > 0 && near - exact < (latitude.length - exact) / 2
}

/**
 * Sets right a clock that was set while driving: the vehicle moves on as if nothing had happened while the time steps
 * by minutes or hours. The smaller part is moved to the larger one's clock. Rows are in the file's order.
 */
export function withSteadyClock(fixes: Fixes, repairs: Repairs, moved: (i: number) => number): Fixes {
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
    repairs.clockJumps += late ? time.length - i - 1 : i + 1
  }
  const shifted = time.slice()
  for (let i = 1; i < time.length; i++) after[i] += after[i - 1]
  for (let i = time.length - 2; i >= 0; i--) before[i] += before[i + 1]
  for (let i = 0; i < time.length; i++) shifted[i] += before[i] + after[i]
  return { ...fixes, time: shifted }
}

/** Times between each row and the next, s. */
export function intervals(time: Float64Array): Float64Array {
  const steps = new Float64Array(Math.max(0, time.length - 1))
  for (let i = 0; i < steps.length; i++) steps[i] = time[i + 1] - time[i]
  return steps
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

/** Time order, each time once, and nothing far from the bulk in time. */
export function inTimeOrder(fixes: Fixes, repairs: Repairs): Fixes {
  if (rises(fixes.time) && fixes.time[fixes.time.length - 1] - fixes.time[0] <= FAR_IN_TIME_S) return fixes
  const [from, to] = bulkOfTimes(fixes.time)
  const together = kept(
    fixes,
    Uint8Array.from(fixes.time, (time) => (time >= from && time <= to ? 1 : 0)),
  )
  repairs.clockJumps += fixes.time.length - together.time.length
  let latest = Number.NEGATIVE_INFINITY
  for (const time of together.time) {
    if (time < latest) repairs.outOfOrder++
    else latest = time
  }
  const { time, latitude, longitude, elevation } = together
  if (rises(time)) return together
  const rows = Array.from(time.keys()).sort(
    (a, b) =>
      time[a] - time[b] ||
      latitude[a] - latitude[b] ||
      longitude[a] - longitude[b] ||
      (elevation[a] || 0) - (elevation[b] || 0),
  )
  return eachTimeOnce(taken(together, rows), repairs)
}

/** True when every time is later than the one before: nothing to put in order, and no time twice. */
function rises(time: Float64Array): boolean {
  for (let i = 1; i < time.length; i++) if (!(time[i] > time[i - 1])) return false
  return true
}

/** First and last time of the largest group that no pause of 12 h divides. */
function bulkOfTimes(times: Float64Array): [number, number] {
  const sorted = times.slice().sort()
  let best = [0, 0]
  let start = 0
  for (let i = 1; i <= sorted.length; i++) {
    if (i < sorted.length && sorted[i] - sorted[i - 1] <= FAR_IN_TIME_S) continue
    if (i - start > best[1] - best[0]) best = [start, i]
    start = i
  }
  return [sorted[best[0]], sorted[best[1] - 1]]
}

/** Of rows with one time, keeps the one nearest to the middle of its neighbours in time. */
function eachTimeOnce(fixes: Fixes, repairs: Repairs): Fixes {
  const { time } = fixes
  const rows: number[] = []
  for (let i = 0; i < time.length; ) {
    let end = i + 1
    while (end < time.length && time[end] === time[i]) end++
    const different = [i]
    for (let j = i + 1; j < end; j++) {
      if (sameFix(fixes, different[different.length - 1], j)) repairs.exactDuplicates++
      else different.push(j)
    }
    repairs.repeatedTimes += different.length - 1
    rows.push(different.length === 1 ? i : nearestToMiddle(fixes, different, rows[rows.length - 1] ?? end, end))
    i = end
  }
  return taken(fixes, rows)
}

function sameFix(fixes: Fixes, a: number, b: number): boolean {
  return fixAt(fixes, a).every((value, k) => Object.is(value, fixAt(fixes, b)[k]))
}

function nearestToMiddle({ latitude, longitude }: Fixes, rows: number[], before: number, after: number): number {
  const from = Math.min(before, latitude.length - 1)
  const to = after < latitude.length ? after : from
  const far = (row: number) =>
    hypotenuse(
      2 * latitude[row] - latitude[from] - latitude[to],
      (2 * longitude[row] - longitude[from] - longitude[to]) * Math.cos((latitude[row] * Math.PI) / 180),
    )
  return rows.reduce((best, row) => (far(row) < far(best) ? row : best))
}
