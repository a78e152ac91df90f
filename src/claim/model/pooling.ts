import { square } from '../../base/arithmetic.ts'
import { sum } from '../../base/statistics.ts'

/** Several estimates of one thing made into one. */
export interface Pooled {
  estimate: number
  /** Of each estimate, summing to 1. */
  weights: number[]
  /** What the estimates differ by beyond their own errors makes of the mean's variance, with probabilities. */
  betweenRoutes: { probability: number; variance: number }[]
}

/**
 * What roads differ by in the effect of one change to a vehicle, as a relative standard deviation: half-normal with this
 * scale. Common practice, no source.
 */
export const BETWEEN_ROADS_SD = 0.01

const STEPS = 60
/** Standard deviations of the prior that the grid reaches to. */
const REACH = 4

/**
 * Random-effects mean of independent estimates. The spread between them, of which two or three estimates tell little, has a
 * half-normal prior and is integrated out; the mean weighs by its mean square.
 * @param estimates at least one, no NaN
 * @param variances of the estimates, above 0
 * @param priorSd scale of the spread between them
 * @source Röver, "Bayesian random-effects meta-analysis using the bayesmeta R package", J. Statistical Software 93 (2020),
 * eq. 9 (marginal likelihood of the spread) and section 2.2 (half-normal priors), from memory
 */
export function pooled(estimates: readonly number[], variances: readonly number[], priorSd = BETWEEN_ROADS_SD): Pooled {
  const grid = Array.from({ length: STEPS }, (_, i) => (priorSd * REACH * (i + 0.5)) / STEPS)
  const logs = grid.map((sd) => logMarginal(estimates, variances, sd) - square(sd / priorSd) / 2)
  const top = Math.max(...logs)
  const total = sum(logs.map((log) => Math.exp(log - top)))
  const probabilities = logs.map((log) => Math.exp(log - top) / total)
  const meanSquare = estimates.length < 2 ? 0 : sum(grid.map((sd, i) => probabilities[i] * square(sd)))
  const { mean, weights } = weightedMean(estimates, variances, meanSquare)
  const squares = sum(weights.map(square))
  return {
    estimate: mean,
    weights,
    betweenRoutes:
      estimates.length < 2
        ? [{ probability: 1, variance: 0 }]
        : grid.map((sd, i) => ({ probability: probabilities[i], variance: square(sd) * squares })),
  }
}

/** ln of the likelihood of a spread, the mean integrated out, up to a constant. */
function logMarginal(estimates: readonly number[], variances: readonly number[], sd: number): number {
  const { mean, total } = weightedMean(estimates, variances, square(sd))
  return (
    -0.5 *
    (Math.log(total) +
      sum(
        estimates.map((y, i) => Math.log(variances[i] + square(sd)) + square(y - mean) / (variances[i] + square(sd))),
      ))
  )
}

function weightedMean(
  estimates: readonly number[],
  variances: readonly number[],
  between: number,
): { mean: number; weights: number[]; total: number } {
  const pulls = variances.map((variance) => 1 / (variance + between))
  const total = sum(pulls)
  const weights = pulls.map((pull) => pull / total)
  return { mean: estimates.reduce((all, y, i) => all + weights[i] * y, 0), weights, total }
}
