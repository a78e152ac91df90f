import { getPosition } from 'suncalc'
import { degrees } from '../base/units.ts'

export type SunPhase = 'day' | 'twilight' | 'night'

export interface SunPosition {
  /** Of the disc's centre above the horizon: with refraction while any of the disc can be seen, without it once it has set. */
  altitudeDeg: number
  /** Clockwise from true north, 0 to 360. */
  azimuthDeg: number
}

/**
 * Altitude of the centre, without refraction, at which the upper edge touches the horizon: 34′ of refraction and 16′ of
 * half the disc.
 * @source US Naval Observatory, Astronomical Almanac glossary, "sunrise, sunset"; NREL/TP-560-34302 (2008)
 */
export const SUNSET_ALTITUDE_DEG = -50 / 60

/**
 * Altitude of the centre at which civil twilight begins and ends.
 * @source US Naval Observatory, Astronomical Almanac glossary, "twilight, civil"
 */
export const CIVIL_TWILIGHT_ALTITUDE_DEG = -6

/**
 * suncalc 2 adds this refraction to every altitude below the horizon (its Meeus formula 16.4 is held at altitude 0), down
 * to the nadir. It has to come off again where the sun has set, else twilight ends minutes late.
 */
const REFRACTION_AT_HORIZON_DEG = degrees(0.0002967 / Math.tan(0.00312536 / 0.08901179))

/**
 * Where the sun stands, to about 0.005°. Refraction is left out once the upper edge has set, as the NREL algorithm does.
 * suncalc 2 returns degrees and counts azimuth from north; version 1 returned radians and counted from south.
 * @param timeS seconds since 1970 UTC
 * @param latitude degrees north
 * @param longitude degrees east
 * @returns NaN in both when any argument is NaN
 * @source Meeus, Astronomical Algorithms, 2nd ed. 1998, ch. 25 (by suncalc); Reda, Andreas, NREL/TP-560-34302 (2008)
 */
export function sunAt(timeS: number, latitude: number, longitude: number): SunPosition {
  const { altitude, azimuth } = getPosition(new Date(timeS * 1000), latitude, longitude)
  const geometric = altitude - REFRACTION_AT_HORIZON_DEG
  return { altitudeDeg: geometric < SUNSET_ALTITUDE_DEG ? geometric : altitude, azimuthDeg: azimuth }
}

/**
 * Day while any of the disc is above a level horizon, civil twilight to 6° below it, then night.
 * @param altitudeDeg as `sunAt` gives it
 * @returns null for NaN
 * @source US Naval Observatory, Astronomical Almanac glossary
 */
export function sunPhase(altitudeDeg: number): SunPhase | null {
  if (Number.isNaN(altitudeDeg)) return null
  if (altitudeDeg >= SUNSET_ALTITUDE_DEG) return 'day'
  return altitudeDeg >= CIVIL_TWILIGHT_ALTITUDE_DEG ? 'twilight' : 'night'
}
