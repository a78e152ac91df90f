import { cutLog } from './log.ts'
import { type Drive, GAP, LEFT_OUT, type Motion } from './types.ts'

/** Seconds since 1970 UTC. */
export interface Part {
  fromTime: number
  toTime: number
}

/** A part with windows in it that are left out: no distance, no time. */
export interface CutPart extends Part {
  without?: Part[]
}

/**
 * A part of a drive as a drive of its own, from the grid's sample nearest to `fromTime` to the one nearest to `toTime`. It
 * was smoothed with all that went before and after it, so its ends are as well known as its middle. What was repaired is
 * counted for the whole recording; of its fixes only the first, as the motion has it, and about how many there are.
 */
export function cutDrive(drive: Drive, part: CutPart): Drive {
  const motion = cutMotion(drive.motion, part)
  const endTime = motion.startTime + (motion.count - 1) * motion.stepS
  let gapSamples = 0
  for (let k = 0; k < motion.count; k++) if (motion.state[k] === GAP) gapSamples++
  return {
    ...drive,
    fixes: {
      time: Float64Array.of(motion.startTime),
      latitude: Float64Array.of(motion.latitude[0]),
      longitude: Float64Array.of(motion.longitude[0]),
      elevation: Float64Array.of(motion.elevationM[0]),
    },
    fixCount: Math.max(1, Math.round((drive.fixCount * motion.count) / drive.motion.count)),
    motion,
    log: drive.log && cutLog(drive.log, motion.startTime, endTime),
    gaps: drive.gaps.filter((gap) => gap.toTime > motion.startTime && gap.fromTime < endTime && !isLeftOut(gap, part)),
    pauses: drive.pauses.filter((pause) => pause.toTime > motion.startTime && pause.fromTime < endTime),
    gapShare: gapSamples / motion.count,
  }
}

const isLeftOut = (gap: Part, { without = [] }: CutPart): boolean =>
  without.some(({ fromTime, toTime }) => gap.fromTime >= fromTime - 1 && gap.toTime <= toTime + 1)

/**
 * A motion in which windows are left out: the vehicle was carried there, or parked. The samples stay, so that the clock
 * goes on, but cover no distance.
 */
function leftOut(motion: Motion, windows: Part[]): Motion {
  const { startTime, stepS, count } = motion
  const state = motion.state.slice()
  const distanceM = motion.distanceM.slice()
  const blank = (values: Float64Array): Float64Array =>
    values.map((value, k) => (state[k] === LEFT_OUT ? Number.NaN : value))
  for (const { fromTime, toTime } of windows) {
    const first = Math.max(0, Math.ceil((fromTime - startTime) / stepS))
    const last = Math.min(count - 1, Math.floor((toTime - startTime) / stepS))
    state.fill(LEFT_OUT, first, last + 1)
  }
  for (let k = 1; k < count; k++) {
    const stepM = motion.distanceM[k] - motion.distanceM[k - 1]
    distanceM[k] = distanceM[k - 1] + (state[k] === LEFT_OUT || state[k - 1] === LEFT_OUT ? 0 : stepM)
  }
  return {
    ...motion,
    state,
    distanceM,
    speedMps: blank(motion.speedMps),
    fineSpeedMps: blank(motion.fineSpeedMps),
    coarseSpeedMps: blank(motion.coarseSpeedMps),
    courseDeg: blank(motion.courseDeg),
  }
}

/** The samples of a motion from a time to another, its distance beginning at 0, without what is left out of it. */
export function cutMotion(motion: Motion, part: CutPart): Motion {
  const samples = samplesOf(motion, part)
  return part.without ? leftOut(samples, part.without) : samples
}

function samplesOf(motion: Motion, { fromTime, toTime }: Part): Motion {
  const sample = (time: number): number =>
    Math.min(motion.count - 1, Math.max(0, Math.round((time - motion.startTime) / motion.stepS)))
  const first = Math.min(sample(fromTime), motion.count - 2)
  const last = Math.max(first + 1, sample(toTime))
  const column = (values: Float64Array): Float64Array => values.slice(first, last + 1)
  const startM = motion.distanceM[first]
  const distanceM = column(motion.distanceM)
  for (let k = 0; k < distanceM.length; k++) distanceM[k] -= startM
  return {
    startTime: motion.startTime + first * motion.stepS,
    stepS: motion.stepS,
    count: last - first + 1,
    latitude: column(motion.latitude),
    longitude: column(motion.longitude),
    speedMps: column(motion.speedMps),
    fineSpeedMps: column(motion.fineSpeedMps),
    coarseSpeedMps: column(motion.coarseSpeedMps),
    courseDeg: column(motion.courseDeg),
    distanceM,
    elevationM: column(motion.elevationM),
    state: motion.state.slice(first, last + 1),
  }
}
