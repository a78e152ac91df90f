import { describe, expect, it } from 'vitest'
import { standardDeviation } from '../../src/base/statistics.ts'
import { LITRES_PER_US_GALLON, METRES_PER_MILE } from '../../src/base/units.ts'
import { consumptionsOf, odometerRatio, togetherPer100Km } from '../../src/claim/fuel/consumption.ts'
import { campaignUnit, readFuel } from '../../src/claim/fuel/measure.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { drawn } from './drawn.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

const DAY_S = 86_400

const run = (i: number, over: Partial<FuelRun> = {}, row: Partial<FuelRun['row']> = {}): FuelRun => ({
  id: `run-${i}`,
  route: 0,
  setup: 'bare',
  startTime: 1_746_000_000 + i * DAY_S,
  endTime: 1_746_003_600 + i * DAY_S,
  distanceM: 100_000,
  row: emptyRow({ line: i + 2, fuelLitres: 8, ...row }),
  demandDraws: new Float64Array(400).fill(1000),
  nominalDemandJPerM: 1000,
  nominalDragJPerM: 500,
  leftOut: null,
  ...over,
})

const settings = claimSettings({ fillRepeatabilityLitres: 0.12 })

describe('fuel readings', () => {
  it('has two fills of error in a run between two fills of its own', () => {
    const [reading] = readFuel([run(0)], 'l', settings)
    // 0.12 l · √2 of 8 l; the draws of one name have a spread of exactly 1, of two names their chance correlation.
    expect(standardDeviation(drawn(reading!.errors, 'fills'))).toBeCloseTo((0.12 * Math.SQRT2) / 8, 2)
  })

  it('shares the fill between two runs of a chain with opposite signs', () => {
    const chained = readFuel(
      [0, 1].map((i) => run(i, {}, { fillGroup: 'a' })),
      'l',
      settings,
    )
    const apart = readFuel(
      [0, 1].map((i) => run(i)),
      'l',
      settings,
    )
    const sdOfSum = (r: typeof chained): number =>
      standardDeviation(drawn(r[0]!.errors, 'fills').map((e, k) => e + drawn(r[1]!.errors, 'fills')[k]))
    // Of a chain only the two ends count: √2 fills; without it √4.
    expect(sdOfSum(chained)).toBeCloseTo((0.12 * Math.SQRT2) / 8, 2)
    expect(sdOfSum(apart) / sdOfSum(chained)).toBeCloseTo(Math.SQRT2, 0)
    const sdOfDifference = standardDeviation(
      drawn(chained[0]!.errors, 'fills').map((e, k) => e - drawn(chained[1]!.errors, 'fills')[k]),
    )
    // e1 − e0 − (e2 − e1): variance 1 + 4 + 1.
    expect(sdOfDifference / (0.12 / 8)).toBeCloseTo(Math.sqrt(6), 0)
  })

  it('gives one pump one error, and each fill group its own', () => {
    const one = readFuel([run(0), run(1)], 'l', settings)
    expect(drawn(one[0]!.errors, 'pump_meter')).toEqual(drawn(one[1]!.errors, 'pump_meter'))
    const two = readFuel([run(0, {}, { fillGroup: 'a' }), run(1, {}, { fillGroup: 'b' })], 'l', settings)
    expect(drawn(two[0]!.errors, 'pump_meter')).not.toEqual(drawn(two[1]!.errors, 'pump_meter'))
    // Rectangular ±0.5 %: u = 0.2887 % (JCGM 100, 4.3.7; computed in published-checks 7.11).
    // A sample's divisor is n − 1: 400 draws are 0.13 % wider.
    expect(Math.abs(100 * standardDeviation(drawn(one[0]!.errors, 'pump_meter')) - 0.2887)).toBeLessThan(0.001)
  })

  it('brings litres to 15 °C where the temperature is known, and says so', () => {
    const [warm] = readFuel([run(0, {}, { fuelTemperatureK: 303.15 })], 'l', { ...settings, powertrain: 'petrol' })
    // 30 °C, 745 to 750 kg/m³: 0.98171 to 0.98189 (API MPMS 11.1 table 54B as computed in published-checks 7.10).
    expect(warm!.amount / 8).toBeCloseTo(0.9818, 3)
    expect(warm!.at15C).toBe(true)
    expect(readFuel([run(0)], 'l', settings)[0]).toMatchObject({ amount: 8, at15C: false })
  })

  it('takes the unit of most runs', () => {
    const kg = (i: number): FuelRun => run(i, {}, { fuelLitres: Number.NaN, fuelKg: 6 })
    expect(campaignUnit([run(0), run(1), kg(2)])).toBe('l')
    expect(campaignUnit([run(0), kg(2)])).toBe('kg')
    expect(campaignUnit([run(0, {}, { fuelLitres: Number.NaN })])).toBeNull()
  })
})

