import type { LoggedColumns } from '../read/types.ts'
import type { Pause } from './pauses.ts'

/** What was found and mended in one track. Counts of points unless the name says otherwise. */
export interface Repairs {
  impossiblePositions: number
  impossibleTimes: number
  missingTimes: number
  exactDuplicates: number
  /** Other points that carry a time already seen. */
  repeatedTimes: number
  outOfOrder: number
  /** Points that repeat a position while the vehicle moved on (a held fix). */
  frozenFixes: number
  spikes: number
  /** Elevations thrown out (impossible, or far from their neighbours). */
  elevationOutliers: number
  /** Points on another clock than the rest: moved to it, or left out where they are far from the rest in time. */
  clockJumps: number
  /** Points dropped from the standing vehicle's drift are not dropped but held; this counts them. */
  standingDrift: number
}

/** The fixes that are left, in time order; columns of one length. */
export interface Fixes {
  time: Float64Array
  latitude: Float64Array
  longitude: Float64Array
  elevation: Float64Array
}

/** A stretch without fixes in which the vehicle moved, or a jump of the position that no vehicle can make. */
export interface Gap {
  /** Seconds since 1970 UTC, last fix before. */
  fromTime: number
  toTime: number
  /** Straight distance bridged, m. */
  chordM: number
}

/**
 * The motion of the vehicle on a uniform grid of `stepS` seconds, from smoothed positions; columns of one length.
 * Inside a gap `speedMps` and `courseDeg` are NaN, the position is on the straight chord and the distance grows along it.
 */
export interface Motion {
  startTime: number
  stepS: number
  count: number
  latitude: Float64Array
  longitude: Float64Array
  /** m/s over ground, never negative, 0 while standing, NaN in a gap. */
  speedMps: Float64Array
  /**
   * The same with less and with more smoothing, m/s: how much the kinetic energy depends on it says how badly the
   * recording knows the speed.
   */
  fineSpeedMps: Float64Array
  coarseSpeedMps: Float64Array
  /** Degrees true, direction of travel; held while standing; NaN in a gap and before the first movement. */
  courseDeg: Float64Array
  /** m, cumulative over ground along the ellipsoid from the first sample. */
  distanceM: Float64Array
  /** m, smoothed in distance, this run's own witness and datum; NaN where the track has none. */
  elevationM: Float64Array
  /** One of MOVING, STANDING, GAP, LEFT_OUT. */
  state: Uint8Array
}

export const MOVING = 0
export const STANDING = 1
export const GAP = 2
/** The user says that the vehicle was carried or parked here: no distance and no time of the drive. */
export const LEFT_OUT = 3

/** What was logged beside the positions, in the order of time; columns of one length. Its speed is in the motion. */
export interface DriveLog {
  time: Float64Array
  columns: LoggedColumns
}

/** One run's clean drive: all that its track alone can tell. */
export interface Drive {
  /** All that are left or, once the motion is all that counts, the five of `withProbes`. */
  fixes: Fixes
  /** How many are left. */
  fixCount: number
  motion: Motion
  /** null where nothing but positions was recorded. */
  log: DriveLog | null
  gaps: Gap[]
  /** Where the logger was switched off and on again in one place; seconds since 1970 UTC. */
  pauses: Pause[]
  repairs: Repairs
  /** Median time between fixes that are left, s. */
  medianFixIntervalS: number
  /** Median time between recorded speeds that went into the motion, s; infinite where none did. */
  speedIntervalS: number
  /** Standard deviation of the fixes about the smoothed path, per axis, m. */
  positionNoiseM: number
  /** Share of the grid (0 to 1) in gaps. */
  gapShare: number
  /** Share of fixes with an elevation. */
  elevationShare: number
}

/** The figures of a drive that need no weather. */
export interface DriveSummary {
  startTime: number
  endTime: number
  distanceM: number
  /** From begin to end, without what was left out. */
  durationS: number
  /** Neither standing nor in a gap. */
  movingTimeS: number
  stopCount: number
  standingTimeS: number
  gapTimeS: number
  /** Distance over duration. */
  meanSpeedMps: number
  /** Distance over the time in which the vehicle did not stand, gaps included: never below the mean speed. */
  movingSpeedMps: number
  /** The highest, as far as the distances between fixes bear it out. */
  maxSpeedMps: number
  elevationGainM: number
  elevationLossM: number
  /** End minus start. */
  netElevationM: number
}
