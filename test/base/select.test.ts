import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { nthOf } from '../../src/base/select.ts'
import { quantile, quantileSorted } from '../../src/base/statistics.ts'

const numbers = fc.array(fc.double({ noNaN: true, min: -1e6, max: 1e6 }), { minLength: 1, maxLength: 200 })
const ascending = (values: number[]): number[] => [...values].sort((a, b) => a - b)

describe('the value at a rank', () => {
  it('is what the sorted values have there', () => {
    fc.assert(
      fc.property(numbers, fc.nat(), (values, seed) => {
        const rank = seed % values.length
        expect(nthOf(Float64Array.from(values), rank)).toBe(Float64Array.from(values).sort()[rank])
      }),
    )
  })

  it('leaves none smaller behind it, so that the next rank is the least of the rest', () => {
    fc.assert(
      fc.property(numbers, fc.nat(), (values, seed) => {
        const rank = seed % values.length
        const moved = Float64Array.from(values)
        const value = nthOf(moved, rank)
        expect(moved.subarray(rank).every((v) => v >= value)).toBe(true)
        expect(moved.subarray(0, rank).every((v) => v <= value)).toBe(true)
      }),
    )
  })

  it('puts NaN last', () => {
    expect(nthOf(Float64Array.of(3, Number.NaN, 1, 2), 2)).toBe(3)
    expect(nthOf(Float64Array.of(3, Number.NaN, 1, 2), 3)).toBeNaN()
  })

  it('comes to an end in the order that makes every pivot the largest left', () => {
    // Musser, "Introspective sorting and selection algorithms", Software: Practice and Experience 27 (1997) 983: an order
    // made by answering each comparison against the pivot. Here it is made by swapping back what the middle pivot chose.
    const count = 4096
    const worst = Float64Array.from({ length: count }, (_, i) => i)
    for (let size = 2; size <= count; size++) {
      const middle = (size - 1) >> 1
      const last = worst[size - 1]
      worst[size - 1] = worst[middle]
      worst[middle] = last
    }
    expect(nthOf(worst.slice(), 0)).toBe(0)
    expect(nthOf(worst.slice(), count >> 1)).toBe(count >> 1)
  })
})

describe('quantiles of few and of many', () => {
  it('are those of the sorted values, to the last digit', () => {
    fc.assert(
      fc.property(numbers, fc.double({ min: 0, max: 1, noNaN: true }), (values, share) => {
        expect(quantile(values, share)).toBe(quantileSorted(ascending(values), share))
      }),
    )
  })

  it('of more than can be put in place by hand: NaN where one is NaN, and outside 0 to 1', () => {
    const many = Float64Array.from({ length: 100 }, (_, i) => i)
    expect(quantile(many, 0.25)).toBe(24.75)
    expect(quantile(many, 1)).toBe(99)
    expect(quantile(many, 1.01)).toBeNaN()
    many[50] = Number.NaN
    expect(quantile(many, 0.25)).toBeNaN()
  })
})
