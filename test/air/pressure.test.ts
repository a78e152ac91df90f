import psychrolib from 'psychrolib'
import { beforeAll, describe, expect, it } from 'vitest'
import { vapourPressurePa } from '../../src/air/humidity.ts'
import {
  hypsometricPressurePa,
  pressureAltitudeM,
  pressureAtElevation,
  standardPressurePa,
  stationPressureFromAltimeter,
  stationPressureFromSeaLevel,
} from '../../src/air/pressure.ts'
import { METRES_PER_FOOT, PASCALS_PER_INHG } from '../../src/base/units.ts'
import { densityAltitudeM } from './density-altitude.ts'

beforeAll(() => psychrolib.SetUnitSystem(psychrolib.SI))

// ISO 2533, geopotential metres; rows 0 to 3000 also printed in the US Standard Atmosphere 1976. Tolerance: half of the last
// digit printed, rounded up.
const isa = [
  { h: 0, hPa: 1013.25, density: 1.225 },
  { h: 500, hPa: 954.608, density: 1.16727 },
  { h: 1000, hPa: 898.746, density: 1.11164 },
  { h: 1500, hPa: 845.56, density: 1.05807 },
  { h: 2000, hPa: 794.952, density: 1.00649 },
  { h: 2500, hPa: 746.825, density: 0.95686 },
  { h: 3000, hPa: 701.085, density: 0.90912 },
]

describe('the standard atmosphere', () => {
  it.each(isa)('has $hPa hPa and $density kg/m³ at $h m', ({ h, hPa, density }) => {
    expect(Math.abs(standardPressurePa(h) - hPa * 100)).toBeLessThan(0.06)
    // 0.1 m: one unit of the last digit printed, 1e-5 kg/m³.
    expect(Math.abs(densityAltitudeM(density) - h)).toBeLessThan(0.1)
    expect(pressureAltitudeM(standardPressurePa(h))).toBeCloseTo(h, 6)
    // ASHRAE's rounded coefficients: 898.745 hPa at 1000 m.
    expect(Math.abs(standardPressurePa(h) - psychrolib.GetStandardAtmPressure(h))).toBeLessThan(2)
  })

  // Published heights of MetPy's tests recomputed with ISO 2533's 288.15 K (they use 288.0 K). Half of the last digit.
  it.each([
    { hPa: 975.2, want: 321.66 },
    { hPa: 987.5, want: 216.59 },
    { hPa: 956, want: 487.85 },
    { hPa: 943, want: 601.91 },
    { hPa: 29 * (PASCALS_PER_INHG / 100), want: 262.99 },
  ])('has $hPa hPa at $want m', ({ hPa, want }) => {
    expect(Math.abs(pressureAltitudeM(hPa * 100) - want)).toBeLessThan(0.0051)
  })
})

describe('stationPressureFromAltimeter', () => {
  // Exact inversion of the standard atmosphere, computed by another program; half of the last digit printed.
  it.each([
    { hPa: 1013.2075, h: 0, want: 1013.207 },
    { hPa: 1013.25, h: 100, want: 1001.294 },
    { hPa: 1013, h: 500, want: 954.37 },
    { hPa: 1010, h: 1000, want: 895.796 },
    { hPa: 1005, h: 1500, want: 838.435 },
    { hPa: 1000, h: 2000, want: 784.068 },
  ])('is $want hPa for $hPa hPa at $h m', ({ hPa, h, want }) => {
    expect(Math.abs(stationPressureFromAltimeter(hPa * 100, h) - want * 100)).toBeLessThan(0.06)
  })

  // Other published forms: they differ among themselves by up to 0.4 hPa, one of them by a fixed +0.3 hPa.
  it.each([
    { what: 'FMH-1 form, worked page', inHg: 30.2, h: 5045 * METRES_PER_FOOT, wantPa: 84977 },
    { what: 'FMH-1 form, worked page', inHg: 30.37, h: 7014 * METRES_PER_FOOT, wantPa: 79375 },
    { what: 'Smithsonian form, MetPy tests', inHg: 29.8, h: 500, wantPa: 95096.498 },
    { what: 'Smithsonian form, MetPy tests', inHg: 100000 / PASCALS_PER_INHG, h: 2000, wantPa: 78426.2996 },
    { what: 'Smithsonian form, MetPy tests', inHg: 100500 / PASCALS_PER_INHG, h: 1500, wantPa: 83865.1657 },
    { what: 'Smithsonian form, MetPy tests', inHg: 101000 / PASCALS_PER_INHG, h: 1000, wantPa: 89603.7821 },
    { what: 'Smithsonian form, MetPy tests', inHg: 101300 / PASCALS_PER_INHG, h: 500, wantPa: 95463.9265 },
  ])('is within 0.4 hPa of the $what: $wantPa Pa', ({ inHg, h, wantPa }) => {
    expect(Math.abs(stationPressureFromAltimeter(inHg * PASCALS_PER_INHG, h) - wantPa)).toBeLessThan(40)
  })

  it('is the altimeter setting itself at sea level, above it below sea level, and NaN when either is', () => {
    expect(stationPressureFromAltimeter(100000, 0)).toBeCloseTo(100000, 6)
    expect(stationPressureFromAltimeter(100000, -50)).toBeGreaterThan(100000)
    expect(stationPressureFromAltimeter(Number.NaN, 100)).toBeNaN()
    expect(stationPressureFromAltimeter(101325, Number.NaN)).toBeNaN()
  })
})

