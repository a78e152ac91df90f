import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { quantile, standardDeviation } from '../../src/base/statistics.ts'
import { studentCdf } from '../../src/base/student.ts'
import type { RunConsumption } from '../../src/claim/consumption.ts'
import {
  consumptionPct,
  differenceTerms,
  distancePerFuelPct,
  effectOf,
  intervalsOf,
  type LogEffect,
  residualsOf,
  totalError,
} from '../../src/claim/effects.ts'
import { repeatabilityOf } from '../../src/claim/repeatability.ts'
import { uncertaintyShares } from '../../src/claim/shares.ts'
import { emptyRow } from './synthetic-campaign.ts'

const DRAWS = 20_000
const settings = { draws: DRAWS, seed: 1 }
/** A prior of no weight: the repeats alone count. */
const NO_PRIOR = { sd: 1e-3, degreesOfFreedom: 1e-9 }
const zeros = new Float64Array(DRAWS)

/** A run whose consumption is known without error. */
const exact = (name: string, i: number, log: number): RunConsumption => ({
  run: {
    id: `${name}-${i}`,
    route: 0,
    setup: name,
    startTime: i * 86_400,
    endTime: i * 86_400 + 3600,
    distanceM: 1e5,
    row: emptyRow(),
    demandDraws: zeros,
    nominalDemandJPerM: 1,
    nominalDragJPerM: 1,
    leftOut: null,
  },
  reading: {
    unit: 'l',
    read: 1,
    amount: 1,
    at15C: false,
    errors: { fills: zeros, pump_meter: zeros, fuel_temperature: zeros },
  },
  unit: 'l',
  distanceM: 1e5,
  distanceBy: 'gps',
  logRaw: log,
  logAdjusted: log,
  errors: { fills: zeros, pump_meter: zeros, fuel_temperature: zeros, distance: zeros },
  conditions: zeros,
  departure: drawsOf(`test/${name}/${i}`, DRAWS, 1),
})

function differenceOf(a: number[], b: number[]): { estimate: number; low: number; high: number } {
  const [one, other] = [a.map((y, i) => exact('a', i, y)), b.map((y, i) => exact('b', i, y))]
  const repeatability = repeatabilityOf(residualsOf([one, other], 'raw'), 'test', settings, NO_PRIOR)
  const effect = effectOf(differenceTerms(one, other, 'raw', repeatability.median), 'raw', repeatability)
  const errors = totalError(effect)
  return {
    estimate: effect.estimate,
    low: effect.estimate + quantile(errors, 0.025),
    high: effect.estimate + quantile(errors, 0.975),
  }
}

