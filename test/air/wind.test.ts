import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import * as wind from '../../src/air/wind.ts'
import { apparentWind, windFromVector, windVector } from '../../src/air/wind.ts'
import { MPS_PER_KMH, MPS_PER_KNOT, radians, turnDegrees } from '../../src/base/units.ts'

/** Head- and crosswind as a report has them: the wind made a vector, then taken by the course. */
function onCourse(speedMps: number, fromDeg: number, courseDeg: number): [head: number, cross: number] {
  const { eastMps, northMps } = windVector(speedMps, fromDeg)
  const course = radians(courseDeg)
  const parts = [eastMps, northMps, Math.sin(course), Math.cos(course)] as const
  return [wind.headwindMps(...parts), wind.crosswindMps(...parts)]
}
const headwindMps = (...of: Parameters<typeof onCourse>): number => onCourse(...of)[0]
const crosswindMps = (...of: Parameters<typeof onCourse>): number => onCourse(...of)[1]

describe('headwindMps and crosswindMps', () => {
  // Chart answers, read to 1 kt: 0.5 kt. `exact` computed from W cos and W sin by another program: half of its last digit.
  it.each([
    {
      source: 'FAA knowledge test, figure 36',
      course: 180,
      from: 220,
      kt: 30,
      head: 23,
      cross: 19,
      exact: [22.981, 19.284],
    },
    {
      source: 'CRP-1 lesson, clearflight.co.uk',
      course: 250,
      from: 210,
      kt: 25,
      head: null,
      cross: -16,
      exact: [19.151, -16.07],
    },
    { source: 'e6b.noseapp.ca', course: 350, from: 330, kt: 15, head: 14, cross: -5, exact: [14.095, -5.13] },
    {
      source: 'FAA-H-8083-25 ch. 11 (from memory)',
      course: 170,
      from: 140,
      kt: 25,
      head: 22,
      cross: -13,
      exact: [21.651, -12.5],
    },
  ])('answers $source', ({ course, from, kt, head, cross, exact }) => {
    const gotHead = headwindMps(kt * MPS_PER_KNOT, from, course) / MPS_PER_KNOT
    const gotCross = crosswindMps(kt * MPS_PER_KNOT, from, course) / MPS_PER_KNOT
    if (head !== null) expect(Math.abs(gotHead - head)).toBeLessThanOrEqual(0.5)
    expect(Math.abs(gotCross - cross)).toBeLessThanOrEqual(0.5 + 1e-9)
    expect(Math.abs(gotHead - exact[0])).toBeLessThan(0.00051)
    expect(Math.abs(gotCross - exact[1])).toBeLessThan(0.00051)
  })

  // atplquestions.com, general navigation 19: 60° off the runway, at least 10 kt of headwind, at most 35 kt of crosswind.
  it('gives 10 kt of headwind from 20 kt and 35 kt of crosswind from 40.41 kt at 60°', () => {
    expect(headwindMps(20, 60, 0)).toBeCloseTo(10, 9)
    expect(Math.abs(crosswindMps(40.41, 60, 0) - 35)).toBeLessThan(0.005)
  })

  it('swaps head- and tailwind, left and right, when the course is reversed', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 30, noNaN: true }),
        fc.integer({ min: 0, max: 359 }),
        fc.integer({ min: 0, max: 359 }),
        (speed, from, course) => {
          expect(headwindMps(speed, from, course + 180)).toBeCloseTo(-headwindMps(speed, from, course), 9)
          expect(crosswindMps(speed, from, course + 180)).toBeCloseTo(-crosswindMps(speed, from, course), 9)
          expect(Math.hypot(headwindMps(speed, from, course), crosswindMps(speed, from, course))).toBeCloseTo(speed, 9)
        },
      ),
    )
  })

  it('needs no direction in a calm, and is NaN when something it needs is', () => {
    expect(headwindMps(0, Number.NaN, 90)).toBeCloseTo(0, 15)
    expect(crosswindMps(0, Number.NaN, 90)).toBeCloseTo(0, 15)
    expect(headwindMps(0, Number.NaN, Number.NaN)).toBeNaN()
    expect(headwindMps(3, Number.NaN, 90)).toBeNaN()
    expect(crosswindMps(Number.NaN, 10, 90)).toBeNaN()
    expect(crosswindMps(3, 10, Number.NaN)).toBeNaN()
  })
})

