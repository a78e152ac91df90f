import type { SharedDraws } from '../demand/shared-draws.ts'
import { type MixedSide, mixedDemands } from './mixed-demands.ts'
import { type Factor, shapleyShares } from './shapley.ts'

/**
 * Shares out a pair's conditions difference among air density, wind, rolling temperature and speed: each factor is
 * taken from a or from b along the shared axis in all combinations, with every uncertain input at its best estimate.
 * What the doubt about the wind adds to the mean is the wind's; what is then left belongs to the road: other lengths,
 * detours, heights.
 *
 * @param a with its places those of `bestAtAllCells`, as b's
 * @param best the difference at the best estimates, percent
 * @param mean the mean of the ensemble, percent: what the shares add up to
 */
export function meanShares(
  a: MixedSide,
  b: MixedSide,
  shared: SharedDraws,
  { best, mean }: { best: number; mean: number },
): Record<Factor, number> {
  const [airDensity, wind, rollingTemperature, speed] = shapleyShares(mixedDemands(a, b, shared))
  const route = best - airDensity - wind - rollingTemperature - speed
  return { airDensity, wind: wind + mean - best, rollingTemperature, speed, route }
}
