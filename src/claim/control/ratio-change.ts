import { square } from '../../base/arithmetic.ts'
import { mean } from '../../base/statistics.ts'
import { studentQuantile } from '../../base/student.ts'
import type { EffectIntervals } from '../model/effects.ts'

/** What the ratios of test to control say of a change, in shares of the baseline's fuel. */
export interface RatioChange {
  saved: number
  /** Of the 95 % interval. */
  halfWidth: number
  /** The same with one more ratio of each side that scatters as those so far. */
  halfWidthWithMore: number
  /** Of the variance: what the scatter of the ratios gives it, and what else is not known. */
  shares: { repeatability: number; conditions: number }
}

/** Half of the interval that holds a normal error in 95 of 100, in its standard deviation. */
export const NORMAL_95 = 1.959964

/**
 * The change of consumption from the ratios of the test vehicle's fuel to the control vehicle's, before and after the change
 * was made: what both vehicles met alike is in none of the ratios.
 * @param base ratios with the baseline
 * @param test ratios with the setup
 * @param doubt standard deviation of what else is not known of the difference, in shares of the baseline's mean ratio
 * @returns null where too few ratios were measured to see how they scatter
 * @source SAE J1321 (2012), fuel consumption test procedure, type II, from memory; the arithmetic is that of six published
 * results (test/data/control-vehicle)
 */
export function ratioChange(base: readonly number[], test: readonly number[], doubt = 0): RatioChange | null {
  const degreesOfFreedom = base.length + test.length - 2
  if (base.length === 0 || test.length === 0 || degreesOfFreedom < 1) return null
  const [ofBase, ofTest] = [mean(base), mean(test)]
  const pooledSd = Math.sqrt((squaresAbout(base, ofBase) + squaresAbout(test, ofTest)) / degreesOfFreedom)
  const scatterOf = (n: number, m: number): number => (pooledSd * Math.sqrt(1 / n + 1 / m)) / ofBase
  const half = (scatter: number, degrees: number): number =>
    Math.sqrt(square(studentQuantile(0.975, degrees) * scatter) + square(NORMAL_95 * doubt))
  const scatter = scatterOf(base.length, test.length)
  const variance = square(scatter) + square(doubt)
  const repeatability = variance > 0 ? square(scatter) / variance : 1
  return {
    saved: 1 - ofTest / ofBase,
    halfWidth: half(scatter, degreesOfFreedom),
    halfWidthWithMore: half(scatterOf(base.length + 1, test.length + 1), degreesOfFreedom + 2),
    shares: { repeatability, conditions: 1 - repeatability },
  }
}

const squaresAbout = (values: readonly number[], centre: number): number =>
  values.reduce((sum, value) => sum + square(value - centre), 0)

/** The same as changes of consumption and of distance per fuel, percent. */
export function intervalsOfRatio({ saved, halfWidth }: Pick<RatioChange, 'saved' | 'halfWidth'>): EffectIntervals {
  const distance = (share: number): number => (share < 1 ? 100 * (1 / (1 - share) - 1) : Number.POSITIVE_INFINITY)
  const [low, high] = [saved - halfWidth, saved + halfWidth]
  return {
    consumptionChangePct: { estimate: -100 * saved, low95: -100 * high, high95: -100 * low },
    distancePerFuelChangePct: { estimate: distance(saved), low95: distance(low), high95: distance(high) },
  }
}
