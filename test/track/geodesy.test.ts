import geodesic from 'geographiclib-geodesic'
import { describe, expect, it } from 'vitest'
import { turnDegrees } from '../../src/base/units.ts'
import {
  courseDeg,
  degreeLengths,
  eastM,
  latitudeAt,
  localFrame,
  longitudeAt,
  longitudeStep,
  northM,
  stepM,
} from '../../src/track/geodesy.ts'
import { normalDraws } from './tracks.ts'

const wgs84 = geodesic.Geodesic.WGS84
const inverse = (lat1: number, lon1: number, lat2: number, lon2: number) => {
  const { s12 = Number.NaN, azi1 = Number.NaN } = wgs84.Inverse(lat1, lon1, lat2, lon2)
  return { s12, azi1 }
}
const dms = (d: number, m: number, s: number) => Math.sign(d) * (Math.abs(d) + m / 60 + s / 3600)

describe('the reference library', () => {
  it.each([
    {
      what: 'Flinders Peak to Buninyong',
      input: [dms(-37, 57, 3.7203), dms(144, 25, 29.5244), dms(-37, 39, 10.1561), dms(143, 55, 35.3839)],
      wantM: 54972.271,
      toleranceM: 1e-3,
      source: 'Geoscience Australia, GDA technical manual test line',
    },
    {
      what: 'Berkeley to Port Moresby',
      input: [37.87622, -122.23558, -9.4047, 147.1597],
      wantM: 10700471.955233702,
      toleranceM: 1e-6,
      source: 'README of the geographiclib 0.1.0 crate',
    },
    {
      what: 'a nearly antipodal line',
      input: [0, 0, 0.5, 179.5],
      wantM: 19936288.579,
      toleranceM: 1e-3,
      source: 'GeographicLib documentation (from memory)',
    },
    {
      what: 'a line of the GeodTest kind',
      input: [55.52454, 106.05087, 77.03196, 197.18234],
      wantM: 4105086.171392441,
      toleranceM: 1e-6,
      source: 'test__geodesic_8py_source.html of GeographicLib',
    },
  ])('gives the published length: $what', ({ input, wantM, toleranceM }) => {
    const [lat1, lon1, lat2, lon2] = input
    expect(Math.abs(inverse(lat1, lon1, lat2, lon2).s12 - wantM)).toBeLessThan(toleranceM)
  })
})

describe('stepM and courseDeg', () => {
  it('agree with the geodesic within 1e-6 and 1e-4 degrees below 15 km, up to 85 degrees of latitude', () => {
    const normal = normalDraws(11)
    let [worst, worstTurn] = [0, 0]
    for (let n = 0; n < 5000; n++) {
      const latitude = Math.max(-85, Math.min(85, 45 * normal()))
      const longitude = 179.9 + 0.1 * normal()
      const length = 10 ** (1 + 3.17 * ((n % 100) / 99))
      const { lat2 = 0, lon2 = 0 } = wgs84.Direct(latitude, longitude, 360 * normal(), length)
      const want = inverse(latitude, longitude, lat2, lon2)
      worst = Math.max(worst, Math.abs(stepM(latitude, longitude, lat2, lon2) / want.s12 - 1))
      const course = courseDeg(latitude, longitude, lat2, lon2)
      worstTurn = Math.max(worstTurn, Math.abs(turnDegrees(want.azi1, course)))
    }
    expect(worst).toBeLessThan(1e-6)
    expect(worstTurn).toBeLessThan(1e-4)
  })

  it('stays within 1e-4 up to 500 km, for the chords of long gaps', () => {
    const normal = normalDraws(12)
    let worst = 0
    for (let n = 0; n < 2000; n++) {
      const latitude = Math.max(-70, Math.min(70, 45 * normal()))
      const { lat2 = 0, lon2 = 0 } = wgs84.Direct(latitude, 10, 360 * normal(), 500000)
      worst = Math.max(worst, Math.abs(stepM(latitude, 10, lat2, lon2) / 500000 - 1))
    }
    expect(worst).toBeLessThan(1e-4)
  })

  // Short steps computed from Karney's algorithm; the last digit given is the tolerance.
  it.each([
    { input: [45, 0, 45.001, 0], wantM: 111.131787 },
    { input: [45, 0, 45, 0.001], wantM: 78.846835 },
    { input: [0, 0, 0, 0.001], wantM: 111.319491 },
  ])('gives $wantM m', ({ input: [lat1, lon1, lat2, lon2], wantM }) => {
    expect(Math.abs(stepM(lat1, lon1, lat2, lon2) - wantM)).toBeLessThan(1e-6)
  })

  it('gives length and course of an oblique step at 60 degrees north (Karney: 1576.817000 m, 45.03522 degrees)', () => {
    expect(Math.abs(stepM(60, 10, 60.01, 10.02) / 1576.817 - 1)).toBeLessThan(1e-6)
    expect(Math.abs(courseDeg(60, 10, 60.01, 10.02) - 45.03522)).toBeLessThan(1e-5)
  })

  it('cross the antimeridian, and know no course of a step of nothing', () => {
    expect(stepM(10, 179.999, 10, -179.999)).toBeCloseTo(stepM(10, 0, 10, 0.002), 6)
    expect(courseDeg(0, 179.999, 0, -179.999)).toBeCloseTo(90, 9)
    expect(courseDeg(10, 20, 10, 20)).toBeNaN()
    expect(stepM(10, 20, Number.NaN, 20)).toBeNaN()
  })
})

describe('degree lengths', () => {
  // Standard table of the lengths of a degree, WGS 84 (from memory; recomputed). The table gives the arc from half a
  // degree south to half a degree north, which differs from M·π/180 by less than 0.03 m; it is rounded to 0.1 m.
  it.each([
    [0, 110574.3, 111319.5],
    [15, 110648.7, 107550.5],
    [30, 110852.4, 96486.3],
    [45, 111131.8, 78846.8],
    [60, 111412.3, 55800.0],
    [75, 111618.3, 28902.0],
    [90, 111694.0, 0],
  ])('at %d degrees: %d m north, %d m east', (latitude, north, east) => {
    const lengths = degreeLengths(latitude)
    expect(Math.abs(lengths.northM - north)).toBeLessThan(0.1)
    expect(Math.abs(lengths.eastM - east)).toBeLessThan(0.1)
  })
})

describe('local frame', () => {
  it('goes there and back, also across the antimeridian', () => {
    const frame = localFrame(-17, 179.95)
    expect(latitudeAt(frame, northM(frame, -17.02))).toBeCloseTo(-17.02, 12)
    expect(longitudeAt(frame, eastM(frame, -179.97))).toBeCloseTo(-179.97, 10)
    expect(eastM(frame, -179.97)).toBeCloseTo(0.08 * frame.metresPerDegreeEast, 6)
  })

  it('takes the shorter way round', () => {
    expect(longitudeStep(170, -170)).toBeCloseTo(20, 12)
    expect(longitudeStep(-170, 170)).toBeCloseTo(-20, 12)
    expect(longitudeStep(0, 359)).toBeCloseTo(-1, 12)
  })
})
