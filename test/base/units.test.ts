import { describe, expect, it } from 'vitest'
import {
  celsiusFromFahrenheit,
  celsiusFromKelvin,
  degrees,
  kelvinFromCelsius,
  LITRES_PER_IMPERIAL_GALLON,
  LITRES_PER_US_GALLON,
  METRES_PER_FOOT,
  METRES_PER_MILE,
  MPS_PER_KMH,
  MPS_PER_KNOT,
  MPS_PER_MPH,
  PASCALS_PER_INHG,
  PASCALS_PER_PSI,
  radians,
  turnDegrees,
  wrapDegrees,
} from '../../src/base/units.ts'

describe('unit factors', () => {
  // Printed values of conversion tables and decoded reports; half of the last digit printed.
  it.each([
    { what: '16 kt in m/s (METAR key card)', got: 16 * MPS_PER_KNOT, want: 8.2311, tolerance: 5.1e-5 },
    { what: '24 kt in m/s', got: 24 * MPS_PER_KNOT, want: 12.3467, tolerance: 5.1e-5 },
    { what: '1 kt in mph', got: MPS_PER_KNOT / MPS_PER_MPH, want: 1.150779448, tolerance: 5.1e-10 },
    { what: '12 mph in km/h', got: (12 * MPS_PER_MPH) / MPS_PER_KMH, want: 19.312, tolerance: 5.1e-4 },
    { what: '6 mph in m/s', got: 6 * MPS_PER_MPH, want: 2.682, tolerance: 5.1e-4 },
    { what: '29.92 inHg in hPa', got: (29.92 * PASCALS_PER_INHG) / 100, want: 1013.2075, tolerance: 5.1e-5 },
    { what: '30.14 inHg in hPa', got: (30.14 * PASCALS_PER_INHG) / 100, want: 1020.6575, tolerance: 5.1e-5 },
    { what: '1 psi in Pa', got: PASCALS_PER_PSI, want: 6894.757293, tolerance: 5.1e-7 },
    {
      what: '1 mpg (US) in L/100 km',
      got: (LITRES_PER_US_GALLON / METRES_PER_MILE) * 1e5,
      want: 235.2145833,
      tolerance: 5.1e-8,
    },
    {
      what: '1 mpg (imperial) in L/100 km',
      got: (LITRES_PER_IMPERIAL_GALLON / METRES_PER_MILE) * 1e5,
      want: 282.4809363,
      tolerance: 5.1e-8,
    },
    { what: '4000 ft in m', got: 4000 * METRES_PER_FOOT, want: 1219.2, tolerance: 1e-9 },
    { what: '40 °F in °C', got: celsiusFromFahrenheit(40), want: 4.444, tolerance: 5.1e-4 },
    { what: '100 °F in °C', got: celsiusFromFahrenheit(100), want: 37.778, tolerance: 5.1e-4 },
  ])('make $what $want', ({ got, want, tolerance }) => {
    expect(Math.abs(got - want)).toBeLessThan(tolerance)
  })

  it('undo each other', () => {
    expect(celsiusFromKelvin(kelvinFromCelsius(21.5))).toBeCloseTo(21.5, 10)
    expect(degrees(radians(73))).toBeCloseTo(73, 12)
  })
})

describe('directions', () => {
  it.each([
    { value: 360, want: 0 },
    { value: -10, want: 350 },
    { value: 725, want: 5 },
    { value: 0, want: 0 },
    { value: 1000, want: 280 },
    { value: -1000, want: 80 },
    { value: 1080, want: 0 },
    { value: -1e-20, want: 0 },
  ])('$value° is $want°', ({ value, want }) => {
    expect(wrapDegrees(value)).toBe(want)
  })

  it.each([
    { from: 350, to: 10, want: 20 },
    { from: 10, to: 350, want: -20 },
    { from: 0, to: 180, want: -180 },
    { from: 90, to: 90, want: 0 },
  ])('the turn from $from° to $to° is $want°', ({ from, to, want }) => {
    expect(turnDegrees(from, to)).toBe(want)
  })
})
