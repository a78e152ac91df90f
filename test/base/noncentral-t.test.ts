import { describe, expect, it } from 'vitest'
import { noncentralTCdf } from '../../src/base/noncentral-t.ts'
import { studentCdf } from '../../src/base/student.ts'

describe('the noncentral t distribution', () => {
  it.each([1, 2, 4, 7.5, 30, 1000])('is Student’s without noncentrality, with %d degrees of freedom', (df) => {
    for (const t of [-3, -0.4, 0, 1, 2.5]) expect(noncentralTCdf(t, df, 0)).toBeCloseTo(studentCdf(t, df), 6)
  })

  it('mirrors: P(T ≤ t; δ) = 1 − P(T ≤ −t; −δ)', () => {
    expect(noncentralTCdf(1.3, 5, 0.7)).toBeCloseTo(1 - noncentralTCdf(-1.3, 5, -0.7), 9)
  })

  it('is NaN for what is not a number and for no degrees of freedom', () => {
    expect(noncentralTCdf(Number.NaN, 4, 1)).toBeNaN()
    expect(noncentralTCdf(1, 0, 1)).toBeNaN()
  })

  // Another implementation: scipy 1.10, stats.nct.cdf (Boost's series).
  it.each([
    [-2, 1, -1.5, 0.5089801],
    [0.7, 1, 0.5, 0.51763402],
    [2.2, 1, 2, 0.40487912],
    [5, 1, 4, 0.43276644],
    [-2, 3, -1.5, 0.40032373],
    [0.7, 3, 0.5, 0.55503727],
    [2.2, 3, 2, 0.49896635],
    [5, 3, 4, 0.58626254],
    [-2, 8.5, -1.5, 0.34602709],
    [0.7, 8.5, 0.5, 0.57028899],
    [2.2, 8.5, 2, 0.54633565],
    [5, 8.5, 4, 0.70350661],
    [-2, 40, -1.5, 0.31713998],
    [0.7, 40, 0.5, 0.57731835],
    [2.2, 40, 2, 0.57169364],
    [5, 40, 4, 0.80113622],
    [-2, 300, -1.5, 0.30970744],
    [0.7, 300, 0.5, 0.57899982],
    [2.2, 300, 2, 0.57823058],
    [5, 300, 4, 0.83540056],
  ])('at %d with %d degrees of freedom about %d is %d', (t, df, delta, want) => {
    expect(Math.abs(noncentralTCdf(t, df, delta) - want)).toBeLessThan(1e-6)
  })

  it('is a shifted normal distribution where the spread is known', () => {
    // Φ(1.96 − 2.8) = Φ(−0.84) = 0.200454, any table.
    expect(noncentralTCdf(1.96, Number.POSITIVE_INFINITY, 2.8)).toBeCloseTo(0.200454, 6)
    expect(noncentralTCdf(1.96, 2e6, 2.8)).toBeCloseTo(0.200454, 5)
    expect(noncentralTCdf(-1.96, Number.POSITIVE_INFINITY, 2.8)).toBeCloseTo(
      studentCdf(-4.76, Number.POSITIVE_INFINITY),
      12,
    )
  })

  // scipy 1.17.1, nct.cdf. Far from the middle the integrand rises steeply: wide steps were off by 0.005 here.
  it.each([
    [8, 0.7, 20, 0.022266092257798152],
    [15, 0.7, 40, 0.015112515617648353],
    [30, 1, 40, 0.18266533485247138],
    [30, 4, 40, 0.13105745434628505],
    [8, 2, 20, 0.00229736632108317],
  ])('at a large noncentrality: t %d, %d degrees of freedom, δ %d', (t, df, delta, want) => {
    expect(Math.abs(noncentralTCdf(t, df, delta) - want)).toBeLessThan(1e-6)
  })

  it('goes from 0 to 1', () => {
    expect(noncentralTCdf(Number.NEGATIVE_INFINITY, 5, 1)).toBe(0)
    expect(noncentralTCdf(Number.POSITIVE_INFINITY, 5, 1)).toBe(1)
    expect(noncentralTCdf(1, 5, Number.NaN)).toBeNaN()
    expect(noncentralTCdf(1, -3, 1)).toBeNaN()
    expect(noncentralTCdf(Number.POSITIVE_INFINITY, 0, 1)).toBeNaN()
    expect(noncentralTCdf(Number.POSITIVE_INFINITY, 5, Number.NaN)).toBeNaN()
  })
})
