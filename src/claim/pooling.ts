import { square } from '../base/arithmetic.ts'
import { chiSquareTail } from '../base/chi-square.ts'
import { sum } from '../base/statistics.ts'

/** Several estimates of one thing made into one. */
export interface Pooled {
  estimate: number
  standardError: number
  /** Variance between the estimates beyond their own; 0 where they differ no more than their own. */
  betweenVariance: number
  /** Of each estimate, summing to 1. */
  weights: number[]
  /** Cochran's Q: the squared distances from the mean without a variance between, in own variances. */
  q: number
  degreesOfFreedom: number
  /** How often estimates without a variance between differ at least so much; NaN for a single one. */
  p: number
  /** Share of the variation that is between the estimates rather than their own, 0 to 1; NaN for a single one. */
  betweenShare: number
  /** The mean without a variance between. */
  common: { estimate: number; standardError: number }
}

/**
 * Random-effects mean of independent estimates by the method of moments. Of two or three estimates the variance between
 * them is hardly known, and the interval that goes with it is then too narrow rather than too wide.
 * @param estimates at least one, no NaN
 * @param variances of the estimates, above 0
 * @source DerSimonian, Laird, "Meta-analysis in clinical trials", Controlled Clinical Trials 7 (1986) 177;
 * betweenShare: Higgins, Thompson, "Quantifying heterogeneity in a meta-analysis", Statistics in Medicine 21 (2002) 1539
 */
export function pooled(estimates: readonly number[], variances: readonly number[]): Pooled {
  const common = weightedMean(estimates, variances, 0)
  const q = estimates.reduce((sum, y, i) => sum + square(y - common.estimate) / variances[i], 0)
  const degreesOfFreedom = estimates.length - 1
  const pulls = variances.map((variance) => 1 / variance)
  const total = sum(pulls)
  const spare = total - pulls.reduce((sum, pull) => sum + pull * pull, 0) / total
  const betweenVariance = degreesOfFreedom > 0 ? Math.max(0, (q - degreesOfFreedom) / spare) : 0
  return {
    ...weightedMean(estimates, variances, betweenVariance),
    betweenVariance,
    q,
    degreesOfFreedom,
    p: chiSquareTail(q, degreesOfFreedom),
    betweenShare: degreesOfFreedom > 0 ? (q > 0 ? Math.max(0, 1 - degreesOfFreedom / q) : 0) : Number.NaN,
    common: { estimate: common.estimate, standardError: common.standardError },
  }
}

function weightedMean(
  estimates: readonly number[],
  variances: readonly number[],
  betweenVariance: number,
): Pick<Pooled, 'estimate' | 'standardError' | 'weights'> {
  const pulls = variances.map((variance) => 1 / (variance + betweenVariance))
  const total = sum(pulls)
  const weights = pulls.map((pull) => pull / total)
  return {
    estimate: estimates.reduce((sum, y, i) => sum + weights[i] * y, 0),
    standardError: Math.sqrt(1 / total),
    weights,
  }
}
