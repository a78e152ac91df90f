import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { pooled } from '../../src/claim/pooling.ts'

/**
 * BCG vaccine trials (Colditz et al. 1994; data set dat.bcg of the R package metadat, from memory): cases and others,
 * vaccinated and control.
 */
const BCG = [
  [4, 119, 11, 128],
  [6, 300, 29, 274],
  [3, 228, 11, 209],
  [62, 13536, 248, 12619],
  [33, 5036, 47, 5761],
  [180, 1361, 372, 1079],
  [8, 2537, 10, 619],
  [505, 87886, 499, 87892],
  [29, 7470, 45, 7232],
  [17, 1699, 65, 1600],
  [186, 50448, 141, 27197],
  [5, 2493, 3, 2338],
  [27, 16886, 29, 17825],
]

const LOG_RISK_RATIOS = BCG.map(([a, b, c, d]) => Math.log(a / (a + b) / (c / (c + d))))
const VARIANCES = BCG.map(([a, b, c, d]) => 1 / a - 1 / (a + b) + 1 / c - 1 / (c + d))

describe('pooled', () => {
  it('agrees with metafor on the BCG trials', () => {
    // The tests of the R package metafor, test_misc_metan_vs_rma.uni_with_dat.bcg.r; four decimals.
    const { common, q, degreesOfFreedom, estimate, standardError } = pooled(LOG_RISK_RATIOS, VARIANCES)
    expect(common.estimate).toBeCloseTo(-0.4303, 4)
    expect(common.estimate - 1.959964 * common.standardError).toBeCloseTo(-0.5097, 4)
    expect(common.estimate + 1.959964 * common.standardError).toBeCloseTo(-0.3509, 4)
    expect(common.estimate / common.standardError).toBeCloseTo(-10.6247, 4)
    expect(q).toBeCloseTo(152.233, 4)
    expect(degreesOfFreedom).toBe(12)
    expect(estimate).toBeCloseTo(-0.7141, 4)
    expect(estimate - 1.959964 * standardError).toBeCloseTo(-1.0644, 4)
    expect(estimate + 1.959964 * standardError).toBeCloseTo(-0.3638, 4)
  })

  it('finds the variance between those trials', () => {
    // Computed from the published formulas, with other software.
    const { betweenVariance, betweenShare, p } = pooled(LOG_RISK_RATIOS, VARIANCES)
    expect(betweenVariance).toBeCloseTo(0.30876, 6)
    expect(betweenShare).toBeCloseTo(0.9212, 4)
    expect(p).toBeLessThan(1e-9)
  })

  it('never takes a variance between below 0', () => {
    const alike = pooled([-0.05, -0.051], [0.0004, 0.0004])
    expect(alike.betweenVariance).toBe(0)
    expect(alike.betweenShare).toBe(0)
    expect(alike.standardError).toBeCloseTo(0.02 / Math.SQRT2, 12)
    expect(pooled([-0.05, -0.05], [1, 1]).betweenShare).toBe(0)
  })

  it('leaves a single estimate as it is', () => {
    expect(pooled([-0.04], [0.0009])).toMatchObject({
      estimate: -0.04,
      standardError: 0.03,
      betweenVariance: 0,
      weights: [1],
      p: Number.NaN,
      betweenShare: Number.NaN,
    })
  })

  it('shifts with its estimates, and its weights sum to 1 and lie between those alike and those by precision', () => {
    const estimates = fc.array(fc.tuple(fc.integer({ min: -100, max: 100 }), fc.integer({ min: 1, max: 400 })), {
      minLength: 2,
      maxLength: 8,
    })
    fc.assert(
      fc.property(estimates, (pairs) => {
        const y = pairs.map(([value]) => value / 1000)
        const v = pairs.map(([, variance]) => variance / 1e6)
        const plain = pooled(y, v)
        const moved = pooled(
          y.map((value) => value + 1),
          v,
        )
        expect(moved.estimate).toBeCloseTo(plain.estimate + 1, 9)
        expect(moved.betweenVariance).toBeCloseTo(plain.betweenVariance, 9)
        expect(plain.weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 12)
        expect(plain.standardError).toBeGreaterThanOrEqual(plain.common.standardError - 1e-15)
        expect(plain.estimate).toBeGreaterThanOrEqual(Math.min(...y) - 1e-12)
        expect(plain.estimate).toBeLessThanOrEqual(Math.max(...y) + 1e-12)
      }),
    )
  })
})
