import { sum } from '../../base/statistics.ts'
import { type ErrorSource, type LogEffect, sourceVariances } from './effects.ts'

/** Below this part of the whole a variance is the dust of errors that cancel. */
const DUST = 1e-12

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
