import jstat from 'jstat'

/**
 * Probability that a chi-square variable is at least `x`: how often errors alone give so large a sum of squares.
 * @param degreesOfFreedom above 0
 * @returns 1 for x of 0 or less; NaN when something is NaN or the degrees of freedom are not above 0
 */
export function chiSquareTail(x: number, degreesOfFreedom: number): number {
  if (!(degreesOfFreedom > 0)) return Number.NaN
  // jstat has no answer at infinity.
  return x === Number.POSITIVE_INFINITY ? 0 : 1 - jstat.chisquare.cdf(x, degreesOfFreedom)
}
