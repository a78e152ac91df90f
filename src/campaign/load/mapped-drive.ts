import { type Box, boxAround } from '../../read/terrain/types.ts'
import { pathOf } from '../../road/path.ts'
import { elevationOnPath } from '../../road/profile.ts'
import type { Path } from '../../road/types.ts'
import { summaryOf } from '../../track/summary.ts'
import type { Drive, DriveSummary, Motion } from '../../track/types.ts'

/** A drive with all that a campaign needs of it but for its own run's demand. */
export interface MappedDrive extends Omit<Drive, 'motion'> {
  /** null while it lies where an earlier call left it: most of a drive's size, and only its own run asks for it. */
  motion: Motion | null
  summary: DriveSummary
  /** Around all positions of the motion. */
  box: Box
  path: Path
  /** The drive's own heights at the points of its path, m. */
  pathElevationM: Float64Array
}

export function mappedDrive(drive: Drive): MappedDrive {
  const path = pathOf(drive)
  return {
    ...drive,
    summary: summaryOf(drive),
    box: boxAround(drive.motion.latitude, drive.motion.longitude),
    path,
    pathElevationM: elevationOnPath(drive, path),
  }
}

/** The drive alone; throws where its motion was left out. */
export function wholeDrive({
  summary: _,
  box: _b,
  path: _p,
  pathElevationM: _e,
  motion,
  ...drive
}: MappedDrive): Drive {
  if (motion === null) throw new Error('a drive was asked for its motion, which was left out')
  return { ...drive, motion }
}
