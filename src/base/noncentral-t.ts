import { studentCdf } from './student.ts'

/** Steps of the trapezoidal rule, which for a smooth integrand that dies away at both ends is as good as any: better than 1e-6. */
const LEAST_STEPS = 240
/** So many fall on the width of the rise of Φ(t·s − δ), which in ln s is 1/δ. */
const STEPS_A_RISE = 2

/**
 * Probability that a noncentral t is at most `t`: the mean of Φ(t·s − δ) over s = √(χ²/ν), by the trapezoidal rule in ln s.
 * The density of s is summed over the same points, so that it needs no constant.
 * @param t where
 * @param degreesOfFreedom above 0, not necessarily whole; Infinity gives the shifted normal distribution
 * @param noncentrality mean of the normal variable in the numerator
 * @returns NaN when an argument is NaN or the degrees of freedom are not above 0
 * @source definition of the noncentral t: Johnson, Kotz, Balakrishnan, Continuous Univariate Distributions 2, 2nd ed. 1995,
 * chapter 31 (from memory); Lenth, Algorithm AS 243, Applied Statistics 38 (1989) 185 computes the same by a series
 */
export function noncentralTCdf(t: number, degreesOfFreedom: number, noncentrality: number): number {
  if (!(degreesOfFreedom > 0)) return Number.NaN
  if (degreesOfFreedom > 1e6) return normalCdf(t - noncentrality)
  const nu = degreesOfFreedom
  const from = -Math.max(8 / Math.sqrt(2 * nu), 20 / nu)
  const to = 8 / Math.sqrt(2 * nu)
  const steps = Math.max(LEAST_STEPS, Math.ceil((to - from) * STEPS_A_RISE * Math.abs(noncentrality)))
  const step = (to - from) / steps
  let sum = 0
  let whole = 0
  for (let i = 0; i <= steps; i++) {
    const u = from + i * step
    const s = Math.exp(u)
    const weight = Math.exp(nu * (u - (s * s) / 2 + 0.5))
    whole += weight
    sum += weight * normalCdf(t * s - noncentrality)
  }
  return sum / whole
}

const normalCdf = (z: number): number => studentCdf(z, Number.POSITIVE_INFINITY)
