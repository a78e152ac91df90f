import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { spreadOf } from '../../src/base/spread.ts'
import { mean, quantile } from '../../src/base/statistics.ts'

describe('mean and two quantiles at once', () => {
  it('are those of the plain functions, to the last bit', () => {
    const value = fc.oneof(
      fc.double(),
      fc.constantFrom(0, 1, -1, 5, Number.NaN, Number.POSITIVE_INFINITY),
      fc.double({ min: -1, max: 1 }),
    )
    const within3 = fc.double({ min: -3, max: 3, noNaN: true })
    const values = fc.oneof(
      fc.array(within3, { minLength: 256, maxLength: 600 }),
      // One value far out crowds all others into one bin.
      fc.array(within3, { minLength: 256, maxLength: 600 }).map((list) => [...list, 1e6]),
      fc.array(fc.constantFrom(1, 2, 2.5), { minLength: 256, maxLength: 400 }),
      fc.array(value, { maxLength: 400 }),
    )
    const share = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(values, share, share, (list, low, high) => {
        const column = Float64Array.from(list)
        expect(spreadOf(column, low, high)).toEqual({
          mean: mean(column),
          low: quantile(column, low),
          high: quantile(column, high),
        })
      }),
      { numRuns: 300 },
    )
  })

  const quantilePair = (values: Float64Array, lowShare: number, highShare: number): [number, number] => {
    const { low, high } = spreadOf(values, lowShare, highShare)
    return [low, high]
  }

  /** 0, 1, 2 … in a shuffled order. */
  const ranks = (count: number): Float64Array => Float64Array.from({ length: count }, (_, i) => (i * 7919) % count)

  // Type 7 of the ranks 0 to n − 1: the quantile at a share p is p·(n − 1), by definition.
  it.each([256, 301, 1500, 5003])('of %d ranks are the ranks themselves, ends included', (count) => {
    for (const [low, high] of [
      [0, 1],
      [0.05, 0.95],
      [0.5, 0.001],
      [1, 0],
    ]) {
      const [first, second] = quantilePair(ranks(count), low, high)
      expect(first).toBeCloseTo(low * (count - 1), 9)
      expect(second).toBeCloseTo(high * (count - 1), 9)
    }
  })

  it('of values alike are that value', () => {
    expect(quantilePair(new Float64Array(400).fill(7), 0, 0.9)).toEqual([7, 7])
    expect(quantilePair(new Float64Array(400).fill(0), 0.3, 1)).toEqual([0, 0])
  })

  it('do not exist beside NaN or outside 0 to 1', () => {
    const holed = ranks(400)
    holed[123] = Number.NaN
    expect(quantilePair(holed, 0.1, 0.9)).toEqual([Number.NaN, Number.NaN])
    const nan = [Number.NaN, Number.NaN]
    expect(quantilePair(ranks(400), -0.1, 1.1)).toEqual(nan)
    expect(quantilePair(ranks(401), -0.5, 1.5)).toEqual(nan)
    expect(quantilePair(ranks(400), Number.NaN, Number.NaN)).toEqual(nan)
    expect(quantilePair(Float64Array.of(1, 2, 3), -0.5, 1.5)).toEqual(nan)
  })

  it('with infinite values among them are those of the sorted values', () => {
    const wide = ranks(400)
    wide[5] = Number.POSITIVE_INFINITY
    wide[6] = Number.NEGATIVE_INFINITY
    expect(quantilePair(wide, 0.5, 1)).toEqual([quantile(wide, 0.5), Number.POSITIVE_INFINITY])
    const huge = ranks(400).map((r) => (r - 200) * 8e305)
    expect(quantilePair(huge, 0.05, 0.95)).toEqual([quantile(huge, 0.05), quantile(huge, 0.95)])
  })
})
