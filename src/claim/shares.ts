import { square } from '../base/arithmetic.ts'
import { mean, standardDeviation, sum } from '../base/statistics.ts'
import { ERROR_SOURCES, type ErrorSource, type LogEffect } from './effects.ts'

/** Below this part of the whole a variance is the dust of errors that cancel. */
const DUST = 1e-12

/** Variance that each source gives to an effect, in the logarithm. */
export function sourceVariances(effect: LogEffect): Record<ErrorSource, number> {
  const variance = (draws: Float64Array): number => (draws.length < 2 ? 0 : square(standardDeviation(draws)))
  const repeatability = mean(effect.repeatability.draws.map((sd) => sd * sd)) * variance(effect.departure)
  return Object.fromEntries(
    ERROR_SOURCES.map((source) => [
      source,
      source === 'repeatability' ? repeatability : variance(effect.errors[source]),
    ]),
  ) as Record<ErrorSource, number>
}

/**
 * Share of each source in the variance of an effect: what would go if this source alone were frozen. The effect is a sum
 * over independent sources, so the shares add up to 1; all are 0 for an effect without any error.
 */
export function uncertaintyShares(effect: LogEffect): Record<ErrorSource, number> {
  const variances = sourceVariances(effect)
  const total = sum(Object.values(variances))
  return Object.fromEntries(
    Object.entries(variances).map(([source, v]) => [source, v > DUST * total ? v / total : 0]),
  ) as Record<ErrorSource, number>
}
