import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Estimate, equivalenceTest, welchDifference } from '../../src/base/equivalence.ts'
import { mean, standardDeviation } from '../../src/base/statistics.ts'
import { studentCdf, studentQuantile } from '../../src/base/student.ts'

// Student 1908, hours of sleep gained (the R data set `sleep`).
const sleep1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2]
const sleep2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
const sampleOf = (values: number[]) => ({ mean: mean(values), sd: standardDeviation(values), count: values.length })
const sleep = welchDifference(sampleOf(sleep1), sampleOf(sleep2))

describe('welchDifference', () => {
  // R's help page of t.test on `sleep`, from memory, recomputed: Welch t -1.8608, df 17.776, p 0.07939, 95 % interval
  // (-3.3654832, 0.2054832). Half of the last digit printed, and the 1e-7 of the t distribution.
  it("gives R's answer for Student's sleep data", () => {
    expect(sleep.value).toBeCloseTo(-1.58, 12)
    expect(Math.abs(sleep.value / sleep.standardError + 1.8608)).toBeLessThan(5.1e-5)
    expect(Math.abs(sleep.degreesOfFreedom - 17.776)).toBeLessThan(5.1e-4)
    const p = 2 * studentCdf(sleep.value / sleep.standardError, sleep.degreesOfFreedom)
    expect(Math.abs(p - 0.07939)).toBeLessThan(5.1e-6)
    const half = sleep.standardError * studentQuantile(0.975, sleep.degreesOfFreedom)
    expect(Math.abs(sleep.value - half + 3.3654832)).toBeLessThan(5e-7)
    expect(Math.abs(sleep.value + half - 0.2054832)).toBeLessThan(5e-7)
  })

  // NIST/SEMATECH e-Handbook 1.3.5.3, AUTO83B: unequal variances. Half of the last digit printed.
  it("gives NIST's answer for miles per gallon of US and Japanese cars", () => {
    const cars = welchDifference({ mean: 20.14458, sd: 6.4147, count: 249 }, { mean: 30.48101, sd: 6.10771, count: 79 })
    expect(Math.abs(cars.value / cars.standardError + 12.94627)).toBeLessThan(5.1e-6)
    expect(Math.abs(cars.degreesOfFreedom - 136.875)).toBeLessThan(5.1e-5)
  })

  it('does not exist for a sample of one', () => {
    const one = welchDifference({ mean: 1, sd: Number.NaN, count: 1 }, { mean: 2, sd: 1, count: 5 })
    expect(one.value).toBe(-1)
    expect(one.standardError).toBeNaN()
    expect(one.degreesOfFreedom).toBeNaN()
  })

  it('has the pooled degrees of freedom where neither sample scatters', () => {
    const still = welchDifference({ mean: 1, sd: 0, count: 3 }, { mean: 1, sd: 0, count: 4 })
    expect(still).toEqual({ value: 0, standardError: 0, degreesOfFreedom: 5 })
  })
})

