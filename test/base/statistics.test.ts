import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { normalQuantile } from '../../src/base/normal.ts'
import {
  MEDIAN_TO_SD,
  mean,
  median,
  quantile,
  quantileSorted,
  standardDeviation,
  sum,
  upperMedian,
} from '../../src/base/statistics.ts'

// NIST StRD, speed of light (Michelson 1879), 299.xxx Mm/s; data from memory, all certified digits come out of them.
const michelso =
  `850 740 900 1070 930 850 950 980 980 880 1000 980 930 650 760 810 1000 1000 960 960 960 940 960 940 880 800
  850 880 900 840 830 790 810 880 880 830 800 790 760 800 880 880 880 860 720 720 620 860 970 950 880 910 850 870 840 840 850
  840 840 840 890 810 810 820 800 770 760 740 750 760 910 920 890 860 880 720 840 850 850 780 890 840 780 810 760 810 790 810
  820 850 870 870 810 740 810 940 950 800 810 870`
    .split(/\s+/)
    .map((digits) => 299 + Number(digits) / 1000)

// NIST StRD: 1000000.2, then 500 times 1000000.1, 1000000.3.
const numAcc3 = [1000000.2, ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? 1000000.1 : 1000000.3))]

describe('sum', () => {
  it('adds all values, and is 0 of none', () => {
    expect(sum([1, 2.5, -4])).toBe(-0.5)
    expect(sum(Float64Array.of(7))).toBe(7)
    expect(sum([])).toBe(0)
  })
})

describe('mean and standardDeviation', () => {
  it('a million times 0.1 has the mean 0.1, to the last bit', () => {
    // Added up one by one they are 100000.00000133288, any double-precision arithmetic: 1.3e-11 of it too much.
    expect(mean(new Float64Array(1e6).fill(0.1))).toBe(0.1)
  })

  // NIST asks for 8 correct digits. NumAcc3: the doubles nearest to the data have themselves a deviation of 0.10000000003;
  // sums of squares minus squares of sums give 0.0987.
  it.each([
    { what: 'Michelso', values: michelso, wantMean: 299.8524, wantSd: 0.0790105478190518 },
    { what: 'NumAcc3', values: numAcc3, wantMean: 1000000.2, wantSd: 0.1 },
  ])('reproduce NIST StRD $what to 8 digits', ({ values, wantMean, wantSd }) => {
    expect(Math.abs(mean(values) / wantMean - 1)).toBeLessThan(1e-12)
    expect(Math.abs(standardDeviation(values) / wantSd - 1)).toBeLessThan(1e-8)
  })

  it('do not exist for too few values, and are NaN when a value is', () => {
    expect(michelso).toHaveLength(100)
    expect(mean([])).toBeNaN()
    expect(mean([3])).toBe(3)
    expect(standardDeviation([3])).toBeNaN()
    expect(standardDeviation([3, 3])).toBe(0)
    expect(mean([1, Number.NaN])).toBeNaN()
    expect(standardDeviation([1, Number.NaN, 2])).toBeNaN()
  })

  it('take a shift and a scale as they should', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 2, maxLength: 50 }), (values) => {
        const moved = values.map((v) => 1e6 + 2 * v)
        expect(mean(moved)).toBeCloseTo(1e6 + 2 * mean(values), 6)
        expect(standardDeviation(moved)).toBeCloseTo(2 * standardDeviation(values), 6)
      }),
    )
  })
})

describe('quantile', () => {
  // Hyndman and Fan 1996, definition 7, by hand: position (n - 1) p counted from 0.
  it.each([
    { values: [4, 1, 3, 2], share: 0.25, want: 1.75 },
    { values: [1, 2, 3, 4, 5], share: 0.5, want: 3 },
    { values: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10], share: 0.9, want: 9.1 },
    { values: [10, 20], share: 0.05, want: 10.5 },
    { values: [7], share: 0.3, want: 7 },
    { values: [3, 1, 2], share: 0, want: 1 },
    { values: [3, 1, 2], share: 1, want: 3 },
    { values: [-1, -30, -4], share: 0.5, want: -4 },
  ])('is $want at $share of $values', ({ values, share, want }) => {
    expect(quantile(values, share)).toBeCloseTo(want, 12)
  })

  it('leaves its argument as it is and agrees with the sorted form', () => {
    const values = [5, 1, 4]
    expect(quantile(values, 0.75)).toBe(quantileSorted([1, 4, 5], 0.75))
    expect(values).toEqual([5, 1, 4])
  })

  it('does not exist without values, outside 0 to 1, or with a NaN among the values', () => {
    expect(quantile([], 0.5)).toBeNaN()
    expect(quantile([1, 2], 1.1)).toBeNaN()
    expect(quantile([1, 2], Number.NaN)).toBeNaN()
    expect(quantile([Number.NaN, 1, 2], 0)).toBeNaN()
  })
})

describe('median and upperMedian', () => {
  it('are the middle; of an even number the mean of the two middle ones, or the upper', () => {
    expect([median([3, 1, 2]), upperMedian([3, 1, 2])]).toEqual([2, 2])
    expect([median([4, 1, 2, 3]), upperMedian([4, 1, 2, 3])]).toEqual([2.5, 3])
    expect(upperMedian([7])).toBe(7)
    expect(upperMedian([])).toBeNaN()
  })

  // 1/Φ⁻¹(3/4) by definition; half of the last of four decimals.
  it('estimate the spread of a normal population by MEDIAN_TO_SD', () => {
    expect(Math.abs(MEDIAN_TO_SD - 1 / normalQuantile(0.75))).toBeLessThan(5e-5)
  })
})