describe('consumption', () => {
  it('averages fuel, not distance per fuel: the combined figure of 40 CFR 600 appendix II', () => {
    // 55 % of the distance at 27.7 mpg and 45 % at 36.9 mpg are 31.2 mpg; the mean of the two would be 31.84.
    const miles = (share: number, mpg: number): FuelRun =>
      run(share, { distanceM: share * METRES_PER_MILE }, { fuelLitres: (share / mpg) * LITRES_PER_US_GALLON })
    const together = consumptionsOf([miles(55, 27.7), miles(45, 36.9)], 'l', 'bare', settings)
    const mpg = (1e5 / METRES_PER_MILE / togetherPer100Km(together)) * LITRES_PER_US_GALLON
    expect(mpg).toBeCloseTo(31.2, 1)
  })

  it('converts: 30 mpg is 7.8405 l/100 km', () => {
    const [c] = consumptionsOf(
      [run(0, { distanceM: 30 * METRES_PER_MILE }, { fuelLitres: LITRES_PER_US_GALLON })],
      'l',
      'bare',
      settings,
    )
    // 235.2145833 / 30 (exact by the definitions of the gallon and the mile).
    expect(1e5 * Math.exp(c.logRaw)).toBeCloseTo(7.8405, 4)
  })

  it('adjusts to the mean conditions of the baseline', () => {
    const demanding = run(1, { setup: 'part', demandDraws: new Float64Array(400).fill(1100) }, { fuelLitres: 8.8 })
    const [bare, part] = consumptionsOf([run(0), demanding], 'l', 'bare', settings)
    expect(bare.logAdjusted).toBeCloseTo(bare.logRaw, 12)
    expect(part.logAdjusted).toBeCloseTo(bare.logRaw, 12)
  })

  it('cancels what runs share in their conditions', () => {
    const shared = Float64Array.from({ length: 400 }, (_, k) => 1000 * Math.exp(0.1 * Math.sin(k)))
    const both = [0, 1].map((i) => run(i, { demandDraws: shared }))
    const [a, b] = consumptionsOf(both, 'l', 'bare', settings)
    expect(standardDeviation(a.conditions!.map((e, k) => e - b.conditions![k]))).toBeLessThan(1e-12)
  })

  it('leaves a run without weather raw only', () => {
    const [c] = consumptionsOf([run(0, { demandDraws: null })], 'l', 'bare', settings)
    expect(c.conditions).toBeNull()
    expect(c.logAdjusted).toBeNaN()
    expect(c.logRaw).toBeCloseTo(Math.log(8e-5), 12)
  })

  it('takes the odometer where GPS has no distance, and doubts a run where the two are apart', () => {
    const [byOdometer] = consumptionsOf(
      [run(0, { distanceM: Number.NaN }, { odometerM: 99_000 })],
      'l',
      'bare',
      settings,
    )
    expect(byOdometer).toMatchObject({ distanceBy: 'odometer', distanceM: 99_000 })
    const odometers = [102_000, 102_000, 102_000, 112_200]
    const runs = odometers.map((odometerM, i) => run(i, {}, { odometerM }))
    expect(odometerRatio(runs)).toBeCloseTo(1.02, 12)
    const all = consumptionsOf(runs, 'l', 'bare', settings)
    // 10 % apart once the usual 2 % are off: half of it is the doubt.
    expect(standardDeviation(drawn(all[3].errors, 'distance'))).toBeCloseTo(0.05, 3)
    expect(standardDeviation(drawn(all[0].errors, 'distance'))).toBeCloseTo(0.0015, 5)
  })
})
