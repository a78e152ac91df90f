import geodesic from 'geographiclib-geodesic'
import { METRES_PER_MILE, MPS_PER_MPH } from '../../src/base/units.ts'
import { csvRows, type Point } from './tracks.ts'

const wgs84 = geodesic.Geodesic.WGS84

/**
 * A published speed trace driven along a winding road on the ellipsoid, one fix a second: the reference library makes
 * the places, each second's distance is the mean of the speeds at its ends.
 */
export function drivenCycle(name: string): Point[] {
  const speeds = csvRows(`drive-cycles/${name}.csv`).map((row) => Number(row.cycMps))
  let [latitude, longitude, course, along] = [48, 11, 40, 0]
  return speeds.map((speed, time) => {
    const step = time === 0 ? 0 : (speed + speeds[time - 1]) / 2
    along += step
    course += step * 0.05 * Math.sin(along / 300)
    const { lat2 = latitude, lon2 = longitude } = wgs84.Direct(latitude, longitude, course, step)
    ;[latitude, longitude] = [lat2, lon2]
    return { time: 1.6e9 + time, latitude, longitude }
  })
}

// Published totals: UN GTR 15 annex 1 (WLTC class 3b: 23266 m, 1800 s, 131.3 km/h), 40 CFR 86 appendix I and
// dieselnet.com (UDDS 7.45 mi, 1369 s, 19.59 mph, 56.7 mph; HWFET 10.26 mi, 765 s, 48.3 mph, 59.9 mph).
// `rounding` is half the last digit of the published distance, relative.
export const CYCLES = [
  { name: 'wltc_3b', wantM: 23266, wantS: 1800, meanMps: 46.5 / 3.6, topMps: 131.3 / 3.6, rounding: 0.5 / 23266 },
  {
    name: 'udds',
    wantM: 7.45 * METRES_PER_MILE,
    wantS: 1369,
    meanMps: 19.59 * MPS_PER_MPH,
    topMps: 56.7 * MPS_PER_MPH,
    rounding: 0.005 / 7.45,
  },
  {
    name: 'hwfet',
    wantM: 10.26 * METRES_PER_MILE,
    wantS: 765,
    meanMps: 48.3 * MPS_PER_MPH,
    topMps: 59.9 * MPS_PER_MPH,
    rounding: 0.005 / 10.26,
  },
]
