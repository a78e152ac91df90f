import { describe, expect, it } from 'vitest'
import { chiSquareTail } from '../../src/base/chi-square.ts'

describe('chiSquareTail', () => {
  // Critical values of any table of the distribution, e.g. NIST/SEMATECH e-Handbook 1.3.6.7.4, from memory; three decimals.
  it.each([
    { df: 1, x: 3.841, want: 0.05 },
    { df: 2, x: 5.991, want: 0.05 },
    { df: 3, x: 7.815, want: 0.05 },
    { df: 10, x: 18.307, want: 0.05 },
    { df: 1, x: 6.635, want: 0.01 },
    { df: 3, x: 11.345, want: 0.01 },
  ])('is $want beyond $x with $df degrees of freedom', ({ df, x, want }) => {
    expect(Math.abs(chiSquareTail(x, df) - want)).toBeLessThan(2e-5)
  })

  it('with two degrees of freedom is an exponential', () => {
    for (const x of [0.01, 1, 4, 20]) expect(Math.abs(chiSquareTail(x, 2) - Math.exp(-x / 2))).toBeLessThan(1e-9)
  })

  it('is 1 at nothing and has no answer for nonsense', () => {
    expect(chiSquareTail(0, 3)).toBe(1)
    expect(chiSquareTail(-1, 3)).toBe(1)
    expect(chiSquareTail(Number.POSITIVE_INFINITY, 3)).toBeCloseTo(0, 12)
    for (const x of [-1, 0, 1]) {
      expect(chiSquareTail(x, 0)).toBeNaN()
      expect(chiSquareTail(x, -2)).toBeNaN()
      expect(chiSquareTail(x, Number.NaN)).toBeNaN()
    }
    expect(chiSquareTail(Number.NaN, 2)).toBeNaN()
  })
})
