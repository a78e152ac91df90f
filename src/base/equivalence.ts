import { square } from './arithmetic.ts'
import { studentCdf, studentQuantile } from './student.ts'

/** An estimated value with what a t test needs to know of it. */
export interface Estimate {
  value: number
  standardError: number
  /** Infinity where the standard error is known, not estimated. */
  degreesOfFreedom: number
}

/** Mean, standard deviation and size of one sample. */
export interface Sample {
  mean: number
  sd: number
  count: number
}

export interface EquivalenceTest {
  /** True when both one-sided tests reject at `alpha`; false also when something is NaN. */
  equivalent: boolean
  /** Of "the value is -margin or less". */
  pLower: number
  /** Of "the value is +margin or more". */
  pUpper: number
  tLower: number
  tUpper: number
  /** The interval of level 1 - 2 alpha. It lies inside the margins exactly when the test says equivalent. */
  low: number
  high: number
}

/**
 * Two one-sided t tests: is the value shown to lie within ±margin?
 * @param margin above 0, in the estimate's unit
 * @param alpha level of each test, at most 0.5; 0.05 goes with the 90 % interval
 * @returns NaN figures and not equivalent when an input is NaN or the margin is not above 0
 * @source Schuirmann, "A comparison of the two one-sided tests procedure and the power approach", J. Pharmacokin. Biopharm. 15 (1987) 657
 */
export function equivalenceTest(estimate: Estimate, margin: number, alpha = 0.05): EquivalenceTest {
  const { value, standardError, degreesOfFreedom } = estimate
  const usable = margin > 0 ? margin : Number.NaN
  const tLower = studentised(value + usable, standardError)
  const tUpper = studentised(value - usable, standardError)
  const pLower = studentCdf(-tLower, degreesOfFreedom)
  const pUpper = studentCdf(tUpper, degreesOfFreedom)
  const halfWidth = standardError * studentQuantile(1 - alpha, degreesOfFreedom)
  return {
    equivalent: pLower < alpha && pUpper < alpha,
    pLower,
    pUpper,
    tLower,
    tUpper,
    low: value - halfWidth,
    high: value + halfWidth,
  }
}

/** Distance in standard errors; a distance of 0 stays 0 when the standard error is 0 as well. */
function studentised(distance: number, standardError: number): number {
  return distance === 0 && standardError === 0 ? 0 : distance / standardError
}

/**
 * Difference of two means, a minus b, with unequal variances; the degrees of freedom are not whole.
 * @returns NaN figures when a sample has fewer than two values or something is NaN
 * @source Welch, "The generalization of Student's problem when several different population variances are involved",
 * Biometrika 34 (1947) 28; NIST/SEMATECH e-Handbook 1.3.5.3
 */
export function welchDifference(a: Sample, b: Sample): Estimate {
  const varianceA = meanVariance(a)
  const varianceB = meanVariance(b)
  const variance = varianceA + varianceB
  const spread = square(varianceA) / (a.count - 1) + square(varianceB) / (b.count - 1)
  return {
    value: a.mean - b.mean,
    standardError: Math.sqrt(variance),
    degreesOfFreedom: spread === 0 ? a.count + b.count - 2 : square(variance) / spread,
  }
}

/** Variance of the mean of a sample. */
function meanVariance({ sd, count }: Sample): number {
  return count >= 2 ? square(sd) / count : Number.NaN
}
