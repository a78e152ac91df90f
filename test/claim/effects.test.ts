import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { standardDeviation } from '../../src/base/statistics.ts'
import {
  consumptionPct,
  distancePerFuelPct,
  drawnErrors,
  effectOf,
  halfWidthOf,
  intervalsOf,
  type LogEffect,
  sourceVariances,
  type Term,
  varianceOf,
} from '../../src/claim/model/effects.ts'
import { contrastFactors, roadModel } from '../../src/claim/model/generalised.ts'
import type { Observation } from '../../src/claim/model/observation.ts'
import { type Scatter, scatterOf } from '../../src/claim/model/scatter.ts'
import { uncertaintyShares } from '../../src/claim/model/shares.ts'
import type { KnownSource } from '../../src/claim/types.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

/** A prior of no weight: the repeats alone count. */
const NO_PRIOR = { sd: 1e-3, degreesOfFreedom: 1e-9 }

/** A drive of a setup on day `day` whose consumption is known without error, in a session of its own. */
const exact = (setup: string, day: number, y: number, over: Partial<Observation> = {}): Observation => ({
  run: {
    id: `${setup}-${day}`,
    route: 0,
    setup,
    startTime: day * 86_400 + (setup === 'b' ? 7200 : 0),
    endTime: day * 86_400 + 3600,
    distanceM: 1e5,
    row: emptyRow(),
    demandDraws: null,
    nominalDemandJPerM: 1,
    nominalDragJPerM: 1,
    leftOut: null,
  },
  way: 'l',
  y,
  errors: [],
  conditions: null,
  session: `${setup}/${day}`,
  ...over,
})

/** A scatter that is known for certain. */
const certain = (repeatability: number, sessionShare = 0): Scatter => {
  const point = { repeatability, sessionShare, ways: {} }
  return { points: [{ point, probability: 1 }], centre: point }
}

function differenceOf(a: number[], b: number[]): { estimate: number; low: number; high: number } {
  const observations = [...a.map((y, i) => exact('a', i, y)), ...b.map((y, i) => exact('b', i, y))]
  const model = roadModel(observations)
  const scatter = scatterOf([model], NO_PRIOR)
  const factors = contrastFactors(model, scatter.centre, 'a', 'b')!
  const effect = effectOf(
    observations.map((observation, i) => ({ observation, factor: factors[i] })),
    scatter,
  )
  const half = halfWidthOf(effect)
  return { estimate: effect.estimate, low: effect.estimate - half, high: effect.estimate + half }
}

