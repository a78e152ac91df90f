import { readFileSync } from 'node:fs'
import psychrolib from 'psychrolib'
import { beforeAll, describe, expect, it } from 'vitest'
import { airDensityKgM3, compressibilityFactor, enhancementFactor, vapourMoleFraction } from '../../src/air/density.ts'
import { kelvinFromCelsius } from '../../src/base/units.ts'
import { densityAltitudeM } from './density-altitude.ts'

const density = (celsius: number, pa: number, rh: number) => airDensityKgM3(kelvinFromCelsius(celsius), pa, rh)

// Computed from the published formula with its published constants (Metrologia 45 (2008) 149), by another program.
// Tolerance: half of the last digit printed is 4e-8; 1e-6 relative is asked of an implementation.
const cipm = [
  { t: 20, p: 101325, rh: 0.5, f: 1.0040256, z: 0.99961477, want: 1.1993139 },
  { t: 20, p: 101325, rh: 0, f: 1.0040256, z: 0.99964314, want: 1.2045573 },
  { t: 20, p: 100000, rh: 0, f: 1.003984, z: 0.99964778, want: 1.1888002 },
  { t: 20, p: 100000, rh: 0.5, f: 1.003984, z: 0.99961931, want: 1.1835566 },
  { t: 15, p: 101325, rh: 0, f: 1.0039276, z: 0.99959221, want: 1.2255213 },
  { t: 15, p: 101325, rh: 0.5, f: 1.0039276, z: 0.999572, want: 1.2216312 },
  { t: 0, p: 101325, rh: 0, f: null, z: 0.99941596, want: 1.2930487 },
  { t: 25, p: 101325, rh: 0.6, f: 1.0041516, z: 0.99964005, want: 1.1759216 },
  { t: 23, p: 101325, rh: 0.5, f: 1.0040978, z: 0.99963726, want: 1.1860841 },
  { t: 30, p: 95000, rh: 0.8, f: 1.004107, z: 0.99964101, want: 1.0772876 },
  { t: 10, p: 90000, rh: 0.4, f: 1.003502, z: 0.9995777, want: 1.1054903 },
]

describe('airDensityKgM3 against CIPM-2007', () => {
  it.each(cipm)('is $want kg/m³ at $t °C, $p Pa, humidity $rh', ({ t, p, rh, f, z, want }) => {
    expect(Math.abs(density(t, p, rh) / want - 1)).toBeLessThan(1e-6)
    const temperatureK = kelvinFromCelsius(t)
    const xv = vapourMoleFraction(temperatureK, p, rh)
    expect(Math.abs(compressibilityFactor(temperatureK, p, xv) - z)).toBeLessThan(1e-8)
    if (f !== null) expect(Math.abs(enhancementFactor(temperatureK, p) - f)).toBeLessThan(1e-7)
  })
})

describe('airDensityKgM3 against other formulas', () => {
  beforeAll(() => psychrolib.SetUnitSystem(psychrolib.SI))

  // OIML R 111-1:2004, E.3-1, from memory: 0.34848 p - 0.009 h exp(0.061 t) over 273.15 + t; stated uncertainty 2e-4,
  // taken twice.
  it.each([
    { t: 20, hPa: 1013.25, h: 50 },
    { t: 25, hPa: 1013.25, h: 60 },
    { t: 10, hPa: 1000, h: 50 },
    { t: 30, hPa: 950, h: 80 },
    { t: 15, hPa: 1013.25, h: 0 },
  ])('agrees with OIML R 111 at $t °C, $hPa hPa, $h %', ({ t, hPa, h }) => {
    const oiml = (0.34848 * hPa - 0.009 * h * Math.exp(0.061 * t)) / (273.15 + t)
    expect(Math.abs(density(t, hPa * 100, h / 100) / oiml - 1)).toBeLessThan(4e-4)
  })

  // psychrolib: ASHRAE Handbook 2017, ideal gases. 1e-3: air is a real gas (up to 7.4e-4 at -10 °C).
  it('agrees with the ASHRAE ideal gases to 1e-3 from -10 to 40 °C and 800 to 1013 hPa', () => {
    let worst = 0
    for (let t = -10; t <= 40; t += 5) {
      for (const p of [80000, 90000, 101300]) {
        for (const rh of [0, 0.3, 0.6, 0.9]) {
          const ratio = psychrolib.GetHumRatioFromRelHum(t, rh, p)
          worst = Math.max(worst, Math.abs(density(t, p, rh) / psychrolib.GetMoistAirDensity(t, ratio, p) - 1))
        }
      }
    }
    expect(worst).toBeLessThan(1e-3)
  })

  // Reference densities; 1e-3 because they are those of an ideal gas.
  it.each([
    { what: 'ISO 2533 at sea level', t: 15, p: 101325, want: 1.225 },
    { what: 'WLTP reference condition (from memory)', t: 20, p: 100000, want: 1.189 },
  ])('gives the $what', ({ t, p, want }) => {
    expect(Math.abs(density(t, p, 0) / want - 1)).toBeLessThan(1e-3)
  })
})

describe('airDensityKgM3 sensitivities', () => {
  // Computed from CIPM-2007 at 20 °C, 101325 Pa, 50 %, by another program; tolerance: the last digit printed, and the
  // finite step.
  it.each([
    { what: '1 K', got: density(20.5, 101325, 0.5) / density(19.5, 101325, 0.5) - 1, want: -0.00369, tolerance: 1e-5 },
    { what: '1 hPa', got: density(20, 101375, 0.5) / density(20, 101275, 0.5) - 1, want: 0.000992, tolerance: 1e-6 },
    {
      what: '10 % humidity',
      got: density(20, 101325, 0.55) / density(20, 101325, 0.45) - 1,
      want: -0.000873,
      tolerance: 1e-6,
    },
    {
      what: 'dry to saturated, 30 °C',
      got: density(30, 101325, 1) / density(30, 101325, 0) - 1,
      want: -0.0158,
      tolerance: 5e-5,
    },
  ])('changes by $want for $what', ({ got, want, tolerance }) => {
    expect(Math.abs(got - want)).toBeLessThan(tolerance)
  })

  it('is NaN when anything is', () => {
    expect(density(Number.NaN, 101325, 0.5)).toBeNaN()
    expect(density(20, Number.NaN, 0.5)).toBeNaN()
    expect(density(20, 101325, Number.NaN)).toBeNaN()
  })
})

describe('handheld logger (test/data/handheld-logger/SOURCE.md)', () => {
  const text = readFileSync(new URL('../data/handheld-logger/100831_weather.txt', import.meta.url), 'latin1')
  const rows = text.split(/\r?\n/).filter((line) => /^\d{4}-/.test(line))

  // The meter computes density altitude itself from the sensors it prints. 5 m are 0.05 % of density; printing the
  // temperature to 0.1 °C and the pressure to 0.1 mb alone makes ±2.5 m; and it seems to reckon
  // with ideal gases, in which air is 3e-4 less dense and so 3 m higher.
  it('gives the density altitude of the meter within 5 m in 95 % of 1142 rows', () => {
    const differences = rows.map((line) => {
      const cells = line.trim().split(/\s+/)
      const [t, rh, hPa, wanted] = [8, 10, 14, 16].map((i) => Number(cells[i]))
      return densityAltitudeM(density(t, hPa * 100, rh / 100)) - wanted
    })
    expect(differences).toHaveLength(1142)
    expect(differences.filter((d) => Math.abs(d) <= 5).length / differences.length).toBeGreaterThanOrEqual(0.95)
  })
})
