import { elevationGain } from './elevation.ts'
import { type Drive, type DriveSummary, type GAP, type Motion, STANDING } from './types.ts'

/** The figures of a drive that need no weather. Elevation figures are NaN where the track has none. */
export function summaryOf(drive: Drive): DriveSummary {
  const { motion } = drive
  const durationS = (motion.count - 1) * motion.stepS
  const distanceM = motion.distanceM[motion.count - 1]
  const standing = stretches(motion, STANDING)
  const standingTimeS = standing.durationS
  const gapTimeS = drive.gaps.reduce((sum, gap) => sum + gap.toTime - gap.fromTime, 0)
  const gapM = drive.gaps.reduce((sum, gap) => sum + gap.chordM, 0)
  const movingTimeS = Math.max(0, durationS - standingTimeS - gapTimeS)
  const isKnown = (elevation: number): boolean => !Number.isNaN(elevation)
  const first = motion.elevationM.find(isKnown) ?? Number.NaN
  const last = motion.elevationM.findLast(isKnown) ?? Number.NaN
  const climbs = elevationGain(motion.elevationM, motion.distanceM)
  return {
    startTime: motion.startTime,
    endTime: motion.startTime + durationS,
    distanceM,
    durationS,
    movingTimeS,
    stopCount: standing.count,
    standingTimeS,
    gapTimeS,
    meanSpeedMps: distanceM / durationS,
    movingSpeedMps: movingTimeS > 0 ? (distanceM - gapM) / movingTimeS : Number.NaN,
    maxSpeedMps: topSpeedMps(motion),
    elevationGainM: isKnown(first) ? climbs.gainM : Number.NaN,
    elevationLossM: isKnown(first) ? climbs.lossM : Number.NaN,
    netElevationM: last - first,
  }
}

/** How many unbroken stretches of a state there are, and their time in all, s. */
function stretches(motion: Motion, state: typeof STANDING | typeof GAP): { count: number; durationS: number } {
  let [count, samples] = [0, 0]
  for (let k = 0; k < motion.count; k++) {
    if (motion.state[k] !== state) continue
    if (k === 0 || motion.state[k - 1] !== state) count++
    else samples++
  }
  return { count, durationS: samples * motion.stepS }
}

/** The highest speed of a motion, m/s. */
export function topSpeedMps({ speedMps }: Motion): number {
  let most = 0
  for (let k = 0; k < speedMps.length; k++) if (speedMps[k] > most) most = speedMps[k]
  return most
}
