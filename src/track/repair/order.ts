import { hypotenuse } from '../../base/arithmetic.ts'
import type { Problem } from '../../base/problem.ts'
import type { Fixes, Repairs } from '../types.ts'
import { farInTime } from './clock-words.ts'

/** Rows further than this from the bulk of a track in time are not part of the drive. */
const FAR_IN_TIME_S = 12 * 3600
const YEAR_1990 = Date.UTC(1990, 0) / 1000
const YEAR_2100 = Date.UTC(2100, 0) / 1000

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

/** Times between each row and the next, s. */
export function intervals(time: Float64Array): Float64Array {
  const steps = new Float64Array(Math.max(0, time.length - 1))
  for (let i = 0; i < steps.length; i++) steps[i] = time[i + 1] - time[i]
  return steps
}

/**
 * Time order, each time once, and nothing far from the bulk in time.
 * @param told gets what is to be said of the clock
 */
export function inTimeOrder(fixes: Fixes, repairs: Repairs, told: Problem[]): Fixes {
  if (rises(fixes.time) && fixes.time[fixes.time.length - 1] - fixes.time[0] <= FAR_IN_TIME_S) return fixes
  const [from, to] = bulkOfTimes(fixes.time)
  const together = kept(
    fixes,
    Uint8Array.from(fixes.time, (time) => (time >= from && time <= to ? 1 : 0)),
  )
  const far = fixes.time.filter((time) => time < from || time > to)
  repairs.clockJumps += far.length
  if (far.length > 0) told.push(farInTime(far.sort(), from, to))
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
