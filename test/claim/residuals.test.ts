import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { mean, quantile, standardDeviation } from '../../src/base/statistics.ts'
import type { RunConsumption } from '../../src/claim/consumption.ts'
import {
  differenceTerms,
  effectOf,
  intervalsOf,
  type LogEffect,
  residualsOf,
  totalError,
} from '../../src/claim/effects.ts'
import { repeatabilityOf } from '../../src/claim/repeatability.ts'
import { sourceVariances, uncertaintyShares } from '../../src/claim/shares.ts'
import { leastSquares } from '../base/fit.ts'
import { emptyRow } from './synthetic-campaign.ts'

const DRAWS = 2000
const settings = { draws: DRAWS, seed: 1 }
const none = new Float64Array(DRAWS)
const errorOf = (name: string, sd: number): Float64Array => drawsOf(`residuals/${name}`, DRAWS, 1).map((z) => sd * z)

interface Known {
  fills?: number
  distance?: number
  conditions?: number
}

/** A run on day `day` with these logarithms and independent known errors of these standard deviations. */
function run(
  day: number,
  raw: number,
  adjusted = raw,
  { fills = 0, distance = 0, conditions = 0 }: Known = {},
): RunConsumption {
  const errors = { fills: errorOf(`fills/${day}`, fills), pump_meter: none, fuel_temperature: none }
  return {
    run: {
      id: `day-${day}`,
      route: 0,
      setup: 'bare',
      startTime: day * 86_400,
      endTime: day * 86_400 + 3600,
      distanceM: 1e5,
      row: emptyRow(),
      demandDraws: null,
      nominalDemandJPerM: 1,
      nominalDragJPerM: 1,
      leftOut: null,
    },
    reading: { unit: 'l', read: 1, amount: 1, at15C: false, errors },
    unit: 'l',
    distanceM: 1e5,
    distanceBy: 'gps',
    logRaw: raw,
    logAdjusted: adjusted,
    errors: { ...errors, distance: errorOf(`distance/${day}`, distance) },
    conditions: errorOf(`conditions/${day}`, conditions),
    departure: drawsOf(`residuals/departure/${day}`, DRAWS, 1),
  }
}

const sum = (values: number[]): number => values.reduce((total, v) => total + v, 0)

describe('what repeats say of the repeatability', () => {
  const logs = [0.01, 0.04, -0.02, 0.03, 0.055]
  const days = [0, 1, 3, 4, 9]

  it('their squares and degrees of freedom are those of a sample: Σ/(n − 1) is its variance', () => {
    const residuals = residualsOf([logs.map((y, i) => run(days[i], y))], 'raw')
    expect(residuals.length).toBe(5)
    expect(sum(residuals.map((r) => r.degreesOfFreedom))).toBeCloseTo(4, 12)
    const variance = sum(residuals.map((r) => r.squared)) / 4
    expect(variance).toBeCloseTo(standardDeviation(logs) ** 2, 12)
  })

  it('with the trend taken out they are those of the straight line through them', () => {
    const residuals = residualsOf([logs.map((y, i) => run(days[i], y))], 'raw', () => true)
    // Another way to the same line: least squares by singular values, which the NIST reference sets hold.
    const line = leastSquares(
      days.map((day) => [1, day]),
      logs,
    )
    expect(sum(residuals.map((r) => r.degreesOfFreedom))).toBeCloseTo(3, 9)
    expect(sum(residuals.map((r) => r.squared))).toBeCloseTo(3 * line.residualSd ** 2, 12)
    days.forEach((day, i) => {
      const left = logs[i] - line.coefficients[0] - line.coefficients[1] * day
      expect(residuals[i].squared).toBeCloseTo(left ** 2, 12)
    })
  })

  it('a run by itself says nothing, nor do two with a trend between them, or runs of one instant', () => {
    expect(residualsOf([[run(0, 1)], [run(1, 2)]], 'raw')).toEqual([])
    expect(residualsOf([[run(0, 1), run(1, 2)]], 'raw', () => true)).toEqual([])
    expect(residualsOf([[]], 'raw')).toEqual([])
    // No slope can be had from one instant: the mean alone is taken out.
    const together = residualsOf([[run(5, 0.1), run(5, 0.3)]], 'raw', () => true)
    expect(together.map((r) => r.degreesOfFreedom)).toEqual([0.5, 0.5])
    expect(together[0].squared).toBeCloseTo(0.01, 12)
  })

  it('groups have their own levels, and only those named their trend', () => {
    const [one, other] = [
      [run(0, 0.1), run(1, 0.2), run(2, 0.3)],
      [run(5, 5.1), run(6, 5.2), run(7, 5.3)],
    ]
    const residuals = residualsOf([one, other], 'raw', (group) => group === other)
    expect(residuals.slice(0, 3).map((r) => Math.sqrt(r.squared))).toEqual([
      expect.closeTo(0.1, 12),
      expect.closeTo(0, 12),
      expect.closeTo(0.1, 12),
    ])
    for (const r of residuals.slice(3)) expect(r.squared).toBeCloseTo(0, 20)
  })

  it('adjusted are those at the reference conditions, with the errors of the conditions', () => {
    const known = { fills: 0.01, distance: 0.02, conditions: 0.03 }
    const group = [run(0, 0, 0.1, known), run(1, 0, 0.5, known), run(2, 0, 0.3, known)]
    const raw = residualsOf([group], 'raw')
    const adjusted = residualsOf([group], 'adjusted')
    expect(sum(raw.map((r) => r.squared))).toBe(0)
    expect(sum(adjusted.map((r) => r.squared))).toBeCloseTo(0.04 + 0.04, 12)
    // Independent known errors of 1, 2 and 3 %: variances add, whatever the mean takes out, per degree of freedom; three
    // draws' chance correlations leave some percent.
    expect(Math.abs(mean(raw.map((r) => r.knownVariance)) / 0.0005 - 1)).toBeLessThan(0.1)
    expect(Math.abs(mean(adjusted.map((r) => r.knownVariance)) / 0.0014 - 1)).toBeLessThan(0.1)
  })

  it('an error that all runs share is no part of what is known of their scatter', () => {
    const shared = errorOf('pump', 0.5)
    const group = [0, 1, 2].map((day) => {
      const one = run(day, 0)
      return { ...one, errors: { ...one.errors, pump_meter: shared } }
    })
    for (const { knownVariance } of residualsOf([group], 'raw')) expect(knownVariance).toBeLessThan(1e-20)
  })
})

