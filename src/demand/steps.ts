import { square } from '../base/arithmetic.ts'
import { radians } from '../base/units.ts'
import { elevationAt } from '../road/profile.ts'
import type { ElevationProfile, Match, Path } from '../road/types.ts'
import { topSpeedMps } from '../track/summary.ts'
import { type Drive, GAP, LEFT_OUT, type Motion, STANDING } from '../track/types.ts'
import { type EngineOff, engineTimes } from './engine.ts'
import type { Steps } from './types.ts'

const LEAST_STEP_M = 10
const MOST_MOVING_STEPS = 3000

/** How a drive lies on its route, as far as its steps need it. */
export interface OnRoute {
  path: Path
  match: Match
  profile: ElevationProfile | null
}

/**
 * Cuts a drive into steps and gives each its place on the route and its climb from the route's shared profile.
 * @param route null: of no road; the climbs are then the drive's own
 */
export function stepsOf(drive: Drive, route: OnRoute | null, engineOff: EngineOff | null = null): Steps {
  const { motion } = drive
  const ends = stepEnds(motion)
  const axisM = new Float64Array(ends.length)
  for (let i = 0; i < ends.length; i++) axisM[i] = route ? axisAt(route, motion.distanceM[ends[i]]) : Number.NaN
  const speeds = speedsKnown(motion.speedMps)
  const fine = speedsKnown(motion.fineSpeedMps)
  const coarse = speedsKnown(motion.coarseSpeedMps)
  const gained = (of: Float64Array, from: number, to: number): number => (square(of[to]) - square(of[from])) / 2
  const profile = route?.profile ?? null
  const topMps = topSpeedMps(motion)
  const engine = engineTimes(motion, engineOff)
  const steps = emptySteps(axisM)
  for (let i = 0; i < steps.time.length; i++) {
    const from = ends[i]
    const to = ends[i + 1]
    const middle = (from + to) >> 1
    const courseRad = radians(courseOver(motion, from, to))
    steps.time[i] = motion.startTime + ((from + to) / 2) * motion.stepS
    steps.durationS[i] = motion.stepS * samples(from, to, (k) => (motion.state[k] === LEFT_OUT ? 0 : 1))
    steps.idlingS[i] = motion.stepS * samples(from, to, (k) => engine.runs[k])
    steps.doubtfulIdlingS[i] = motion.stepS * samples(from, to, (k) => engine.mayRun[k])
    steps.distanceM[i] = motion.distanceM[to] - motion.distanceM[from]
    // A position that jumps says how far the vehicle came, not how fast it ever was.
    steps.speedMps[i] = steps.durationS[i] > 0 ? Math.min(topMps, steps.distanceM[i] / steps.durationS[i]) : 0
    steps.kineticJPerKg[i] = gained(speeds, from, to)
    steps.fineKineticJPerKg[i] = gained(fine, from, to)
    steps.coarseKineticJPerKg[i] = gained(coarse, from, to)
    steps.climbM[i] = climb(motion, from, to, axisM[i], axisM[i + 1], profile)
    steps.latitude[i] = motion.latitude[middle]
    steps.longitude[i] = motion.longitude[middle]
    steps.courseEast[i] = Math.sin(courseRad)
    steps.courseNorth[i] = Math.cos(courseRad)
  }
  setElevations(steps, motion, ends, axisM, profile)
  return steps
}

/** Adds up a value over the samples of a step, the one at its begin left out. */
function samples(from: number, to: number, value: (k: number) => number): number {
  let sum = 0
  for (let k = from + 1; k <= to; k++) sum += value(k)
  return sum
}

/** @param axisM positions on the axis at all ends of steps, the first begin included */
function emptySteps(axisM: Float64Array): Steps {
  const count = axisM.length - 1
  const column = (): Float64Array => new Float64Array(count)
  return {
    time: column(),
    durationS: column(),
    idlingS: column(),
    doubtfulIdlingS: column(),
    distanceM: column(),
    speedMps: column(),
    kineticJPerKg: column(),
    fineKineticJPerKg: column(),
    coarseKineticJPerKg: column(),
    climbM: column(),
    elevationM: column(),
    latitude: column(),
    longitude: column(),
    courseEast: column(),
    courseNorth: column(),
    axisFromM: axisM.slice(0, count),
    axisToM: axisM.slice(1),
  }
}

