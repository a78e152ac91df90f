import geodesic from 'geographiclib-geodesic'
import { turnDegrees } from '../../src/base/units.ts'
import { elevationGain } from '../../src/track/elevation.ts'
import { courseDeg, stepM } from '../../src/track/geodesy.ts'
import { summaryOf } from '../../src/track/summary.ts'
import { CYCLES, drivenCycle } from '../track/driven-cycle.ts'
import { mustDrive, trackOf } from '../track/tracks.ts'
import { type Comparison, relative } from './comparison.ts'

const wgs84 = geodesic.Geodesic.WGS84

/** Lines of 10 m to 15 km from places up to 80° of latitude, in all directions. */
const lines = [-80, -47, -12, 0, 23, 48, 61, 80].flatMap((latitude) =>
  [10, 100, 1000, 15_000].flatMap((length) =>
    [0, 40, 90, 155, 200, 270, 310].map((azimuth) => {
      const { lat2 = Number.NaN, lon2 = Number.NaN } = wgs84.Direct(latitude, 179.95, azimuth, length)
      const { s12 = Number.NaN, azi1 = Number.NaN } = wgs84.Inverse(latitude, 179.95, lat2, lon2)
      const ends = [latitude, 179.95, lat2, lon2] as const
      return { ends, s12, azi1 }
    }),
  ),
)

const drives = CYCLES.map((cycle) => ({ ...cycle, summary: summaryOf(mustDrive(trackOf(drivenCycle(cycle.name)))) }))

/** Amplitude, m, and number of periods of 2 km of a sine of heights. */
const HILLS = [
  [10, 5],
  [50, 3],
  [3, 20],
  [25, 8],
]

const gainOf = (amplitudeM: number, periods: number): number => {
  const distanceM = Float64Array.from({ length: periods * 200 + 1 }, (_, i) => i * 10)
  const heights = distanceM.map((d) => 100 + amplitudeM * Math.cos((2 * Math.PI * d) / 2000))
  return elevationGain(heights, distanceM).gainM
}

const WAY: Comparison[] = [
  {
    key: 'distance.step',
    quantity: 'distance between two places below 15 km',
    reference: 'geographiclib-geodesic 2.2.0 (Karney), WGS 84',
    unit: 'relative',
    deviations: relative(lines.map(({ ends, s12 }) => [stepM(...ends), s12])),
    limit: 1e-6,
    reason: 'radii of curvature at the middle latitude, up to 80°',
  },
  {
    key: 'course.step',
    quantity: 'course at the begin of a way below 15 km',
    reference: 'geographiclib-geodesic 2.2.0, azimuth there',
    unit: '°',
    deviations: lines.map(({ ends, azi1 }) => turnDegrees(azi1, courseDeg(...ends))),
    limit: 1e-4,
    reason: 'as for the distance',
  },
  {
    key: 'distance.cycle',
    quantity: 'distance of a drive',
    reference: 'WLTC class 3b, UDDS and HWFET driven along a winding road: published totals (UN GTR 15, 40 CFR)',
    unit: 'relative',
    deviations: relative(drives.map(({ summary, wantM }) => [summary.distanceM, wantM])),
    limit: 1.5e-3,
    reason: '0.1 %, and half of the last digit published',
  },
  {
    key: 'speed.mean',
    quantity: 'mean speed of a drive',
    reference: 'the same cycles',
    unit: 'relative',
    deviations: relative(drives.map(({ summary, meanMps }) => [summary.meanSpeedMps, meanMps])),
    limit: 2e-3,
    reason: 'three or four digits are published',
  },
  {
    key: 'speed.top',
    quantity: 'top speed of a drive',
    reference: 'the same cycles',
    unit: 'relative',
    deviations: relative(drives.map(({ summary, topMps }) => [summary.maxSpeedMps, topMps])),
    limit: 5e-3,
    reason: 'smoothing takes off what lasts a second',
  },
  {
    key: 'elevation.gain',
    quantity: 'elevation gain',
    reference: 'sines of heights: 2·amplitude·periods by definition',
    unit: 'relative',
    deviations: relative(HILLS.map(([a, n]) => [gainOf(a, n), 2 * a * n])),
    limit: 1e-6,
    reason: 'crests lie on the 10 m grid; what noise does is in the tests of elevation',
  },
]
export default WAY