describe('weights of runs in a difference', () => {
  it('are inverse variances of what a run has of its own, repeatability included', () => {
    const setup = [run(0, 0, 0, { fills: 0.03 }), run(1, 0, 0, { fills: 0.01 })]
    // Many sure runs on the other side, so that the centre of all hardly holds the error of either.
    const baseline = Array.from({ length: 40 }, (_, i) => run(10 + i, 0))
    const terms = differenceTerms(setup, baseline, 'raw', 0.02)
    // 1/(9 + 4) against 1/(1 + 4), in squares of 1 %.
    expect(terms[0].factor).toBeCloseTo(5 / 18, 1)
    expect(terms[1].factor).toBeCloseTo(13 / 18, 1)
    expect(sum(terms.slice(0, 2).map((t) => t.factor))).toBeCloseTo(1, 12)
    expect(sum(terms.slice(2).map((t) => t.factor))).toBeCloseTo(-1, 12)
    for (const t of terms.slice(2)) expect(t.factor).toBeCloseTo(-1 / 40, 3)
  })

  it('do not change with an error that all runs share, however large', () => {
    const shared = errorOf('pump', 0.5)
    const runs = [run(0, 0, 0, { fills: 0.03 }), run(1, 0, 0, { fills: 0.01 }), run(2, 0), run(3, 0)]
    const withShared = runs.map((one) => ({ ...one, errors: { ...one.errors, pump_meter: shared } }))
    const factors = (of: RunConsumption[]): number[] =>
      differenceTerms(of.slice(0, 2), of.slice(2), 'raw', 0.01).map((t) => t.factor)
    const plain = factors(runs)
    factors(withShared).forEach((factor, i) => {
      expect(factor).toBeCloseTo(plain[i], 9)
    })
  })

  it('adjusted weights see the errors of the conditions, raw ones do not', () => {
    const setup = [run(0, 0, 0, { conditions: 0.05 }), run(1, 0)]
    const baseline = Array.from({ length: 20 }, (_, i) => run(10 + i, 0))
    expect(differenceTerms(setup, baseline, 'raw', 0.01)[0].factor).toBeCloseTo(0.5, 9)
    expect(differenceTerms(setup, baseline, 'adjusted', 0.01)[0].factor).toBeLessThan(0.1)
  })
})

