import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CO2_KG_PER_LITRE, type WorthInput, worthOf } from '../../src/claim/worth.ts'

/** 10 l/100 km, 20 000 km a year: 2000 l. */
const input: WorthInput = {
  consumptionChangePct: { estimate: -5, low95: -8, high95: -2 },
  baselinePerM: 10 / 100_000,
  yearlyDistanceM: 20_000_000,
  pricePerUnit: 1.5,
  co2KgPerUnit: 2.5,
}

describe('worthOf', () => {
  it('by hand: 5 % (2 to 8) of 2000 l is 100 l (40 to 160), 150 (60 to 240) of money, 250 kg (100 to 400)', () => {
    const { baselineUse, saved, money, co2Kg } = worthOf(input)
    expect(baselineUse).toBeCloseTo(2000, 9)
    const wanted: [typeof saved, number[]][] = [
      [saved, [100, 40, 160]],
      [money ?? saved, [150, 60, 240]],
      [co2Kg ?? saved, [250, 100, 400]],
    ]
    for (const [got, [estimate, low95, high95]] of wanted) {
      expect(got.estimate).toBeCloseTo(estimate, 9)
      expect(got.low95).toBeCloseTo(low95, 9)
      expect(got.high95).toBeCloseTo(high95, 9)
    }
  })

  it('adds the uncertainty of the baseline, which matters less than that of the change', () => {
    // 10 % (one standard deviation) of 5 % is 0.98 points at 95 %: √(3² + 0.98²) = 3.156 on either side.
    const { saved } = worthOf({ ...input, baselineRelativeSd: 0.1 })
    expect(saved.low95).toBeCloseTo(20 * (5 - 3.156), 1)
    expect(saved.high95).toBeCloseTo(20 * (5 + 3.156), 1)
  })

  it('a change for the worse is a saving below 0', () => {
    const { saved } = worthOf({ ...input, consumptionChangePct: { estimate: 3, low95: -1, high95: 7 } })
    expect(saved.estimate).toBeCloseTo(-60, 9)
    expect(saved.low95).toBeCloseTo(-140, 9)
    expect(saved.high95).toBeCloseTo(20, 9)
  })

  it('says nothing of what is not known', () => {
    expect(worthOf({ ...input, pricePerUnit: null, co2KgPerUnit: null })).toMatchObject({ money: null, co2Kg: null })
  })

  it('grows with the distance', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 100 }), (times) => {
        const once = worthOf(input).saved
        const more = worthOf({ ...input, yearlyDistanceM: times * input.yearlyDistanceM }).saved
        expect(more.estimate / once.estimate).toBeCloseTo(times, 9)
        expect(more.low95 / once.low95).toBeCloseTo(times, 9)
      }),
    )
  })
})

describe('CO2 of a litre', () => {
  it('is that of the carbon balance of 40 CFR 600 appendix II for petrol', () => {
    // 2421 g of carbon in a US gallon, 0.273 of CO2 is carbon: 8868 g per gallon, 2.343 kg/l; EPA's rounded figure is 0.2 % more.
    expect(Math.abs(CO2_KG_PER_LITRE.petrol / (2421 / 0.273 / 1000 / 3.785411784) - 1)).toBeLessThan(0.003)
  })

  it('is 2.35 and 2.69 kg', () => {
    // 8887 and 10180 g over 3.785 l, EPA (from memory).
    expect(CO2_KG_PER_LITRE.petrol).toBeCloseTo(2.348, 3)
    expect(CO2_KG_PER_LITRE.diesel).toBeCloseTo(2.689, 3)
  })
})