describe('wind vectors', () => {
  // Unidata/MetPy, tests/calc: 8 m/s from 150°. Half of the last digit printed.
  it('are u -4.0, v +6.9282 for 8 m/s from 150°', () => {
    const { eastMps, northMps } = windVector(8, 150)
    expect(Math.abs(eastMps + 4)).toBeLessThan(1e-9)
    expect(Math.abs(northMps - 6.9282)).toBeLessThan(5.1e-5)
  })

  // Unidata/MetPy, tests/calc. It writes north as 360, ours is 0: compared as directions.
  it.each([
    { u: 3, v: 4, from: 216.87 },
    { u: 4, v: 0, from: 270 },
    { u: 0, v: 4, from: 180 },
    { u: 0, v: -5, from: 360 },
  ])('come from $from° for u $u, v $v', ({ u, v, from }) => {
    const found = windFromVector(u, v)
    expect(Math.abs(turnDegrees(found.fromDeg, from))).toBeLessThan(0.001)
    expect(found.speedMps).toBeCloseTo(Math.hypot(u, v), 12)
    expect(found.fromDeg).toBeGreaterThanOrEqual(0)
    expect(found.fromDeg).toBeLessThan(360)
  })

  it('come back as speed and direction', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 359.9, noNaN: true }),
        (speed, from) => {
          const { eastMps, northMps } = windVector(speed, from)
          const back = windFromVector(eastMps, northMps)
          expect(back.speedMps).toBeCloseTo(speed, 9)
          expect(Math.abs(turnDegrees(from, back.fromDeg))).toBeLessThan(1e-6)
        },
      ),
    )
  })

  it('have no direction in a calm', () => {
    expect(windVector(0, Number.NaN)).toEqual({ eastMps: 0, northMps: 0 })
    expect(windFromVector(0, 0)).toEqual({ speedMps: 0, fromDeg: Number.NaN })
    expect(windVector(3, Number.NaN)).toEqual({ eastMps: Number.NaN, northMps: Number.NaN })
    expect(windVector(Number.NaN, 10).eastMps).toBeNaN()
  })
})

describe('apparentWind', () => {
  // 100 km/h in a wind of 5 m/s, computed from hypot and atan2 by another program; half of the last digit printed.
  it.each([
    { angle: 0, airspeed: 32.7778, yaw: 0, drag: 1.3924 },
    { angle: 45, airspeed: 31.5123, yaw: 6.4419, drag: 1.27883 },
    { angle: 90, airspeed: 28.2242, yaw: 10.204, drag: 1.01607 },
    { angle: 135, airspeed: 24.4987, yaw: 8.2976, drag: 0.7697 },
    { angle: 180, airspeed: 22.7778, yaw: 0, drag: 0.6724 },
  ])('is $airspeed m/s at $yaw° with the wind $angle° off course', ({ angle, airspeed, yaw, drag }) => {
    const v = 100 * MPS_PER_KMH
    const head = headwindMps(5, angle, 0)
    const air = apparentWind(v, head, crosswindMps(5, angle, 0))
    expect(Math.abs(air.airspeedMps - airspeed)).toBeLessThan(5.1e-5)
    expect(Math.abs(air.yawDeg - yaw)).toBeLessThan(5.1e-5)
    expect(Math.abs((air.airspeedMps * (v + head)) / v ** 2 - drag)).toBeLessThan(5.1e-6)
  })

  it('never cancels out and back: (w/V)² is left', () => {
    const v = 100 * MPS_PER_KMH
    const out = apparentWind(v, 5, 0).airspeedMps ** 2
    const back = apparentWind(v, -5, 0).airspeedMps ** 2
    expect((out + back) / 2 / v ** 2).toBeCloseTo(1.0324, 10)
  })

  it('turns to the side that the wind comes from, and behind a standing vehicle', () => {
    expect(apparentWind(20, 0, -3).yawDeg).toBeLessThan(0)
    expect(apparentWind(0, -3, 0).yawDeg).toBeCloseTo(180, 9)
    expect(apparentWind(Number.NaN, 1, 1)).toEqual({ airspeedMps: Number.NaN, yawDeg: Number.NaN })
  })
})
