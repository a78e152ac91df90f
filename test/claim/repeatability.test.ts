import jstat from 'jstat'
import { describe, expect, it } from 'vitest'
import { quantile } from '../../src/base/statistics.ts'
import { REPEATABILITY_PRIOR, repeatabilityOf } from '../../src/claim/model/repeatability.ts'

const settings = { draws: 2000, seed: 1 }
const alone = (deviations: number[]) =>
  deviations.map((d) => ({ squared: d * d, degreesOfFreedom: 1, knownVariance: 0 }))

/** Quantile of the scaled inverse chi-square distribution, as a standard deviation; by jstat. */
const posterior = (share: number, nu: number, sd: number): number =>
  sd * Math.sqrt(nu / jstat.chisquare.inv(1 - share, nu))

describe('what is believed of the repeatability', () => {
  // Gelman et al., Bayesian Data Analysis, 3.2 (from memory): ν0, s0² and n deviations d give the scaled inverse chi-square
  // with ν0 + n and (ν0·s0² + Σd²)/(ν0 + n). The grid of 400 points and the 2000 draws are good to half a percent.
  it.each([
    { what: 'the prior alone', deviations: [], prior: { sd: 0.007, degreesOfFreedom: 4 } },
    {
      what: 'repeats that agree with it',
      deviations: [0.008, -0.006, 0.007],
      prior: { sd: 0.007, degreesOfFreedom: 4 },
    },
    {
      what: 'repeats that scatter more',
      deviations: [0.03, -0.02, 0.025, 0.04],
      prior: { sd: 0.007, degreesOfFreedom: 4 },
    },
    { what: 'another prior', deviations: [0.5, -0.4], prior: { sd: 0.2, degreesOfFreedom: 9 } },
  ])('is the scaled inverse chi-square: $what', ({ deviations, prior }) => {
    const found = repeatabilityOf(alone(deviations), 'test', settings, prior)
    const nu = prior.degreesOfFreedom + deviations.length
    const squares = deviations.reduce((sum, d) => sum + d * d, 0)
    const sd = Math.sqrt((prior.degreesOfFreedom * prior.sd ** 2 + squares) / nu)
    for (const share of [0.025, 0.1, 0.5, 0.9, 0.975]) {
      expect(Math.abs(quantile(found.draws, share) / posterior(share, nu, sd) - 1)).toBeLessThan(0.005)
    }
    expect(found.median).toBe(quantile(found.draws, 0.5))
    expect(found.low95).toBe(quantile(found.draws, 0.025))
    expect(found.high95).toBe(quantile(found.draws, 0.975))
    expect(found.degreesOfFreedom).toBe(deviations.length)
  })

  it('the prior by itself is what its comment says: 0.5 to 1.7 % in nine of ten, 1 % in the root mean square', () => {
    const { draws } = repeatabilityOf([], 'test', settings)
    expect(REPEATABILITY_PRIOR).toEqual({ sd: 0.007, degreesOfFreedom: 4 })
    // Quantiles of 4/χ²(4), any table: χ² 9.488 and 0.711.
    expect(quantile(draws, 0.05)).toBeCloseTo(0.007 * Math.sqrt(4 / 9.488), 4)
    expect(quantile(draws, 0.95)).toBeCloseTo(0.007 * Math.sqrt(4 / 0.711), 4)
    // E[σ²] = ν·s²/(ν − 2) = 2·0.007²; its tail is heavy, so that draws are some percent short.
    const meanSquare = draws.reduce((sum, sd) => sum + sd * sd, 0) / draws.length
    expect(Math.abs(Math.sqrt(meanSquare) / 0.0099 - 1)).toBeLessThan(0.05)
  })

  it('what the known errors explain is not laid to it', () => {
    // Known variance s², as large as the scatter itself: what is left is the mode near 0, unlike with no known variance.
    const scatter = [0.02, -0.02, 0.02, -0.02, 0.02, -0.02].map((d) => ({ squared: d * d, degreesOfFreedom: 1 }))
    const of = (knownVariance: number): number =>
      repeatabilityOf(
        scatter.map((r) => ({ ...r, knownVariance })),
        'test',
        settings,
        { sd: 0.007, degreesOfFreedom: 1 },
      ).median
    expect(of(0.0004)).toBeLessThan(0.6 * of(0))
    expect(of(0.0002)).toBeLessThan(of(0))
    expect(of(0.0002)).toBeGreaterThan(of(0.0004))
  })

  it('with known errors it is prior times likelihood, by direct integration', () => {
    const residuals = [
      { squared: 0.03 ** 2, degreesOfFreedom: 0.5, knownVariance: 0.01 ** 2 },
      { squared: 0.004 ** 2, degreesOfFreedom: 0.75, knownVariance: 0.02 ** 2 },
    ]
    // Density of σ: Inv-χ²(ν0, s0²) of σ² brought to σ, σ^−(ν0+1)·exp(−ν0·s0²/2σ²), times Π (σ² + v)^(−d/2)·exp(−r²/2(σ² + v)).
    const [nu, s0] = [4, 0.007]
    const density = (sd: number): number =>
      sd ** -(nu + 1) *
      Math.exp((-nu * s0 * s0) / (2 * sd * sd)) *
      residuals.reduce((p, r) => {
        const v = sd * sd + r.knownVariance
        return p * v ** (-r.degreesOfFreedom / 2) * Math.exp(-r.squared / (2 * v))
      }, 1)
    const grid = Array.from({ length: 20_000 }, (_, i) => (i + 0.5) * 1e-5)
    const whole = grid.reduce((sum, sd) => sum + density(sd), 0)
    let below = 0
    const middle = grid.find((sd) => {
      below += density(sd)
      return below >= whole / 2
    })!
    const { median } = repeatabilityOf(residuals, 'test', settings, { sd: s0, degreesOfFreedom: nu })
    expect(Math.abs(median / middle - 1)).toBeLessThan(0.005)
  })

  it('has the scatter as observed beside it', () => {
    const found = repeatabilityOf(alone([0.03, 0.04]), 'test', settings)
    expect(found.observedSd).toBeCloseTo(Math.sqrt((9 + 16) / 2) / 100, 12)
    expect(repeatabilityOf([], 'test', settings).observedSd).toBeNaN()
  })

  it('other names are other draws of the same belief', () => {
    const one = repeatabilityOf([], 'one', settings)
    const other = repeatabilityOf([], 'other', settings)
    expect([...one.draws]).not.toEqual([...other.draws])
    expect(other.median).toBeCloseTo(one.median, 12)
  })
})
