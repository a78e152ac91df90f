import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { sum } from '../../src/base/statistics.ts'
import { pooled } from '../../src/claim/model/pooling.ts'

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

const betweenVariance = (of: ReturnType<typeof pooled>): number =>
  sum(of.betweenRoutes.map(({ probability, variance }) => probability * variance))

describe('pooled', () => {
  it('agrees with metafor on the BCG trials where there is no spread between them', () => {
    // The tests of the R package metafor, test_misc_metan_vs_rma.uni_with_dat.bcg.r, fixed effect; four decimals.
    const { estimate, weights } = pooled(LOG_RISK_RATIOS, VARIANCES, 1e-9)
    const standardError = Math.sqrt(sum(weights.map((w, i) => w * w * VARIANCES[i])))
    expect(estimate).toBeCloseTo(-0.4303, 4)
    expect(estimate - 1.959964 * standardError).toBeCloseTo(-0.5097, 4)
    expect(estimate + 1.959964 * standardError).toBeCloseTo(-0.3509, 4)
  })

  it('with a wide prior it comes near the random effects of the same trials', () => {
    // metafor, restricted maximum likelihood: −0.7145, spread 0.5597 (Viechtbauer, J. Statistical Software 36 (2010), table of
    // rma(measure = "RR") on dat.bcg, from memory). The mean over all that the spread may be lies a little above its most
    // likely value.
    const found = pooled(LOG_RISK_RATIOS, VARIANCES, 1)
    expect(Math.abs(found.estimate + 0.7145)).toBeLessThan(0.02)
    const spread = Math.sqrt(betweenVariance(found) / sum(found.weights.map((w) => w * w)))
    expect(spread).toBeGreaterThan(0.5597)
    expect(spread).toBeLessThan(0.75)
  })

  it('leaves a single estimate as it is', () => {
    const single = pooled([-0.04], [0.0009])
    expect(single).toEqual({ estimate: -0.04, weights: [1], betweenRoutes: [{ probability: 1, variance: 0 }] })
  })

  it('two estimates that agree leave room for a spread all the same, less than the prior', () => {
    const alike = pooled([-0.05, -0.051], [0.0001, 0.0001])
    // Half-normal of scale 1 %: mean square 1 %², halved for two roads.
    expect(betweenVariance(alike)).toBeGreaterThan(0)
    expect(betweenVariance(alike)).toBeLessThan(0.0001 / 2)
    const apart = pooled([-0.02, -0.09], [0.0001, 0.0001])
    expect(betweenVariance(apart)).toBeGreaterThan(betweenVariance(alike))
  })

  it('shifts with its estimates, and its weights sum to 1', () => {
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
          y.map((value) => value + 0.3),
          v,
        )
        expect(moved.estimate).toBeCloseTo(plain.estimate + 0.3, 9)
        expect(sum(plain.weights)).toBeCloseTo(1, 9)
        expect(plain.estimate).toBeGreaterThanOrEqual(Math.min(...y) - 1e-12)
        expect(plain.estimate).toBeLessThanOrEqual(Math.max(...y) + 1e-12)
      }),
    )
  })
})