/** Rows of the grid at which steps end: a change between driving, standing and gap, or enough road. */
function stepEnds(motion: Motion): Int32Array {
  const last = motion.count - 1
  const leastM = Math.max(LEAST_STEP_M, motion.distanceM[last] / MOST_MOVING_STEPS)
  const ends = [0]
  for (let row = 1; row < last; row++) {
    const begun = ends[ends.length - 1]
    const changed = motion.state[row] !== motion.state[row + 1]
    const longEnough = motion.state[row] !== STANDING && motion.distanceM[row] - motion.distanceM[begun] >= leastM
    if (changed || longEnough) ends.push(row)
  }
  ends.push(last)
  return Int32Array.from(ends)
}

/** Position on the axis at a distance of the drive: linear between the path's matched points. */
function axisAt({ path, match }: OnRoute, distanceM: number): number {
  const i = Math.min(path.distanceM.length - 2, Math.floor(distanceM / path.spacingM))
  const from = match.axisM[i]
  const to = match.axisM[i + 1]
  if (!(to >= from) || to - from > 8 * path.spacingM) return Number.NaN
  const share = (distanceM - path.distanceM[i]) / (path.distanceM[i + 1] - path.distanceM[i])
  return from + Math.min(1, share) * (to - from)
}

/** Speeds with gaps bridged by the last and the next known one, so that no kinetic energy is made or lost in them. */
function speedsKnown(speedMps: Float64Array): Float64Array {
  const speeds = speedMps.slice()
  for (let i = 0, known = 0; i < speeds.length; i++) {
    if (Number.isFinite(speeds[i])) known = speeds[i]
    else speeds[i] = known
  }
  return speeds
}

function courseOver(motion: Motion, from: number, to: number): number {
  for (const row of [(from + to) >> 1, from, to])
    if (Number.isFinite(motion.courseDeg[row])) return motion.courseDeg[row]
  const east = (motion.longitude[to] - motion.longitude[from]) * Math.cos(radians(motion.latitude[from]))
  return (Math.atan2(east, motion.latitude[to] - motion.latitude[from]) * 180) / Math.PI
}

/** Climb of one step, m: from the shared profile on the road, from the drive's own heights off it, 0 where nobody knows. */
function climb(
  motion: Motion,
  from: number,
  to: number,
  axisFromM: number,
  axisToM: number,
  profile: ElevationProfile | null,
): number {
  if (profile && axisToM >= axisFromM) return elevationAt(profile, axisToM) - elevationAt(profile, axisFromM)
  const own = motion.elevationM[to] - motion.elevationM[from]
  return Number.isFinite(own) && motion.state[to] !== GAP ? own : 0
}

/** Heights of the profile on the road, and off it the drive's own, brought to the profile's datum. */
function setElevations(
  { elevationM }: Steps,
  motion: Motion,
  ends: Int32Array,
  axisM: Float64Array,
  profile: ElevationProfile | null,
): void {
  const offsetM = datumOffset(motion, ends, axisM, profile)
  for (let i = 0; i < elevationM.length; i++) {
    elevationM[i] =
      profile && Number.isFinite(axisM[i])
        ? elevationAt(profile, axisM[i])
        : motion.elevationM[(ends[i] + ends[i + 1]) >> 1] + offsetM
  }
}

/** What must be added to the drive's own heights to stand on the profile's datum, m; 0 without a profile. */
function datumOffset(motion: Motion, ends: Int32Array, axisM: Float64Array, profile: ElevationProfile | null): number {
  if (!profile) return 0
  let total = 0
  let count = 0
  for (let i = 0; i < ends.length; i++) {
    const difference = elevationAt(profile, axisM[i]) - motion.elevationM[ends[i]]
    if (!Number.isFinite(difference)) continue
    total += difference
    count++
  }
  return count > 0 ? total / count : 0
}
