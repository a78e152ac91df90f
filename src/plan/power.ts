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

/**
 * The smallest effect that is found with the stated probability, in the unit of the standard error; to 1e-10 of itself.
 * @source the Illinois form of regula falsi: Dowell and Jarratt, BIT 11 (1971) 168 (from memory)
 */
export function detectableEffect(power: number, test: EffectTest, level = LEVEL): number {
  const lacking = (effect: number): number => power - powerOf(effect, test, level)
  let low = { effect: 0, lacks: lacking(0) }
  let high = { effect: test.standardError, lacks: lacking(test.standardError) }
  while (high.lacks > 0) {
    low = high
    high = { effect: 2 * high.effect, lacks: lacking(2 * high.effect) }
  }
  let before = 0
  for (let i = 0; i < MOST_STEPS && high.effect - low.effect > PRECISION * high.effect; i++) {
    const effect = (low.effect * high.lacks - high.effect * low.lacks) / (high.lacks - low.lacks)
    const lacks = lacking(effect)
    if (lacks === 0) return effect
    // An end that stays twice weighs half: else the other alone would creep up to the root.
    if (lacks > 0) {
      low = { effect, lacks }
      if (before > 0) high = { ...high, lacks: high.lacks / 2 }
    } else {
      high = { effect, lacks }
      if (before < 0) low = { ...low, lacks: low.lacks / 2 }
    }
    before = lacks
  }
  return high.effect
}

const PRECISION = 1e-10
const MOST_STEPS = 100
