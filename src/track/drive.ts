import { found, type Outcome } from '../base/problem.ts'
import type { TrackColumns } from '../read/types.ts'
import { cleanTrack } from './clean.ts'
import { withElevation } from './elevation.ts'
import { medianInterval, motionOf } from './motion.ts'
import { repairProblem } from './repairs.ts'
import { type Drive, GAP } from './types.ts'

/**
 * A track made into one run's clean drive: cleaned, smoothed in time, elevation smoothed along the road. The problems
 * say what was repaired; `flagsOf` says what is weak. Fails with `track-without-times` or `track-too-short`.
 */
export function driveOf(track: TrackColumns): Outcome<Drive> {
  const clean = cleanTrack(track)
  if (clean.value === null) return { value: null, problems: clean.problems }
  const { fixes } = clean.value
  const { motion, gaps, positionNoiseM, standingDrift } = motionOf(fixes)
  const drive: Drive = {
    fixes,
    motion: withElevation(motion, fixes),
    gaps,
    repairs: { ...clean.value.repairs, standingDrift },
    medianFixIntervalS: medianInterval(fixes.time),
    positionNoiseM,
    gapShare: motion.state.filter((state) => state === GAP).length / motion.count,
    elevationShare: fixes.elevation.filter((e) => !Number.isNaN(e)).length / fixes.elevation.length,
  }
  return found(drive, [...clean.problems, ...repairProblem('standingDrift', standingDrift)])
}
