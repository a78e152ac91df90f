import { describe, expect, it } from 'vitest'
import { byCodeUnits, hypotenuse, power, powerOfTen, rootSumOfSquares } from '../../src/base/arithmetic.ts'

describe('power', () => {
  // Exact roots and powers; log10(2) = 0.30102999566398120 (from memory).
  it.each([
    { x: 2, y: 0.5, want: Math.SQRT2 },
    { x: 8, y: 1 / 3, want: 2 },
    { x: 4, y: -1.5, want: 0.125 },
    { x: 1024, y: 0.1, want: 2 },
    { x: 10, y: 0.3010299956639812, want: 2 },
    { x: 0, y: 5.25588, want: 0 },
    { x: 1, y: 5.25588, want: 1 },
  ])('$x to the power of $y', ({ x, y, want }) => {
    expect(Math.abs(power(x, y) - want)).toBeLessThanOrEqual(2e-15 * want)
  })

  it('is NaN below 0 and for NaN', () => {
    expect(power(-2, 0.5)).toBeNaN()
    expect(power(Number.NaN, 2)).toBeNaN()
  })
})

it('hypotenuse and root of the sum of squares: Pythagorean triples and quadruples', () => {
  expect([hypotenuse(3, 4), hypotenuse(-5, 12), hypotenuse(0, -7)]).toEqual([5, 13, 7])
  expect([rootSumOfSquares([1, 2, 2]), rootSumOfSquares([2, 3, 6]), rootSumOfSquares([])]).toEqual([3, 7, 0])
  expect(hypotenuse(Number.NaN, 1)).toBeNaN()
})

it('powers of ten are the numbers that the literals name', () => {
  const literals = [1e-22, 1e-9, 1e-3, 1e-2, 1e-1, 1, 10, 1e3, 1e15, 1e22]
  expect([-22, -9, -3, -2, -1, 0, 1, 3, 15, 22].map(powerOfTen)).toEqual(literals)
})

it('the order of texts is that of their code units', () => {
  // ASCII: digits, then capitals, then small letters; Latin-1 behind them.
  expect(['é', 'b', 'B', 'a', '10', '9'].sort(byCodeUnits)).toEqual(['10', '9', 'B', 'a', 'b', 'é'])
  expect(byCodeUnits('a', 'a')).toBe(0)
})
