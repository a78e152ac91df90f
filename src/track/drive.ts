import { found, type Outcome } from '../base/problem.ts'
import type { TrackColumns } from '../read/types.ts'
import { withElevation } from './elevation.ts'
import { logOf } from './log.ts'
import { medianInterval, motionOf } from './motion/motion.ts'
import { recordedSpeedOf } from './motion/recorded-speed.ts'
import { pausesIn } from './pauses.ts'
import { cleanTrack } from './repair/clean.ts'
import { repairProblem } from './repair/repairs.ts'
import { type Drive, GAP } from './types.ts'

/**
 * A track made into one run's clean drive: cleaned, smoothed in time, elevation smoothed along the road. The problems
 * say what was repaired; `flagsOf` says what is weak. Fails with `track-without-times`, `track-too-short` or `track-too-long`.
 */
export function driveOf(track: TrackColumns): Outcome<Drive> {
  const clean = cleanTrack(track)
  if (clean.value === null) return { value: null, problems: clean.problems }
  const { fixes, rowTime } = clean.value
  const { motion, gaps, positionNoiseM, standingDrift, speedIntervalS, problems } = motionOf(
    fixes,
    recordedSpeedOf(track, rowTime),
  )
  const drive: Drive = {
    fixes,
    fixCount: fixes.time.length,
    motion: withElevation(motion, fixes),
    log: logOf(track, rowTime, fixes.time[0], fixes.time[fixes.time.length - 1]),
    gaps,
    pauses: pausesIn(track),
    repairs: { ...clean.value.repairs, standingDrift },
    medianFixIntervalS: medianInterval(fixes.time),
    speedIntervalS,
    positionNoiseM,
    gapShare: shareOf(motion.state, (state) => state === GAP),
    elevationShare: shareOf(fixes.elevation, (elevation) => !Number.isNaN(elevation)),
  }
  return found(drive, [...clean.problems, ...repairProblem('standingDrift', standingDrift), ...problems])
}

function shareOf(values: Uint8Array | Float64Array, holds: (value: number) => boolean): number {
  let count = 0
  for (let i = 0; i < values.length; i++) if (holds(values[i])) count++
  return count / values.length
}

/**
 * The drive with five of its fixes, the first, the last and three between: enough to tell a copy of the recording, and a
 * third less to keep of each of a thousand runs.
 */
export function withProbes(drive: Drive): Drive {
  const last = drive.fixCount - 1
  const rows = [0, last >> 2, last >> 1, (3 * last) >> 2, last]
  const probes = (column: Float64Array): Float64Array => Float64Array.from(rows, (row) => column[row])
  const { time, latitude, longitude, elevation } = drive.fixes
  return {
    ...drive,
    fixes: {
      time: probes(time),
      latitude: probes(latitude),
      longitude: probes(longitude),
      elevation: probes(elevation),
    },
  }
}
