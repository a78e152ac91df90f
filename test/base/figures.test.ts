import { describe, expect, it } from 'vitest'
import { atLeast } from '../../src/base/figures.ts'

describe('a limit that is just kept', () => {
  // By hand: the smallest number of so many decimals that is not below the value.
  it.each([
    [2.04, 1, '2.1'],
    [2.05, 1, '2.1'],
    [2.0001, 1, '2.1'],
    [2, 1, '2.0'],
    [1.95, 1, '2.0'],
    [9.96, 1, '10.0'],
    [0.3, 1, '0.3'],
    [0, 1, '0.0'],
    [2.4, 0, '3'],
    [1.111, 2, '1.12'],
  ])('of %d with %i decimals is shown as %s', (value, decimals, want) => {
    expect(atLeast(value, decimals)).toBe(want)
  })

  it('is a dash where there is none', () => {
    expect(atLeast(null, 1)).toBe('–')
  })
})