describe('the errors of an effect', () => {
  const repeatability = repeatabilityOf([], 'errors', settings, { sd: 0.02, degreesOfFreedom: 1e6 })
  const [a, b] = [run(0, 0.3, 0.5, { fills: 0.01, conditions: 0.04 }), run(1, 0.1, 0.2, { distance: 0.02 })]
  const effect = (kind: 'raw' | 'adjusted'): LogEffect =>
    effectOf(
      [
        { consumption: a, factor: 1 },
        { consumption: b, factor: -1 },
      ],
      kind,
      repeatability,
    )

  it('are the runs’ own times their factors', () => {
    expect(effect('raw').estimate).toBeCloseTo(0.2, 12)
    expect(effect('adjusted').estimate).toBeCloseTo(0.3, 12)
    const { errors, departure } = effect('adjusted')
    for (const k of [0, 5, 1999]) {
      expect(errors.fills[k]).toBeCloseTo(a.errors.fills[k], 14)
      expect(errors.distance[k]).toBeCloseTo(-b.errors.distance[k], 14)
      expect(errors.conditions[k]).toBeCloseTo(a.conditions![k], 14)
      expect(departure[k]).toBeCloseTo(a.departure[k] - b.departure[k], 14)
    }
    expect(effect('raw').errors.conditions.every((e) => e === 0)).toBe(true)
  })

  it('in all: the square root of the sum of squares', () => {
    // 1 % fills, 2 % distance, 4 % conditions and √2·2 % repeatability: 1 + 4 + 16 + 8 = 29.
    const spread = (kind: 'raw' | 'adjusted', scale = {}): number => standardDeviation(totalError(effect(kind), scale))
    expect(Math.abs(spread('adjusted') / Math.sqrt(0.0029) - 1)).toBeLessThan(0.03)
    expect(Math.abs(spread('raw') / Math.sqrt(0.0013) - 1)).toBeLessThan(0.03)
    expect(Math.abs(spread('adjusted', { conditions: 0 }) / Math.sqrt(0.0013) - 1)).toBeLessThan(0.03)
    expect(Math.abs(spread('adjusted', { repeatability: 0 }) / Math.sqrt(0.0021) - 1)).toBeLessThan(0.03)
    expect(Math.abs(spread('adjusted', { fills: 5 }) / Math.sqrt(0.0053) - 1)).toBeLessThan(0.03)
    expect(totalError(effect('raw')).length % DRAWS).toBe(0)
  })

  it('with another repeatability in place of its own', () => {
    const none = { ...repeatability, draws: new Float64Array(DRAWS) }
    expect(Math.abs(standardDeviation(totalError(effect('adjusted'), {}, none)) / Math.sqrt(0.0021) - 1)).toBeLessThan(
      0.03,
    )
  })

  it('each source in the variance: what shares are made of', () => {
    const variances = sourceVariances(effect('adjusted'))
    // A sample's divisor is n − 1: 2000 draws are 0.05 % wider.
    expect(Math.abs(variances.fills / 0.0001 - 1)).toBeLessThan(0.001)
    expect(Math.abs(variances.distance / 0.0004 - 1)).toBeLessThan(0.001)
    expect(Math.abs(variances.conditions / 0.0016 - 1)).toBeLessThan(0.001)
    expect(Math.abs(variances.repeatability / 0.0008 - 1)).toBeLessThan(0.05)
    expect([variances.pump_meter, variances.fuel_temperature, variances.between_routes]).toEqual([0, 0, 0])
    const shares = uncertaintyShares(effect('adjusted'))
    expect(shares.conditions).toBeCloseTo(16 / 29, 1)
    expect(shares.repeatability).toBeCloseTo(8 / 29, 1)
    expect(sum(Object.values(shares))).toBeCloseTo(1, 12)
  })

  it('what cancels but for rounding has no share; without any error all are 0', () => {
    const dusty = effect('raw')
    dusty.errors.pump_meter = errorOf('dust', 1e-12)
    expect(uncertaintyShares(dusty).pump_meter).toBe(0)
    const nothing = effectOf([], 'raw', repeatability)
    expect(Object.values(uncertaintyShares(nothing)).every((share) => share === 0)).toBe(true)
  })

  it('one draw has no spread, and says so by 0', () => {
    const one = (v: number): Float64Array => Float64Array.of(v)
    const single: LogEffect = {
      estimate: 0,
      errors: {
        fills: one(1),
        pump_meter: one(1),
        fuel_temperature: one(1),
        distance: one(1),
        conditions: one(1),
        between_routes: one(1),
      },
      departure: one(1),
      repeatability: { ...repeatability, draws: one(1) },
    }
    expect(Object.values(sourceVariances(single)).every((v) => v === 0)).toBe(true)
  })

  it('a lopsided error stays lopsided, on its own side', () => {
    const lopsided = effectOf([], 'raw', { ...repeatability, draws: new Float64Array(DRAWS) })
    lopsided.errors.fills = Float64Array.from({ length: DRAWS }, (_, k) => (k % 10 === 0 ? 0.09 : -0.01))
    const total = totalError(lopsided)
    expect(Math.max(...total)).toBeCloseTo(0.09, 12)
    expect(Math.min(...total)).toBeCloseTo(-0.01, 12)
    expect(total.filter((e) => e > 0).length / total.length).toBeCloseTo(0.1, 12)
  })

  it('the draws are left in their order', () => {
    const errors = Float64Array.of(0.03, -0.01, 0.02)
    intervalsOf(0, errors)
    expect([...errors]).toEqual([0.03, -0.01, 0.02])
  })

  it('an interval holds 95 % of the draws about the estimate', () => {
    const errors = errorOf('interval', 0.01)
    const { consumptionChangePct: c, distancePerFuelChangePct: d } = intervalsOf(0.05, errors)
    // ±1.96 standard deviations of the logarithm (JCGM 100 table G.2).
    expect(c.low95).toBeCloseTo(100 * Math.expm1(0.05 - 0.0196), 1)
    expect(c.high95).toBeCloseTo(100 * Math.expm1(0.05 + 0.0196), 1)
    expect(c.estimate).toBeCloseTo(100 * Math.expm1(0.05), 12)
    expect(d.estimate).toBeCloseTo(100 * Math.expm1(-0.05), 12)
    expect(d.low95).toBeCloseTo(100 * Math.expm1(-0.05 - 0.0196), 1)
    expect(quantile(errors, 0.025)).toBeLessThan(0)
  })
})
