import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { mean, quantile } from '../../src/base/statistics.ts'

const count = 400
const correlation = (a: Float64Array, b: Float64Array) => mean(a.map((value, i) => value * b[i]))

describe('drawsOf', () => {
  it('gives the same draws for the same name, count and seed, and others for another', () => {
    const draws = drawsOf('station KABC', count, 1)
    expect(drawsOf('station KABC', count, 1)).toEqual(draws)
    expect(drawsOf('station KABD', count, 1)).not.toEqual(draws)
    expect(drawsOf('station KABC', count, 2)).not.toEqual(draws)
    expect(drawsOf('station KABC', count - 1, 1)).toHaveLength(count - 1)
  })

  it('is not changed by what a caller does with the draws', () => {
    const first = drawsOf('mass', count, 1)
    const before = first.slice()
    first.fill(0)
    expect(drawsOf('mass', count, 1)).toEqual(before)
  })

  // McKay, Beckman, Conover 1979: one draw from each of 400 equally likely parts, so mean and spread are right by
  // construction (rounding alone is left); quantiles to a part's width, 0.025 at 1.645.
  it('has mean 0, mean square 1 and the normal quantiles', () => {
    const draws = drawsOf('mass', count, 1)
    expect(mean(draws)).toBeCloseTo(0, 12)
    expect(mean(draws.map((d) => d * d))).toBeCloseTo(1, 12)
    expect(Math.abs(quantile(draws, 0.95) - 1.644854)).toBeLessThan(0.025)
    expect(Math.abs(quantile(draws, 0.025) + 1.959964)).toBeLessThan(0.045)
  })

  // Chance correlation of 400 pairs has a standard deviation of 0.05; of 780 pairs of names about 0.3 % lie beyond 0.15 and
  // none should beyond 0.25.
  it('orders different names independently, however alike they are', () => {
    const all = Array.from({ length: 40 }, (_, i) => drawsOf(`run-${i}/elevation`, count, 1))
    const pairs = all.flatMap((a, i) => all.slice(i + 1).map((b) => correlation(a, b)))
    expect(pairs).toHaveLength(780)
    expect(Math.max(...pairs.map(Math.abs))).toBeLessThan(0.25)
    expect(pairs.filter((r) => Math.abs(r) > 0.15).length).toBeLessThan(12)
    // The spread itself: 0.05 to within 5 standard errors of 780 pairs.
    const spread = Math.sqrt(mean(pairs.map((r) => r * r)))
    expect(Math.abs(spread - 0.05)).toBeLessThan(0.0065)
  })

  // A generator of low quality shows as a correlation between neighbours; five standard deviations of 1/√400.
  it('has no memory from draw to draw', () => {
    for (const name of ['mass', 'wind exposure', 'station KABC']) {
      const draws = drawsOf(name, count, 7)
      expect(Math.abs(correlation(draws.subarray(1), draws.subarray(0, count - 1)))).toBeLessThan(0.25)
    }
  })
  it('has them whatever the count', () => {
    for (const size of [3, 37, 211]) {
      const draws = drawsOf('mass', size, 1)
      expect(mean(draws)).toBeCloseTo(0, 12)
      expect(mean(draws.map((d) => d * d))).toBeCloseTo(1, 12)
    }
    // The middle part of one has no spread to be scaled.
    expect([...drawsOf('mass', 1, 1)]).toEqual([0])
  })

  it('every order is as likely as every other', () => {
    // Six orders of three draws over 600 names: 100 each, standard deviation √(600·1/6·5/6) = 9.1; five of them are 46.
    const times = new Map<string, number>()
    for (let i = 0; i < 600; i++) {
      const order = Array.from(drawsOf(`source ${i}`, 3, 1), (d) => Math.sign(Math.round(d))).join()
      times.set(order, (times.get(order) ?? 0) + 1)
    }
    expect(times.size).toBe(6)
    for (const count of times.values()) expect(Math.abs(count - 100)).toBeLessThan(46)
  })
})
