import { hypotenuse } from '../base/arithmetic.ts'
import { degrees, radians, wrapDegrees } from '../base/units.ts'

/** Where the air moves to. */
export interface WindVector {
  /** Positive towards the east. */
  eastMps: number
  /** Positive towards the north. */
  northMps: number
}

export interface ApparentWind {
  /** Speed of the air over the vehicle, never negative. */
  airspeedMps: number
  /** Angle of the air against the direction of travel: positive from the right, 0 ahead, ±180 from behind. */
  yawDeg: number
}

/**
 * The part of the wind that blows against the direction of travel, m/s, positive against motion.
 * @param windEastMps where the air moves to, as is `windNorthMps`
 * @param courseEast direction of travel as a unit vector, as is `courseNorth`
 * @returns NaN when something is NaN
 */
export const headwindMps = (
  windEastMps: number,
  windNorthMps: number,
  courseEast: number,
  courseNorth: number,
): number => -(windEastMps * courseEast + windNorthMps * courseNorth)

/**
 * The part of the wind across the direction of travel, m/s, positive from the right; arguments as for `headwindMps`.
 */
export const crosswindMps = (
  windEastMps: number,
  windNorthMps: number,
  courseEast: number,
  courseNorth: number,
): number => windNorthMps * courseEast - windEastMps * courseNorth

/**
 * Wind as components, the form in which winds are averaged and interpolated.
 * @param speedMps 0 is calm, and then the direction does not matter
 * @param fromDeg true, where the wind comes from
 * @returns NaN in both when the speed is NaN, or the direction is while the wind blows
 */
export function windVector(speedMps: number, fromDeg: number): WindVector {
  if (speedMps === 0) return { eastMps: 0, northMps: 0 }
  const from = radians(fromDeg)
  return { eastMps: -speedMps * Math.sin(from), northMps: -speedMps * Math.cos(from) }
}

/**
 * Speed and direction of a wind given as components.
 * @returns `fromDeg` true, in [0, 360), where the wind comes from; NaN in a calm, which has no direction
 */
export function windFromVector(eastMps: number, northMps: number): { speedMps: number; fromDeg: number } {
  const speedMps = hypotenuse(eastMps, northMps)
  const fromDeg = speedMps === 0 ? Number.NaN : wrapDegrees(degrees(Math.atan2(-eastMps, -northMps)))
  return { speedMps, fromDeg }
}

/**
 * The air as the moving vehicle meets it.
 * @param groundSpeedMps never negative
 * @param headwindMps positive against motion
 * @param crosswindMps positive from the right
 * @returns NaN in both when any argument is NaN
 */
export function apparentWind(groundSpeedMps: number, headwindMps: number, crosswindMps: number): ApparentWind {
  const ahead = groundSpeedMps + headwindMps
  return { airspeedMps: hypotenuse(ahead, crosswindMps), yawDeg: degrees(Math.atan2(crosswindMps, ahead)) }
}
