import { describe, expect, it } from 'vitest'
import { kelvinFromCelsius } from '../../src/base/units.ts'
import { expansionPerK, FUEL_PROPERTIES, volumeCorrectionFactor } from '../../src/claim/fuel/volume.ts'

/**
 * Rows of table 54B for 0, 5, 10, 20, 25, 30, 40 °C, computed from the published formula (API MPMS 11.1 / ASTM D1250)
 * with its published coefficients; no printed cell of the table was at hand. The printed table has four digits.
 */
const TABLE_54B: { fuel: 'petrol' | 'diesel'; density: number; factors: number[] }[] = [
  { fuel: 'petrol', density: 720, factors: [1.01905, 1.01273, 1.00638, 0.9936, 0.98718, 0.98073, 0.96777] },
  { fuel: 'petrol', density: 730, factors: [1.01866, 1.01246, 1.00624, 0.99373, 0.98744, 0.98113, 0.96845] },
  { fuel: 'petrol', density: 745, factors: [1.01809, 1.01209, 1.00605, 0.99392, 0.98783, 0.98171, 0.96941] },
  { fuel: 'petrol', density: 750, factors: [1.01791, 1.01196, 1.00599, 0.99398, 0.98795, 0.98189, 0.96972] },
  { fuel: 'petrol', density: 760, factors: [1.01756, 1.01173, 1.00588, 0.9941, 0.98819, 0.98225, 0.97033] },
  { fuel: 'diesel', density: 835, factors: [1.01274, 1.00851, 1.00426, 0.99573, 0.99145, 0.98716, 0.97855] },
  { fuel: 'diesel', density: 840, factors: [1.01261, 1.00842, 1.00421, 0.99578, 0.99154, 0.9873, 0.97878] },
  { fuel: 'diesel', density: 850, factors: [1.01241, 1.00829, 1.00415, 0.99584, 0.99167, 0.98749, 0.97911] },
]
const TEMPERATURES_C = [0, 5, 10, 20, 25, 30, 40]