describe('equivalenceTest', () => {
  // Schuirmann's two tests on the sleep data, computed by another program (scipy); half of the last digit printed.
  it('gives the published t and p for ±0.5', () => {
    const test = equivalenceTest(sleep, 0.5)
    expect(Math.abs(test.tLower + 1.27195)).toBeLessThan(5.1e-6)
    expect(Math.abs(test.pLower - 0.89011)).toBeLessThan(5.1e-6)
    expect(Math.abs(test.tUpper + 2.44968)).toBeLessThan(5.1e-6)
    expect(Math.abs(test.pUpper - 0.01245)).toBeLessThan(5.1e-6)
    expect(Math.abs(test.low + 3.05338)).toBeLessThan(5.1e-6)
    expect(Math.abs(test.high + 0.10662)).toBeLessThan(5.1e-6)
    expect(test.equivalent).toBe(false)
  })

  it.each([
    { margin: 3, p: 0.055979, equivalent: false },
    { margin: 3.0533, p: null, equivalent: false },
    { margin: 3.0535, p: null, equivalent: true },
    { margin: 3.2, p: 0.036344, equivalent: true },
  ])('is $equivalent for ±$margin', ({ margin, p, equivalent }) => {
    const test = equivalenceTest(sleep, margin)
    if (p !== null) expect(Math.abs(test.pLower - p)).toBeLessThan(5.1e-7)
    expect(test.equivalent).toBe(equivalent)
  })

  it('passes at 5 % exactly when the 90 % interval lies inside the margins', () => {
    const numbers = fc.record({
      value: fc.double({ min: -3, max: 3, noNaN: true }),
      standardError: fc.double({ min: 0.01, max: 3, noNaN: true }),
      degreesOfFreedom: fc.oneof(fc.double({ min: 1, max: 200, noNaN: true }), fc.constant(Number.POSITIVE_INFINITY)),
      margin: fc.double({ min: 0.1, max: 4, noNaN: true }),
    })
    let passed = 0
    fc.assert(
      fc.property(numbers, ({ margin, ...estimate }) => {
        const { equivalent, low, high } = equivalenceTest(estimate, margin)
        // Within the accuracy of the t distribution of a tie, either answer is right.
        fc.pre(Math.min(Math.abs(low + margin), Math.abs(high - margin)) > 1e-5)
        expect(equivalent).toBe(low > -margin && high < margin)
        passed += equivalent ? 1 : 0
      }),
      { numRuns: 500, seed: 1 },
    )
    expect(passed).toBeGreaterThan(20)
  })

  it('does not care for the sign', () => {
    const estimate: Estimate = { value: 0.3, standardError: 0.2, degreesOfFreedom: 6 }
    const mirrored = equivalenceTest({ ...estimate, value: -0.3 }, 1)
    const test = equivalenceTest(estimate, 1)
    expect(mirrored.pLower).toBeCloseTo(test.pUpper, 12)
    expect(mirrored.equivalent).toBe(test.equivalent)
  })

  it('decides by the value alone without scatter', () => {
    const known = (value: number) => equivalenceTest({ value, standardError: 0, degreesOfFreedom: 5 }, 1).equivalent
    expect(known(0.9)).toBe(true)
    expect(known(1)).toBe(false)
    expect(known(1.1)).toBe(false)
  })

  it.each([
    { value: Number.NaN, standardError: 1, degreesOfFreedom: 5, margin: 1 },
    { value: 0, standardError: Number.NaN, degreesOfFreedom: 5, margin: 1 },
    { value: 0, standardError: 0.1, degreesOfFreedom: Number.NaN, margin: 1 },
    { value: 0, standardError: 0.1, degreesOfFreedom: 5, margin: Number.NaN },
    { value: 0, standardError: 0.1, degreesOfFreedom: 5, margin: 0 },
  ])('is never equivalent without $value, $standardError, $degreesOfFreedom, $margin', ({ margin, ...estimate }) => {
    const test = equivalenceTest(estimate, margin)
    expect(test.equivalent).toBe(false)
    expect(test.pLower).toBeNaN()
  })

  it('a value on the margin itself is no nearer than half likely to lie within: both tests are strict', () => {
    // At the margin t is 0 and p is one half.
    const known = { standardError: 1e-3, degreesOfFreedom: Number.POSITIVE_INFINITY }
    const at = (value: number) => equivalenceTest({ value, ...known }, 1, 0.5)
    expect([at(-1).pLower, at(1).pUpper]).toEqual([0.5, 0.5])
    expect([at(-1).equivalent, at(1).equivalent, at(0.5).equivalent]).toEqual([false, false, true])
  })

  it('without any error a value is inside, outside, or on the margin', () => {
    const exact = { standardError: 0, degreesOfFreedom: Number.POSITIVE_INFINITY }
    const at = (value: number) => equivalenceTest({ value, ...exact }, 1)
    expect(at(0.5).equivalent).toBe(true)
    expect(at(1.5).equivalent).toBe(false)
    expect(at(1)).toMatchObject({ equivalent: false, tUpper: 0, pUpper: 0.5 })
    expect(at(-1)).toMatchObject({ equivalent: false, tLower: 0, pLower: 0.5 })
  })
})

describe('the smallest samples', () => {
  const one = { mean: 3, sd: 1, count: 1 }
  const two = { mean: 5, sd: 2, count: 2 }

  it('two values are enough, one is not', () => {
    // Variances of the means 4/2 and 4/2: standard error 2, degrees of freedom 4²/(2² + 2²) = 2.
    const difference = welchDifference(two, { ...two, mean: 4 })
    expect(difference.value).toBe(1)
    expect(difference.standardError).toBeCloseTo(2, 12)
    expect(difference.degreesOfFreedom).toBeCloseTo(2, 12)
    expect(welchDifference(one, two).standardError).toBeNaN()
    expect(welchDifference(two, one).standardError).toBeNaN()
  })
})
