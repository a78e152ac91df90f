import { lineString, simplify } from '@turf/turf'
import type { Path } from './types.ts'

/** A bend further than this from the straight line between its neighbours is kept, as a share of the road's length. */
const TOLERANCE_SHARE = 0.0008
const METRES_PER_DEGREE = 111_200

/**
 * A road's course thinned to what a small map shows, as GeoJSON positions: degrees east, degrees north.
 *
 * Thinning works on degrees as if they were a plane. That is fit for a drawing and for nothing else: no distance comes
 * from here. A road across the antimeridian is unrolled first, so that longitudes may pass 180.
 */
export function outlineOf(path: Path): [longitude: number, latitude: number][] {
  const positions: [number, number][] = []
  let longitude = path.longitude[0]
  for (let i = 0; i < path.latitude.length; i++) {
    longitude += ((path.longitude[i] - longitude + 540) % 360) - 180
    positions.push([longitude, path.latitude[i]])
  }
  const tolerance = Math.max(5, TOLERANCE_SHARE * path.lengthM) / METRES_PER_DEGREE
  const thinned = simplify(lineString(positions), { tolerance, highQuality: false })
  return thinned.geometry.coordinates.map(([east, north]) => [toMicro(east), toMicro(north)])
}

const toMicro = (degrees: number): number => Math.round(degrees * 1e5) / 1e5
