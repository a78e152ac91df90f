import { elevationGain } from './elevation.ts'
import { type Drive, type DriveSummary, LEFT_OUT, type Motion, STANDING } from './types.ts'

/** A speed is borne out by the distances between fixes up to this much above their highest pace. Common practice, no source. */
export const ABOVE_PACE = 1.1
/** Pace is taken over this long at least, s. */
const SHORTEST_PACE_S = 3

/** The figures of a drive that need no weather. Elevation figures are NaN where the track has none. */
export function summaryOf(drive: Drive): DriveSummary {
  const { motion } = drive
  const spanS = (motion.count - 1) * motion.stepS
  const durationS = Math.max(motion.stepS, spanS - leftOutS(motion))
  const distanceM = motion.distanceM[motion.count - 1]
  const standing = stretches(motion, STANDING)
  const standingTimeS = standing.durationS
  const gapTimeS = drive.gaps.reduce((sum, gap) => sum + gap.toTime - gap.fromTime, 0)
  const movingTimeS = Math.max(0, durationS - standingTimeS - gapTimeS)
  const isKnown = (elevation: number): boolean => !Number.isNaN(elevation)
  const first = motion.elevationM.find(isKnown) ?? Number.NaN
  const last = motion.elevationM.findLast(isKnown) ?? Number.NaN
  const climbs = elevationGain(motion.elevationM, motion.distanceM)
  return {
    startTime: motion.startTime,
    endTime: motion.startTime + spanS,
    distanceM,
    durationS,
    movingTimeS,
    stopCount: standing.count,
    standingTimeS,
    gapTimeS,
    meanSpeedMps: distanceM / durationS,
    movingSpeedMps: durationS > standingTimeS ? distanceM / (durationS - standingTimeS) : Number.NaN,
    maxSpeedMps: toldTopSpeedMps(drive),
    elevationGainM: isKnown(first) ? climbs.gainM : Number.NaN,
    elevationLossM: isKnown(first) ? climbs.lossM : Number.NaN,
    netElevationM: last - first,
  }
}

/** How many unbroken stretches of a state there are, and their time in all, s. */
function stretches(motion: Motion, state: typeof STANDING): { count: number; durationS: number } {
  let [count, samples] = [0, 0]
  for (let k = 0; k < motion.count; k++) {
    if (motion.state[k] !== state) continue
    if (k === 0 || motion.state[k - 1] !== state) count++
    else samples++
  }
  return { count, durationS: samples * motion.stepS }
}

/** The highest speed of a drive, as far as the distances between fixes bear it out, m/s. */
export const toldTopSpeedMps = (drive: Pick<Drive, 'motion' | 'medianFixIntervalS'>): number =>
  Math.min(topSpeedMps(drive.motion), ABOVE_PACE * fastestPaceMps(drive))

/** The highest speed of a motion, m/s. */
export function topSpeedMps({ speedMps }: Motion): number {
  let most = 0
  for (let k = 0; k < speedMps.length; k++) if (speedMps[k] > most) most = speedMps[k]
  return most
}

/** Samples that a user left out take no time, s; of a stretch the last leads back to the drive. */
function leftOutS({ state, count, stepS }: Motion): number {
  let samples = 0
  for (let k = 0; k < count; k++) if (state[k] === LEFT_OUT) samples++
  return samples * stepS
}

/** The highest mean speed over three seconds or, where fixes lie further apart, over the time between two of them, m/s. */
export function fastestPaceMps({ motion, medianFixIntervalS }: Pick<Drive, 'motion' | 'medianFixIntervalS'>): number {
  const { distanceM, count, stepS } = motion
  const steps = Math.min(count - 1, Math.max(1, Math.ceil(Math.max(SHORTEST_PACE_S, medianFixIntervalS) / stepS)))
  let mostM = 0
  for (let k = steps; k < count; k++) mostM = Math.max(mostM, distanceM[k] - distanceM[k - steps])
  return mostM / (steps * stepS)
}
