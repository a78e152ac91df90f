import { type Box, boxAround } from '../../read/terrain/types.ts'
import { type Trace, traceOf } from '../../road/division/trace.ts'
import { pathOf } from '../../road/path.ts'
import { elevationOnPath } from '../../road/profile.ts'
import type { Path } from '../../road/types.ts'
import { type Manner, mannerOf } from '../../track/manner.ts'
import { longRests, type Rest } from '../../track/rests.ts'
import { summaryOf } from '../../track/summary.ts'
import type { Drive, DriveSummary, Motion } from '../../track/types.ts'

/**
 * What a campaign needs of a drive for all but its own run's demand. Its motion, most of its size, lies elsewhere: a
 * thousand of them need not be in memory at once.
 */
export interface MappedDrive extends Omit<Drive, 'motion'> {
  summary: DriveSummary
  /** Around all positions of the motion. */
  box: Box
  path: Path
  /** Where it went and when, finely enough to be divided, and where it rested. */
  trace: Trace
  rests: Rest[]
  manner: Manner
  /** The drive's own heights at the points of its path, m. */
  pathElevationM: Float64Array
}

/** A drive just mapped, its motion with it. */
export interface WholeDrive extends MappedDrive {
  motion: Motion
}

export function wholeDrive(drive: Drive): WholeDrive {
  const path = pathOf(drive)
  return {
    ...drive,
    summary: summaryOf(drive),
    box: boxAround(drive.motion.latitude, drive.motion.longitude),
    path,
    trace: traceOf(drive),
    rests: longRests(drive),
    manner: mannerOf(drive),
    pathElevationM: elevationOnPath(drive, path),
  }
}

/** The drive without what follows from it. */
export function driveAlone({
  summary: _,
  box: _b,
  path: _p,
  trace: _t,
  rests: _r,
  manner: _m,
  pathElevationM: _e,
  ...drive
}: WholeDrive): Drive {
  return drive
}

export function withoutMotion({ motion: _, ...drive }: WholeDrive): MappedDrive {
  return drive
}