describe('hypsometricPressurePa', () => {
  // dz = (287.05 Tv / 9.80665) ln(p1/p2), computed by another program. Half of a
  // centimetre of climb and an R of 287.05287 here (1e-5 of the layer).
  it.each([
    { from: 100000, to: 50000, virtualK: 273.15, climb: 5541.96, tolerancePa: 0.5 },
    { from: 100000, to: 85000, virtualK: 285, climb: 1355.77, tolerancePa: 0.2 },
  ])('falls from $from to $to Pa over $climb m', ({ from, to, virtualK, climb, tolerancePa }) => {
    expect(Math.abs(hypsometricPressurePa(from, climb, virtualK) - to)).toBeLessThan(tolerancePa)
  })

  // 8.324 m per hPa at 1013.25 hPa and 15 °C; half of the last digit printed is 6e-5.
  it('falls by 1 hPa in 8.324 m near the ground', () => {
    const fall = hypsometricPressurePa(101325 + 50, 0, 288.15) - hypsometricPressurePa(101325 + 50, 8.324, 288.15)
    expect(Math.abs(fall - 100)).toBeLessThan(0.06)
  })
})

describe('stationPressureFromSeaLevel', () => {
  // MetPy tests: altimeter 29.8 inHg, 500 m, 30 °C, station pressure 950.96498 hPa, sea-level pressure 1006.089 hPa
  // (1006.096 recomputed). It takes the station's temperature for the whole column; asking for that mean here: 30 °C less
  // half of 500 m of lapse. 0.01 hPa: the choice of constants.
  it('undoes a published reduction', () => {
    const got = stationPressureFromSeaLevel(100608.9, 500, 303.15 - 0.0065 * 250)
    expect(Math.abs(got - 95096.498)).toBeLessThan(1)
  })

  it('uses the WMO mean virtual temperature of the column', () => {
    const vapour = 1200
    const byHand = 101000 * Math.exp((-9.80665 * 300) / (287.05287 * (290 + 0.0065 * 150 + 0.12 * 12)))
    expect(stationPressureFromSeaLevel(101000, 300, 290, vapour)).toBeCloseTo(byHand, 6)
  })

  it('takes dry air for an unknown vapour pressure, and is NaN when another is', () => {
    expect(stationPressureFromSeaLevel(101000, 300, 290, Number.NaN)).toBe(
      stationPressureFromSeaLevel(101000, 300, 290),
    )
    expect(stationPressureFromSeaLevel(Number.NaN, 300, 290)).toBeNaN()
    expect(stationPressureFromSeaLevel(101000, Number.NaN, 290)).toBeNaN()
    expect(stationPressureFromSeaLevel(101000, 300, Number.NaN)).toBeNaN()
  })
})

describe('pressureAtElevation', () => {
  // The standard atmosphere has the lapse that is assumed, so its table must come out (0.1 Pa printed). Integrating a
  // constant mean temperature instead of a linear one costs 0.3 Pa over 500 m.
  it.each([
    { from: 0, to: 500, fromHPa: 1013.25, toHPa: 954.608, temperatureK: 288.15 },
    { from: 1000, to: 500, fromHPa: 898.746, toHPa: 954.608, temperatureK: 281.65 },
    { from: 2000, to: 2500, fromHPa: 794.952, toHPa: 746.825, temperatureK: 275.15 },
  ])('follows ISO 2533 from $from to $to m', ({ from, to, fromHPa, toHPa, temperatureK }) => {
    expect(Math.abs(pressureAtElevation(fromHPa * 100, from, to, temperatureK, 0) - toHPa * 100)).toBeLessThan(0.6)
  })

  it('falls less in moist air, by the virtual temperature', () => {
    const dry = pressureAtElevation(100000, 0, 100, 303.15, 0)
    const moist = pressureAtElevation(100000, 0, 100, 303.15, 0.8)
    // Tv/T = 1/(1 - 0.378 e/p): 1.3 % less of a fall of 11 hPa.
    const share = 1 - 0.37802 * (vapourPressurePa(303.15, 0.8) / 100000)
    expect((100000 - moist) / (100000 - dry)).toBeCloseTo(share, 3)
    expect(pressureAtElevation(100000, 0, 100, 303.15, Number.NaN)).toBe(dry)
  })

  it('goes there and back', () => {
    const up = pressureAtElevation(100000, 100, 350, 290, 0.5)
    // The same relative humidity at the colder top is less vapour: 0.2 K of virtual temperature of 290 K, on 29 hPa.
    expect(Math.abs(pressureAtElevation(up, 350, 100, 290 - 0.0065 * 250, 0.5) - 100000)).toBeLessThan(2)
    expect(pressureAtElevation(100000, 100, 100, 290, 0.5)).toBe(100000)
    expect(pressureAtElevation(100000, Number.NaN, 100, 290, 0.5)).toBeNaN()
  })
})
