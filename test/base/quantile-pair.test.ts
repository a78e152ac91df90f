import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { quantile, quantilePair } from '../../src/base/statistics.ts'

describe('two quantiles at once', () => {
  it('are those of the sorted values, to the last bit', () => {
    const value = fc.oneof(
      fc.double(),
      fc.constantFrom(0, 1, -1, 5, Number.NaN, Number.POSITIVE_INFINITY),
      fc.double({ min: -1, max: 1 }),
    )
    const values = fc.oneof(
      fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 256, maxLength: 600 }),
      fc.array(fc.constantFrom(1, 2, 2.5), { minLength: 256, maxLength: 400 }),
      fc.array(value, { maxLength: 400 }),
    )
    const share = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(values, share, share, (list, low, high) => {
        const column = Float64Array.from(list)
        expect(quantilePair(column, low, high)).toEqual([quantile(column, low), quantile(column, high)])
      }),
      { numRuns: 300 },
    )
  })
})
