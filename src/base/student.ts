import jstat from 'jstat'
import { normalQuantile } from './normal.ts'

/**
 * Student's t distribution by jstat: right to 1e-7 for 1 to 1e6 degrees of freedom. Its own answers are NaN at
 * infinite arguments and lose digits beyond 1e6 degrees of freedom, where the normal distribution (2e-6 away) is used.
 */
const NORMAL_ABOVE_DF = 1e6

/**
 * Probability that Student's t is at most `t`.
 * @param degreesOfFreedom above 0, not necessarily whole; Infinity gives the normal distribution
 * @returns NaN when `t` is NaN or the degrees of freedom are not above 0
 */
export function studentCdf(t: number, degreesOfFreedom: number): number {
  if (Number.isNaN(t) || !(degreesOfFreedom > 0)) return Number.NaN
  if (!Number.isFinite(t)) return t > 0 ? 1 : 0
  if (degreesOfFreedom > NORMAL_ABOVE_DF) return jstat.normal.cdf(t, 0, 1)
  return jstat.studentt.cdf(t, degreesOfFreedom)
}

/**
 * The value below which a share `p` of Student's t lies.
 * @param p 0 to 1, exclusive
 * @param degreesOfFreedom above 0, not necessarily whole; Infinity gives the normal distribution
 * @returns NaN for a share outside 0 to 1 and for degrees of freedom not above 0
 */
export function studentQuantile(p: number, degreesOfFreedom: number): number {
  if (!(p > 0 && p < 1 && degreesOfFreedom > 0)) return Number.NaN
  if (p === 0.5) return 0
  return degreesOfFreedom > NORMAL_ABOVE_DF ? normalQuantile(p) : jstat.studentt.inv(p, degreesOfFreedom)
}