describe('an effect between two setups', () => {
  it('is the two-sample t interval where there is no other error: Student’s sleep data', () => {
    // Student 1908, as in R's `sleep` (from memory): means 0.75 and 2.33, pooled standard error 0.849091, 18 degrees of freedom.
    const g1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
    const g2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
    const halfWidth = 0.849091 * 2.100922 // t.975(18) = 2.100922, any t table
    const found = differenceOf(g1, g2)
    expect(found.estimate).toBeCloseTo(-1.58, 10)
    // 20 000 draws: the 2.5 % quantile is good to about 1 %.
    expect(Math.abs(found.low - (-1.58 - halfWidth))).toBeLessThan(0.03)
    expect(Math.abs(found.high - (-1.58 + halfWidth))).toBeLessThan(0.03)
  })

  it('has the tails of Student’s t at few degrees of freedom', () => {
    // JCGM 100:2008 table G.2 (from memory): t.975.
    for (const [degreesOfFreedom, t] of [
      [3, 3.182],
      [4, 2.776],
      [10, 2.228],
    ]) {
      const repeatability = repeatabilityOf([], `tails/${degreesOfFreedom}`, settings, { sd: 1, degreesOfFreedom })
      const effect = effectOf([{ consumption: exact('a', degreesOfFreedom, 0), factor: 1 }], 'raw', repeatability)
      const errors = totalError(effect)
      expect(Math.abs(quantile(errors, 0.975) - t) / t).toBeLessThan(0.02)
      expect(Math.abs(quantile(errors, 0.025) + t) / t).toBeLessThan(0.02)
    }
  })

  it('is that of a fuel test with a control vehicle', () => {
    // SAE J1321 (1986) arithmetic, formula from memory, computed in published-checks 7.9: mean T/C ratios 1.01000 and
    // 0.957667 save 5.1815 % and improve 5.4647 %. Means of logarithms differ from it by half the variances, 1e-6.
    const log = (ratios: number[]): number[] => ratios.map(Math.log)
    const { estimate } = differenceOf(log([0.958, 0.955, 0.96]), log([1.01, 1.012, 1.008]))
    expect(consumptionPct(estimate)).toBeCloseTo(-5.1815, 3)
    expect(distancePerFuelPct(estimate)).toBeCloseTo(5.4647, 3)
  })

  it('says both conventions: a tenth more distance per litre is 9.1 % less fuel', () => {
    // g = s/(1−s): 20 % saved is 25 % more distance; 10 % more distance is 1 − 1/1.1 = 9.0909 % saved.
    expect(consumptionPct(-Math.log(1.1))).toBeCloseTo(-9.0909, 4)
    expect(distancePerFuelPct(-Math.log(1.1))).toBeCloseTo(10, 10)
    expect(distancePerFuelPct(Math.log(0.8))).toBeCloseTo(25, 10)
    const { consumptionChangePct: c, distancePerFuelChangePct: d } = intervalsOf(
      -0.05,
      Float64Array.from([-0.02, 0, 0.02]),
    )
    expect(100 * (1 / (1 + c.low95 / 100) - 1)).toBeCloseTo(d.high95, 10)
    expect(100 * (1 / (1 + c.high95 / 100) - 1)).toBeCloseTo(d.low95, 10)
    expect(d.low95).toBeLessThan(d.estimate)
  })

  it('gives a run that is known less well less weight, but not for what all runs share', () => {
    const wide = exact('a', 1, 0.3)
    wide.errors = { ...wide.errors, fills: drawsOf('wide', DRAWS, 1).map((z) => 0.03 * z) }
    const shared = drawsOf('shared', DRAWS, 1).map((z) => 0.2 * z)
    const runs = [exact('a', 0, 0), wide, exact('b', 0, 0), exact('b', 1, 0)].map((c) => ({
      ...c,
      errors: { ...c.errors, pump_meter: shared },
    }))
    const terms = differenceTerms(runs.slice(0, 2), runs.slice(2), 'raw', 0.01)
    expect(terms.reduce((sum, t) => sum + t.factor, 0)).toBeCloseTo(0, 12)
    expect(terms[1].factor).toBeLessThan(0.3)
    expect(terms[2].factor).toBeCloseTo(-0.5, 1)
  })
})

describe('Monte Carlo over several sources', () => {
  const effectWith = (errors: Partial<LogEffect['errors']>): LogEffect => ({
    ...effectOf([], 'raw', repeatabilityOf([], 'none', settings, { sd: 1, degreesOfFreedom: 1e6 })),
    errors: {
      fills: zeros,
      pump_meter: zeros,
      fuel_temperature: zeros,
      distance: zeros,
      conditions: zeros,
      between_routes: zeros,
      ...errors,
    },
  })
  const normal = (name: string): Float64Array => drawsOf(`jcgm/${name}`, DRAWS, 1)
  const rectangular = (name: string, sd = 1): Float64Array =>
    normal(name).map((z) => sd * Math.sqrt(3) * (2 * studentCdf(z, Number.POSITIVE_INFINITY) - 1))
  const four = (of: (name: string) => Float64Array): LogEffect =>
    effectWith({ fills: of('1'), distance: of('2'), conditions: of('3'), pump_meter: of('4') })

  // JCGM 101:2008, 9.2 (from memory): Y = X1 + X2 + X3 + X4; tolerances of 20 000 draws in 24 pairings.
  it.each([
    { what: 'four normal', effect: four(normal), u: 2, half: 3.92, tolerance: 0.03 },
    { what: 'four rectangular', effect: four(rectangular), u: 2, half: 3.88, tolerance: 0.03 },
    {
      what: 'three rectangular and one ten times as wide',
      effect: four((name) => rectangular(name, name === '4' ? 10 : 1)),
      u: 10.1,
      half: 17.0,
      tolerance: 0.1,
    },
  ])('is JCGM 101, 9.2: $what', ({ effect, u, half, tolerance }) => {
    const errors = totalError(effect)
    expect(Math.abs(standardDeviation(errors) - u)).toBeLessThan(0.06)
    expect(Math.abs(quantile(errors, 0.975) - half)).toBeLessThan(tolerance)
    expect(Math.abs(quantile(errors, 0.025) + half)).toBeLessThan(tolerance)
  })

  it('shares the variance out among its sources, summing to 1', () => {
    const shares = uncertaintyShares(
      effectWith({ fills: normal('a').map((z) => 3 * z), conditions: normal('b').map((z) => 4 * z) }),
    )
    // 9 and 16 of 25.
    expect(shares.fills).toBeCloseTo(0.36, 6)
    expect(shares.conditions).toBeCloseTo(0.64, 6)
    expect(Object.values(shares).reduce((sum, s) => sum + s, 0)).toBeCloseTo(1, 12)
  })
})
