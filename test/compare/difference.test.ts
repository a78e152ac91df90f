import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { conditionsDifference, scoresAt } from '../../src/compare/difference.ts'
import { verdictOf } from '../../src/compare/verdict.ts'

/** Demands whose ratio is 1 + mean % with a normal spread of sd %. */
function pairOf(meanPct: number, sdPct: number, count = 4000): [Float64Array, Float64Array] {
  const z = drawsOf('difference', count, 1)
  return [new Float64Array(count).fill(500), z.map((d) => 500 * (1 + (meanPct + sdPct * d) / 100))]
}

describe('the difference of an ensemble of known shape', () => {
  it('has the mean, the 90 % interval and the score of the normal distribution', () => {
    const d = conditionsDifference(...pairOf(0.5, 0.4), 1)
    expect(d.meanPct).toBeCloseTo(0.5, 6)
    // 1.645 standard deviations: JCGM 100 Table G.2, one-sided 95 %, infinite degrees of freedom.
    expect(d.low90Pct).toBeCloseTo(0.5 - 1.645 * 0.4, 2)
    expect(d.high90Pct).toBeCloseTo(0.5 + 1.645 * 0.4, 2)
    // P(−1 < N(0.5, 0.4) < 1) = Φ(1.25) − Φ(−3.75) = 0.8944 − 0.0001; any normal table.
    expect(d.score).toBeCloseTo(89.43, 0)
    expect(d.tightestMarginPct).toBe(d.high90Pct)
  })

  it.each([
    { what: 'narrow about zero', mean: 0, sd: 0.3, want: 'comparable' },
    { what: 'narrow and off', mean: 4, sd: 0.3, want: 'adjustable' },
    { what: 'wide about zero', mean: 0, sd: 1.5, want: 'undecided' },
    { what: 'narrow but beyond what the model carries', mean: 11, sd: 0.3, want: 'not-comparable' },
  ])('$what is $want', ({ mean, sd, want }) => {
    expect(verdictOf(conditionsDifference(...pairOf(mean, sd), 1), 1).verdict).toBe(want)
  })

  it('passes exactly when the margin reaches the tightest margin', () => {
    const [a, b] = pairOf(0.6, 0.3)
    const { tightestMarginPct } = conditionsDifference(a, b, 1)
    const verdictAt = (margin: number): string => verdictOf(conditionsDifference(a, b, margin), margin).verdict
    expect(verdictAt(tightestMarginPct)).toBe('comparable')
    expect(verdictAt(tightestMarginPct - 1e-9)).not.toBe('comparable')
  })

  it('at several margins the scores are those of each margin alone', () => {
    const [a, b] = pairOf(0.6, 0.8)
    const margins = [0, 0.1, 0.6, 1, 1.5, 2, 9]
    expect(scoresAt(a, b, margins)).toEqual(margins.map((margin) => conditionsDifference(a, b, margin).score))
    // P(−1 < N(0.6, 0.8) < 1) = Φ(0.5) − Φ(−2) = 0.6915 − 0.0228; any normal table.
    expect(scoresAt(a, b, [1])[0]).toBeCloseTo(66.87, 0)
  })

  it('the bounds: an interval of twice the margin is known well enough, ten percent is too much', () => {
    const of = (meanPct: number, half: number) =>
      verdictOf({ meanPct, low90Pct: meanPct - half, high90Pct: meanPct + half, tightestMarginPct: meanPct + half }, 1)
    expect([of(5, 1), of(5, 1.25), of(2, 1.25), of(10, 0.5), of(9.5, 0.5)]).toEqual([
      { verdict: 'adjustable', cause: null },
      { verdict: 'not-comparable', cause: 'surely-different' },
      { verdict: 'undecided', cause: 'not-known-well-enough' },
      { verdict: 'not-comparable', cause: 'too-large' },
      { verdict: 'adjustable', cause: null },
    ])
  })

  it('a wider margin never makes a verdict worse', () => {
    const rank = { comparable: 0, adjustable: 1, undecided: 2, 'not-comparable': 3, unknown: 4 }
    for (const meanPct of [0, 0.8, 2, 5, 9.9, 10, 12, 20]) {
      for (const half of [0.2, 0.9, 2, 6, 8, 15]) {
        const [low90Pct, high90Pct] = [meanPct - half, meanPct + half]
        const difference = { meanPct, low90Pct, high90Pct, tightestMarginPct: meanPct + half }
        const ranks = [0.5, 1, 2, 4, 7, 9, 12, 20, 40].map((margin) => rank[verdictOf(difference, margin).verdict])
        expect(ranks).toEqual(ranks.toSorted((a, b) => b - a))
      }
    }
  })
})
