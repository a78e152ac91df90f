import { getTimes } from 'suncalc'
import { describe, expect, it } from 'vitest'
import { sunAt, sunPhase } from '../../src/air/sun.ts'
import { turnDegrees } from '../../src/base/units.ts'

const seconds = (iso: string) => Date.parse(iso) / 1000
const spa = { latitude: 39.742476, longitude: -105.1786 }

describe('sunAt', () => {
  // 0.02°: asked of a low-precision routine (Meeus ch. 25); the library was found within 0.004° of these.
  it.each([
    {
      source: 'NREL/TP-560-34302 (2008), Table A5.1',
      time: '2003-10-17T19:30:30Z',
      ...spa,
      azimuth: 194.340241,
      altitude: 90 - 50.111622,
    },
    {
      source: 'pvlib SPA, Reykjavik',
      time: '2021-06-21T12:00:00Z',
      latitude: 64.1466,
      longitude: -21.9426,
      azimuth: 149.338090798,
      altitude: 46.71809583,
    },
    {
      source: 'pvlib SPA, Berlin',
      time: '2021-06-21T12:00:00Z',
      latitude: 52.52,
      longitude: 13.405,
      azimuth: 203.723049224,
      altitude: 59.295613499,
    },
  ])('agrees with $source', ({ time, latitude, longitude, azimuth, altitude }) => {
    const sun = sunAt(seconds(time), latitude, longitude)
    expect(Math.abs(sun.azimuthDeg - azimuth)).toBeLessThan(0.02)
    expect(Math.abs(sun.altitudeDeg - altitude)).toBeLessThan(0.02)
  })

  it('stands in the east in the morning and in the west in the evening', () => {
    expect(Math.abs(turnDegrees(sunAt(seconds('2024-03-20T06:00:00Z'), 0, 0).azimuthDeg, 90))).toBeLessThan(1)
    expect(Math.abs(turnDegrees(sunAt(seconds('2024-03-20T18:00:00Z'), 0, 0).azimuthDeg, 270))).toBeLessThan(1)
  })

  // suncalc finds dusk and dawn without refraction, from the same formulas: its refraction has come off again. 0.01°: three
  // seconds of time.
  it.each(['dawn', 'dusk'] as const)('is 6° below the horizon at %s', (name) => {
    const time = getTimes(new Date('2003-10-17T19:30:30Z'), spa.latitude, spa.longitude)[name]
    expect(sunAt(Number(time) / 1000, spa.latitude, spa.longitude).altitudeDeg).toBeCloseTo(-6, 2)
  })

  it('is NaN when anything is', () => {
    expect(sunAt(Number.NaN, 50, 10)).toEqual({ altitudeDeg: Number.NaN, azimuthDeg: Number.NaN })
    expect(sunAt(0, Number.NaN, 10).altitudeDeg).toBeNaN()
    expect(sunAt(0, 50, Number.NaN).altitudeDeg).toBeNaN()
  })
})

describe('sunPhase', () => {
  const phaseAt = (iso: string) => sunPhase(sunAt(seconds(iso), spa.latitude, spa.longitude).altitudeDeg)

  // NREL/TP-560-34302, Table A5.1: sunrise 06:12:43, sunset 17:20:19 local (UTC-7), both of the UTC day 17 October,
  // so that this sunset is the one of the 16th in local time. 20 s: 0.07° of altitude there.
  it.each([
    { what: 'before sunrise', time: '2003-10-17T13:12:23Z', want: 'twilight' },
    { what: 'after sunrise', time: '2003-10-17T13:13:03Z', want: 'day' },
    { what: 'before sunset', time: '2003-10-17T00:19:59Z', want: 'day' },
    { what: 'after sunset', time: '2003-10-17T00:20:39Z', want: 'twilight' },
    { what: 'an hour after sunset', time: '2003-10-17T01:20:19Z', want: 'night' },
  ])('is $want 20 s $what', ({ time, want }) => {
    expect(phaseAt(time)).toBe(want)
  })

  // Astronomical Almanac, glossary (from memory): sunset at -50′, civil twilight to -6°.
  it.each([
    { altitude: 30, want: 'day' },
    { altitude: -0.8, want: 'day' },
    { altitude: -0.9, want: 'twilight' },
    { altitude: -6, want: 'twilight' },
    { altitude: -6.01, want: 'night' },
    { altitude: Number.NaN, want: null },
  ])('is $want at $altitude°', ({ altitude, want }) => {
    expect(sunPhase(altitude)).toBe(want)
  })

  it('knows the midnight sun and the polar night', () => {
    expect(sunPhase(sunAt(seconds('2024-06-21T23:00:00Z'), 70, 15).altitudeDeg)).toBe('day')
    expect(sunPhase(sunAt(seconds('2024-12-21T11:00:00Z'), 78, 15).altitudeDeg)).toBe('night')
  })
})
