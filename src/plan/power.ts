import { noncentralTCdf } from '../base/noncentral-t.ts'
import { studentQuantile } from '../base/student.ts'

/** A test of one effect against a half-width that is itself learnt from the data, wholly or in part. */
export interface EffectTest {
  /** True standard error of the estimate. */
  standardError: number
  /** How much the half-width scatters: as the standard deviation of a sample with these degrees of freedom. */
  degreesOfFreedom: number
  /** Half-width to be expected at LEVEL, in true standard errors; left out: Student's, at any level. */
  critical?: number
}

/** Level of the two-sided test: a claim is supported when its 95 % interval excludes zero. */
export const LEVEL = 0.05

/**
 * Probability that a two-sided test finds an effect of this size; both tails count.
 * @param effect in the unit of the standard error
 * @source noncentral t: Cohen, Statistical Power Analysis, 2nd ed. 1988 (from memory); R stats::power.t.test, strict = TRUE
 */
export function powerOf(effect: number, test: EffectTest, level = LEVEL): number {
  const { standardError, degreesOfFreedom } = test
  const critical = test.critical ?? studentQuantile(1 - level / 2, degreesOfFreedom)
  const delta = Math.abs(effect) / standardError
  return 1 - noncentralTCdf(critical, degreesOfFreedom, delta) + noncentralTCdf(-critical, degreesOfFreedom, delta)
}

/** The smallest effect that is found with the stated probability, in the unit of the standard error. */
export function detectableEffect(power: number, test: EffectTest, level = LEVEL): number {
  let low = 0
  let high = test.standardError
  while (powerOf(high, test, level) < power) high *= 2
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2
    if (powerOf(middle, test, level) < power) low = middle
    else high = middle
  }
  return (low + high) / 2
}