describe('volume correction', () => {
  for (const { fuel, density, factors } of TABLE_54B) {
    it(`table 54B, ${fuel} of ${density} kg/m³`, () => {
      const got = TEMPERATURES_C.map((c) => volumeCorrectionFactor(fuel, kelvinFromCelsius(c), density))
      got.forEach((factor, i) => {
        // The values carry five decimals.
        expect(Math.abs(factor - factors[i])).toBeLessThan(1.01e-5)
      })
    })
  }

  // Computed from the published coefficients.
  it.each([
    [745, 1213.15e-6],
    [750, 1200.93e-6],
    [835, 852.73e-6],
    [850, 830.78e-6],
  ])('expansion of %d kg/m³ is %d per K', (density, want) => {
    expect(Math.abs(expansionPerK(density) - want)).toBeLessThan(0.006e-6)
  })

  it('in the form for °F of table 6B', () => {
    // API gravity 60 is 738.18 kg/m³ at 60 °F, 35 is 849.4 [table 6B: 50, 70, 80, 90 °F; computed from the formula in °F].
    // 60 °F is 15.56 °C, so a factor to 60 °F is the ratio of two factors to 15 °C; the half kelvin changes α by 3e-4 of itself.
    const to60F = (fuel: 'petrol' | 'diesel', density: number, fahrenheit: number) =>
      volumeCorrectionFactor(fuel, ((fahrenheit - 32) * 5) / 9 + 273.15, density) /
      volumeCorrectionFactor(fuel, ((60 - 32) * 5) / 9 + 273.15, density)
    const cases: ['petrol' | 'diesel', number, number, number][] = [
      ['petrol', 738.18, 50, 1.00682],
      ['petrol', 738.18, 70, 0.99315],
      ['petrol', 738.18, 80, 0.98628],
      ['petrol', 738.18, 90, 0.97938],
      ['diesel', 849.4, 80, 0.99073],
      ['diesel', 849.4, 100, 0.98141],
    ]
    for (const [fuel, density, fahrenheit, want] of cases) {
      expect(Math.abs(to60F(fuel, density, fahrenheit) - want)).toBeLessThan(5e-5)
    }
  })

  it('is exactly 1 at 15 °C', () => {
    expect(volumeCorrectionFactor('petrol', kelvinFromCelsius(15))).toBe(1)
    expect(volumeCorrectionFactor('diesel', kelvinFromCelsius(15))).toBe(1)
  })

  it('10 K of fuel temperature is 1.2 % of petrol and 0.85 % of diesel', () => {
    // The expansion at the middle density, from the same table, to the digits given.
    expect(1 - volumeCorrectionFactor('petrol', kelvinFromCelsius(25))).toBeCloseTo(0.012, 3)
    expect(1 - volumeCorrectionFactor('diesel', kelvinFromCelsius(25))).toBeCloseTo(0.0085, 3)
  })

  it('has no answer for what is not known or cannot be', () => {
    expect(volumeCorrectionFactor('petrol', Number.NaN)).toBeNaN()
    expect(volumeCorrectionFactor('petrol', 15)).toBeNaN()
    expect(volumeCorrectionFactor('petrol', kelvinFromCelsius(20), 0.745)).toBeNaN()
  })

  it('of the products between petrol and diesel, each by its own row of the table', () => {
    // α = K0/ρ² + K1/ρ, and −0.00336312 + 2680.3206/ρ² in the transition, at the ends of the rows; by hand.
    expect(expansionPerK(770)).toBeCloseTo(346.4228 / 770 ** 2 + 0.4388 / 770, 12)
    expect(expansionPerK(770.5)).toBeCloseTo(2680.3206 / 770.5 ** 2 - 0.00336312, 12)
    expect(expansionPerK(787)).toBeCloseTo(2680.3206 / 787 ** 2 - 0.00336312, 12)
    expect(expansionPerK(787.5)).toBeCloseTo(594.5418 / 787.5 ** 2, 12)
    expect(expansionPerK(838.5)).toBeCloseTo(594.5418 / 838.5 ** 2, 12)
    expect(expansionPerK(839)).toBeCloseTo(186.9696 / 839 ** 2 + 0.4862 / 839, 12)
    // A density in the gap belongs to the upper row.
    expect(expansionPerK(770.25)).toBeCloseTo(2680.3206 / 770.25 ** 2 - 0.00336312, 12)
  })

  it('within the table’s range of density and the range of temperature, ends included', () => {
    expect([652.9, 1075.1].map(expansionPerK)).toEqual([Number.NaN, Number.NaN])
    expect([653, 1075].map(expansionPerK).every(Number.isFinite)).toBe(true)
    const at = (celsius: number): number => volumeCorrectionFactor('diesel', kelvinFromCelsius(celsius))
    expect([-50.1, 95.1].map(at)).toEqual([Number.NaN, Number.NaN])
    expect([-50, 95].map(at).every(Number.isFinite)).toBe(true)
  })

  it('expands the more the lighter the petrol, and warm fuel always shrinks', () => {
    for (let density = 655; density <= 1075; density += 0.25) {
      const factor = volumeCorrectionFactor('petrol', kelvinFromCelsius(30), density)
      expect(factor).toBeLessThan(1)
      expect(factor).toBeGreaterThan(0.97)
    }
  })
})

describe('mass and volume', () => {
  it('the energy per mass of both fuels is near 43 MJ/kg', () => {
    // EU RED 2009/28 Annex III, from memory: 43 MJ/kg for petrol and diesel; the two sources differ by about 1 %.
    for (const { energyJPerLitre, density15KgM3 } of Object.values(FUEL_PROPERTIES)) {
      expect(Math.abs(energyJPerLitre / (density15KgM3 / 1000) / 43e6 - 1)).toBeLessThan(0.02)
    }
  })
})
