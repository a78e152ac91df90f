import { describe, expect, it } from 'vitest'
import { normalQuantile } from '../../src/base/normal.ts'
import { studentCdf, studentQuantile } from '../../src/base/student.ts'

// JCGM 100:2008, Table G.2, and any t table; from memory, recomputed by another program. Half of the last digit printed.
// One-sided 0.95, 0.975, 0.995 (three decimals); then two-sided 68.27, 95.45 and 99.73 % (two decimals).
const table: [number, number[], number[]][] = [
  [1, [6.314, 12.706, 63.657], [1.84, 13.97, 235.78]],
  [2, [2.92, 4.303, 9.925], [1.32, 4.53, 19.21]],
  [3, [2.353, 3.182, 5.841], [1.2, 3.31, 9.22]],
  [4, [2.132, 2.776, 4.604], [1.14, 2.87, 6.62]],
  [5, [2.015, 2.571, 4.032], [1.11, 2.65, 5.51]],
  [6, [1.943, 2.447, 3.707], [1.09, 2.52, 4.9]],
  [8, [1.86, 2.306, 3.355], [1.07, 2.37, 4.28]],
  [10, [1.812, 2.228, 3.169], [1.05, 2.28, 3.96]],
  [16, [1.746, 2.12, 2.921], [1.03, 2.17, 3.54]],
  [20, [1.725, 2.086, 2.845], [1.03, 2.13, 3.42]],
  [30, [1.697, 2.042, 2.75], [1.02, 2.09, 3.27]],
  [120, [1.658, 1.98, 2.617], [1, 2.02, 3.06]],
  [Number.POSITIVE_INFINITY, [1.645, 1.96, 2.576], [1, 2, 3]],
]

describe('studentQuantile', () => {
  it.each(table)('has the values of JCGM 100 Table G.2 for %d degrees of freedom', (df, oneSided, twoSided) => {
    ;[0.95, 0.975, 0.995].forEach((p, i) => {
      expect(Math.abs(studentQuantile(p, df) - oneSided[i])).toBeLessThan(0.00051)
    })
    ;[0.6827, 0.9545, 0.9973].forEach((share, i) => {
      expect(Math.abs(studentQuantile((1 + share) / 2, df) - twoSided[i])).toBeLessThan(0.0051)
    })
  })

  // scipy 1.10.1, t.ppf: not whole, in the far tail, and very many degrees of freedom. 1e-7: the library's accuracy.
  it.each([
    { p: 0.95, df: 17.7765, want: 1.7352455118799648 },
    { p: 0.9999999, df: 3, want: 222.57159098625124 },
    { p: 0.975, df: 1e6, want: 1.959966356814107 },
  ])('is $want at $p with $df degrees of freedom', ({ p, df, want }) => {
    expect(Math.abs(studentQuantile(p, df) / want - 1)).toBeLessThan(1e-7)
  })

  it('joins the normal distribution without a step', () => {
    expect(Math.abs(studentQuantile(0.95, 1e6) - studentQuantile(0.95, 1e6 + 1))).toBeLessThan(3e-6)
    expect(studentQuantile(0.95, 1e12)).toBe(normalQuantile(0.95))
  })

  it('is odd about 0.5 and does not exist outside its range', () => {
    expect(studentQuantile(0.5, 4)).toBe(0)
    expect(studentQuantile(0.025, 4)).toBeCloseTo(-studentQuantile(0.975, 4), 9)
    for (const p of [0, 1, -0.1, 1.1, Number.NaN]) expect(studentQuantile(p, 4)).toBeNaN()
    for (const df of [0, -1, Number.NaN]) expect(studentQuantile(0.9, df)).toBeNaN()
  })
})

describe('studentCdf', () => {
  // scipy 1.10.1, t.cdf. 1e-7: the library's stated accuracy; far less in the tails.
  it.each([
    { t: -12, df: 10, want: 1.460704412384992e-7, tolerance: 1e-13 },
    { t: -2.44968, df: 17.7765, want: 0.01245128040337819, tolerance: 1e-7 },
    { t: -1.96, df: 1e4, want: 0.025011760115916513, tolerance: 1e-7 },
    { t: -1, df: 1e6, want: 0.15865537491678916, tolerance: 1e-7 },
  ])('is $want at $t with $df degrees of freedom', ({ t, df, want, tolerance }) => {
    expect(Math.abs(studentCdf(t, df) - want)).toBeLessThan(tolerance)
  })

  it('is undone by the quantile', () => {
    for (const df of [1, 2.5, 9, 100]) {
      for (const p of [0.001, 0.2, 0.7, 0.99]) expect(studentCdf(studentQuantile(p, df), df)).toBeCloseTo(p, 7)
    }
  })

  it('reaches 0 and 1 at infinity and does not exist for NaN', () => {
    expect(studentCdf(Number.POSITIVE_INFINITY, 3)).toBe(1)
    expect(studentCdf(Number.NEGATIVE_INFINITY, 3)).toBe(0)
    expect(studentCdf(Number.NaN, 3)).toBeNaN()
    expect(studentCdf(1, 0)).toBeNaN()
  })

  it('has no quantile without degrees of freedom, not even the middle one', () => {
    expect([studentQuantile(0.5, 0), studentQuantile(0.5, -1), studentQuantile(0.3, 0)]).toEqual([
      Number.NaN,
      Number.NaN,
      Number.NaN,
    ])
  })

  it('has no probability without degrees of freedom, not even at infinity', () => {
    for (const t of [Number.NEGATIVE_INFINITY, -1, 0, Number.POSITIVE_INFINITY]) {
      expect(studentCdf(t, 0)).toBeNaN()
      expect(studentCdf(t, -1)).toBeNaN()
    }
  })
})
