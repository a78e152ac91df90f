import { describe, expect, it } from 'vitest'
import { normalQuantile, normalShareBelow } from '../../src/base/normal.ts'

describe('normalQuantile', () => {
  // Any table of the normal distribution; 1e-6: its six decimals.
  it.each([
    { p: 0.5, want: 0 },
    { p: 0.75, want: 0.67449 },
    { p: 0.95, want: 1.644854 },
    { p: 0.975, want: 1.959964 },
    { p: 0.995, want: 2.575829 },
    { p: 0.00135, want: -2.999977 },
  ])('is $want at $p', ({ p, want }) => {
    expect(Math.abs(normalQuantile(p) - want)).toBeLessThan(1e-6)
  })

  it('is odd about 0.5', () => {
    for (const p of [0.001, 0.1, 0.3]) expect(normalQuantile(p)).toBeCloseTo(-normalQuantile(1 - p), 7)
  })
})

describe('normalShareBelow', () => {
  // Any table of the normal distribution, four decimals.
  it.each([
    { z: 0, want: 0.5 },
    { z: 1, want: 0.8413 },
    { z: -1.5, want: 0.0668 },
    { z: 1.96, want: 0.975 },
    { z: -3, want: 0.0013 },
  ])('is $want below $z', ({ z, want }) => {
    expect(Math.abs(normalShareBelow(z) - want)).toBeLessThan(5.1e-5)
  })
})
