import { degrees, radians, wrapDegrees } from '../base/units.ts'

/**
 * The WGS 84 ellipsoid.
 * @source NIMA TR8350.2, "Department of Defense World Geodetic System 1984", 3rd ed. 2000, table 3.1
 */
export const WGS84_SEMI_MAJOR_AXIS_M = 6378137
export const WGS84_FLATTENING = 1 / 298.257223563
/** Square of the first eccentricity, f·(2 − f). */
export const WGS84_ECCENTRICITY_SQUARED = WGS84_FLATTENING * (2 - WGS84_FLATTENING)

/** Metres per degree along the meridian and along the parallel at one latitude. */
export interface DegreeLengths {
  northM: number
  eastM: number
}

/** A flat map about one place: metres east and north of it. Good for tens of kilometres, safe across the antimeridian. */
export interface LocalFrame {
  latitude: number
  longitude: number
  metresPerDegreeNorth: number
  metresPerDegreeEast: number
}

/**
 * The lengths of one degree of latitude and of longitude at a latitude (degrees), m: the radii of curvature M and N.
 * @source Rapp, "Geometric Geodesy, part I", Ohio State University 1991, chapter 3 (radii of curvature; from memory)
 */
export function degreeLengths(latitude: number): DegreeLengths {
  const sine = Math.sin(radians(latitude))
  const w2 = 1 - WGS84_ECCENTRICITY_SQUARED * sine * sine
  const n = WGS84_SEMI_MAJOR_AXIS_M / Math.sqrt(w2)
  const m = (n * (1 - WGS84_ECCENTRICITY_SQUARED)) / w2
  return { northM: radians(m), eastM: radians(n) * Math.cos(radians(latitude)) }
}

/** The difference of two longitudes by the shorter way round, degrees in [-180, 180). */
export function longitudeStep(fromLongitude: number, toLongitude: number): number {
  const step = toLongitude - fromLongitude
  return step >= -180 && step < 180 ? step : wrapDegrees(step + 180) - 180
}

/**
 * The distance between two places (degrees) on the ellipsoid, m, by Gauss' mid-latitude formulas with the radii of
 * curvature of the middle latitude: within 1e-6 of the geodesic below 15 km up to 85° of latitude, within 1e-4 up to
 * 500 km; not meant for more. NaN in, NaN out.
 * @source Rapp, "Geometric Geodesy, part II", Ohio State University 1993, chapter 1 (Gauss' mid-latitude formulas; from memory)
 */
export function stepM(latitude1: number, longitude1: number, latitude2: number, longitude2: number): number {
  const { east, north } = halfChords(latitude1, longitude1, latitude2, longitude2)
  const chord = 2 * Math.sqrt(east * east + north * north)
  const bend = chord / WGS84_SEMI_MAJOR_AXIS_M
  return chord * (1 + (bend * bend) / 24)
}

/**
 * The direction in which the geodesic leaves the first place for the second (degrees in, degrees true out, [0, 360)),
 * within 1e-4° below 15 km; NaN where the two are one.
 * @source as `stepM`
 */
export function courseDeg(latitude1: number, longitude1: number, latitude2: number, longitude2: number): number {
  const { east, north } = halfChords(latitude1, longitude1, latitude2, longitude2)
  if (east === 0 && north === 0) return Number.NaN
  const halfLongitude = radians(longitudeStep(longitude1, longitude2)) / 2
  const halfLatitude = radians(latitude2 - latitude1) / 2
  const middle = radians((latitude1 + latitude2) / 2)
  const halfConvergence = Math.atan((Math.tan(halfLongitude) * Math.sin(middle)) / Math.cos(halfLatitude))
  return wrapDegrees(degrees(Math.atan2(east, north) - halfConvergence))
}

/** Half the chord between two places, m, as seen from their middle latitude. */
function halfChords(latitude1: number, longitude1: number, latitude2: number, longitude2: number) {
  const halfLongitude = radians(longitudeStep(longitude1, longitude2)) / 2
  const halfLatitude = radians(latitude2 - latitude1) / 2
  const middle = radians((latitude1 + latitude2) / 2)
  const sine = Math.sin(middle)
  const w2 = 1 - WGS84_ECCENTRICITY_SQUARED * sine * sine
  const n = WGS84_SEMI_MAJOR_AXIS_M / Math.sqrt(w2)
  const m = (n * (1 - WGS84_ECCENTRICITY_SQUARED)) / w2
  return {
    east: n * Math.cos(middle) * Math.sin(halfLongitude),
    north: m * Math.cos(halfLongitude) * Math.sin(halfLatitude),
  }
}

/** The flat map about a place (degrees). */
export function localFrame(latitude: number, longitude: number): LocalFrame {
  const { northM, eastM } = degreeLengths(latitude)
  return { latitude, longitude, metresPerDegreeNorth: northM, metresPerDegreeEast: eastM }
}

/** Metres east of the frame's origin. */
export function eastM(frame: LocalFrame, longitude: number): number {
  return longitudeStep(frame.longitude, longitude) * frame.metresPerDegreeEast
}

/** Metres north of the frame's origin. */
export function northM(frame: LocalFrame, latitude: number): number {
  return (latitude - frame.latitude) * frame.metresPerDegreeNorth
}

/** Places (degrees) on a flat map, metres east and north of the frame's origin. */
export function onFlatMap(
  frame: LocalFrame,
  latitude: Float64Array,
  longitude: Float64Array,
): { x: Float64Array; y: Float64Array } {
  const x = new Float64Array(latitude.length)
  const y = new Float64Array(latitude.length)
  for (let i = 0; i < x.length; i++) {
    x[i] = eastM(frame, longitude[i])
    y[i] = northM(frame, latitude[i])
  }
  return { x, y }
}

/** The longitude (degrees, [-180, 180)) so many metres east of the frame's origin. */
export function longitudeAt(frame: LocalFrame, east: number): number {
  return wrapDegrees(frame.longitude + east / frame.metresPerDegreeEast + 180) - 180
}

/** The latitude (degrees) so many metres north of the frame's origin. */
export function latitudeAt(frame: LocalFrame, north: number): number {
  return frame.latitude + north / frame.metresPerDegreeNorth
}