describe('an effect between two setups', () => {
  it('is the two-sample t interval where there is no other error: Student’s sleep data', () => {
    // Student 1908, as in R's `sleep` (from memory): means 0.75 and 2.33, pooled standard error 0.849091, 18 degrees of freedom.
    const g1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
    const g2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
    const halfWidth = 0.849091 * 2.100922 // t.975(18) = 2.100922, any t table
    const found = differenceOf(g1, g2)
    expect(found.estimate).toBeCloseTo(-1.58, 10)
    // The scatter's distribution stands at points 22 % apart.
    expect(Math.abs(found.low - (-1.58 - halfWidth))).toBeLessThan(0.01)
    expect(Math.abs(found.high - (-1.58 + halfWidth))).toBeLessThan(0.01)
  })

  it('has the tails of Student’s t at few degrees of freedom', () => {
    // JCGM 100:2008 table G.2 (from memory): t.975. A prior of ν degrees of freedom alone is Student's t with ν.
    for (const [degreesOfFreedom, t] of [
      [3, 3.182],
      [4, 2.776],
      [10, 2.228],
    ]) {
      const effect = effectOf(
        [{ observation: exact('a', 0, 0), factor: 1 }],
        scatterOf([], { sd: 1, degreesOfFreedom }),
      )
      expect(Math.abs(halfWidthOf(effect) - t) / t).toBeLessThan(0.005)
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
    const effect = effectOf([{ observation: exact('a', 0, -0.05), factor: 1 }], certain(0.01))
    const { consumptionChangePct: c, distancePerFuelChangePct: d } = intervalsOf(effect)
    expect(100 * (1 / (1 + c.low95 / 100) - 1)).toBeCloseTo(d.high95, 10)
    expect(100 * (1 / (1 + c.high95 / 100) - 1)).toBeCloseTo(d.low95, 10)
    // ±1.96 standard deviations of the logarithm (JCGM 100 table G.2).
    expect(c.low95).toBeCloseTo(100 * Math.expm1(-0.05 - 0.0195996), 4)
    expect(d.low95).toBeLessThan(d.estimate)
  })
})

const named = (source: KnownSource, name: string, sd: number) => ({ source, name, sd })

describe('the errors of an effect', () => {
  const a = exact('a', 0, 0.5, {
    errors: [named('fills', 'x', 0.01)],
    conditions: drawsOf('test/conditions', 400, 1).map((z) => 0.04 * z),
  })
  const b = exact('b', 1, 0.2, { errors: [named('distance', 'y', 0.02)] })
  const terms: Term[] = [
    { observation: a, factor: 1 },
    { observation: b, factor: -1 },
  ]
  const effect: LogEffect = effectOf(terms, certain(0.02))

  it('are those of the drives, in all the square root of the sum of squares', () => {
    // 1 % fills, 2 % distance, 4 % conditions and √2·2 % repeatability: 1 + 4 + 16 + 8 = 29.
    expect(effect.estimate).toBeCloseTo(0.3, 12)
    const variances = sourceVariances(effect)
    expect(variances.fills).toBeCloseTo(0.0001, 12)
    expect(variances.distance).toBeCloseTo(0.0004, 12)
    expect(variances.conditions).toBeCloseTo(0.0016, 12)
    expect(variances.repeatability).toBeCloseTo(0.0008, 12)
    expect(varianceOf(effect)).toBeCloseTo(0.0029, 12)
    expect(halfWidthOf(effect)).toBeCloseTo(1.959964 * Math.sqrt(0.0029), 6)
    expect(halfWidthOf(effect, 0.95, { conditions: 0 })).toBeCloseTo(1.959964 * Math.sqrt(0.0013), 6)
    expect(halfWidthOf(effect, 0.95, { fills: 5 })).toBeCloseTo(1.959964 * Math.sqrt(0.0053), 6)
    expect(uncertaintyShares(effect).conditions).toBeCloseTo(16 / 29, 10)
  })

  it('of one name are one error: they cancel in a difference, and add up in a sum', () => {
    const shared = [0, 1].map((day) => exact('a', day, 0, { errors: [named('pump_meter', 'pump', 0.3)] }))
    const of = (factors: number[]): number =>
      sourceVariances(
        effectOf(
          shared.map((observation, i) => ({ observation, factor: factors[i] })),
          certain(0.001),
        ),
      ).pump_meter
    expect(of([1, -1])).toBe(0)
    expect(of([0.5, 0.5])).toBeCloseTo(0.09, 12)
    expect(uncertaintyShares(effectOf([], certain(0.01))).pump_meter).toBe(0)
  })

  it('of a chain of fills only the two ends count', () => {
    // Fill k ends drive k and begins the next: 0.12 l of 8 l, √2 for a chain of any length, summed up.
    const sd = 0.12 / 8
    const chain = [0, 1, 2].map((k) =>
      exact('a', k, 0, { errors: [named('fills', `fill ${k}`, sd), named('fills', `fill ${k + 1}`, -sd)] }),
    )
    const together = effectOf(
      chain.map((observation) => ({ observation, factor: 1 })),
      certain(0.001),
    )
    expect(Math.sqrt(sourceVariances(together).fills)).toBeCloseTo(Math.SQRT2 * sd, 12)
  })

  it('drives of one session have a part of their repeatability in common, which their number does not thin', () => {
    const six = Array.from({ length: 6 }, (_, i) => exact('a', i, 0, { session: 'one go' }))
    const meanOf = (observations: Observation[], share: number): number =>
      sourceVariances(
        effectOf(
          observations.map((observation) => ({ observation, factor: 1 / 6 })),
          certain(0.01, share),
        ),
      ).repeatability / square(0.01)
    expect(meanOf(six, 0)).toBeCloseTo(1 / 6, 12)
    expect(meanOf(six, 0.25)).toBeCloseTo(0.25 + 0.75 / 6, 12)
    const days = Array.from({ length: 6 }, (_, i) => exact('a', i, 0))
    expect(meanOf(days, 0.25)).toBeCloseTo(1 / 6, 12)
  })

  it('drawn one by one have the same spread', () => {
    const draws = drawnErrors(effect, new Float64Array(400).fill(0.02), claimSettings())
    // 400 draws of four sources: chance correlations of some percent.
    expect(Math.abs(standardDeviation(draws) / Math.sqrt(0.0029) - 1)).toBeLessThan(0.1)
  })
})

const square = (x: number): number => x * x
