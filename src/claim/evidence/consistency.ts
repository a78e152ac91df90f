import { chiSquareTail } from '../../base/chi-square.ts'
import { linearModel, unit } from '../../base/least-squares.ts'
import { sum } from '../../base/statistics.ts'
import type { Interval95 } from '../types.ts'

/** Several estimates of one quantity, held against each other. */
export interface Consistency {
  weightedMean: number
  standardError: number
  /** Each estimate's pull on the weighted mean; they add up to 1. */
  weights: number[]
  /** Each estimate's distance from the weighted mean of the others. */
  fromOthers: number[]
  /** The same in its standard deviations: beyond ±2 is unusual. */
  normalisedResiduals: number[]
  chiSquare: number
  degreesOfFreedom: number
  /** How often estimates that are all right differ at least so much. */
  p: number
}

/**
 * Below this probability estimates are said to disagree: one campaign in a hundred loses its better evidence by chance, where
 * at 0.05 it were one in twenty.
 */
export const DISAGREE_BELOW = 0.01

/** Below this one they agree barely: what is made of all of them is widened. */
export const BARELY_BELOW = 0.05

/**
 * Weighted mean of estimates whose errors may be shared, and the chi-square test of whether they agree. An error that all
 * of them share widens the mean and has no part in the test.
 * @param covariance of the estimates' errors, row by row
 * @returns null for fewer than two estimates
 * @source Cox, "The evaluation of key comparison data", Metrologia 39 (2002) 589, procedure A; with covariances:
 * generalised least squares (Aitken 1935)
 */
export function consistencyOf(
  estimates: readonly number[],
  covariance: readonly (readonly number[])[],
): Consistency | null {
  const count = estimates.length
  if (count < 2) return null
  const model = linearModel(covariance.map((row) => [...row]))
  const inverse = estimates.map((_, i) => model.solve(unit(count, i)))
  const pulls = inverse.map((row) => sum(row))
  const information = sum(pulls)
  const weights = pulls.map((pull) => pull / information)
  const weightedMean = weights.reduce((sum, weight, i) => sum + weight * estimates[i], 0)
  const residuals = estimates.map((x) => x - weightedMean)
  const chiSquare = residuals.reduce(
    (sum, r, i) => sum + r * inverse[i].reduce((s, x, j) => s + x * residuals[j], 0),
    0,
  )
  return {
    weightedMean,
    standardError: Math.sqrt(1 / information),
    weights,
    fromOthers: residuals.map((r, i) => r / (1 - weights[i])),
    // The covariance of an estimate with the weighted mean is the mean's own variance.
    normalisedResiduals: residuals.map((r, i) => r / Math.sqrt(covariance[i][i] - 1 / information)),
    chiSquare,
    degreesOfFreedom: count - 1,
    p: chiSquareTail(chiSquare, count - 1),
  }
}

/**
 * By how much the scatter of estimates exceeds what their errors allow.
 * @source Birge, "The calculation of errors by the method of least squares", Physical Review 40 (1932) 207
 */
export const birgeRatio = ({ chiSquare, degreesOfFreedom }: Consistency): number =>
  Math.sqrt(chiSquare / degreesOfFreedom)

/** The change in percent with the interval of ±1.96 standard deviations of its logarithm. */
export function percentInterval(logChange: number, logSd: number): Interval95 {
  return {
    estimate: 100 * Math.expm1(logChange),
    low95: 100 * Math.expm1(logChange - 1.959964 * logSd),
    high95: 100 * Math.expm1(logChange + 1.959964 * logSd),
  }
}
