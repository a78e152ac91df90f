import { square } from '../base/arithmetic.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { dragTerm, drawnJ, leastDrawnJ } from '../demand/force.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import { ROLLING_REFERENCE_K } from '../demand/vehicle.ts'
import type { RunOnAxis } from './run-on-axis.ts'

export const FACTORS = ['airDensity', 'wind', 'rollingTemperature', 'speed', 'route'] as const
export type Factor = (typeof FACTORS)[number]
/** Those that can be taken from either run, in the order of their bits in a set of factors; what is left is the route's. */
export const EXCHANGED = FACTORS.slice(0, 4)

/**
 * Shares out a pair's conditions difference among air density, wind, rolling temperature and speed: each factor is
 * taken from a or from b along the shared axis in all combinations, and gets its average effect over all orders of
 * exchanging them (Shapley value), with every uncertain input at its best estimate. What the doubt about the wind adds
 * to the mean is the wind's; what is then left belongs to the road: other lengths, detours, heights.
 *
 * @param best the difference at the best estimates, percent
 * @param mean the mean of the ensemble, percent: what the shares add up to
 * @source Shapley, "A value for n-person games", Contributions to the Theory of Games II (1953) 307
 */
export function meanShares(
  a: RunOnAxis,
  b: RunOnAxis,
  shared: SharedDraws,
  { best, mean }: { best: number; mean: number },
): Record<Factor, number> {
  const [airDensity, wind, rollingTemperature, speed] = shapleyShares(mixedDemands(a, b, shared))
  const route = best - airDensity - wind - rollingTemperature - speed
  return { airDensity, wind: wind + mean - best, rollingTemperature, speed, route }
}

/** Each factor's share of the difference, percent, from the demands of all sets of factors taken from b. */
export function shapleyShares(demand: Float64Array): number[] {
  return EXCHANGED.map((_, f) => {
    let share = 0
    for (let set = 0; set < demand.length; set++) {
      if (set & (1 << f)) continue
      share += (100 * SHAPLEY_WEIGHTS[set] * (demand[set | (1 << f)] - demand[set])) / demand[0]
    }
    return share
  })
}

/** |S|!·(n − |S| − 1)!/n! for a set of factors given as bits. */
function shapleyWeight(set: number): number {
  const factorial = [1, 1, 2, 6, 24]
  const size = EXCHANGED.reduce((n, _, f) => n + ((set >> f) & 1), 0)
  return (factorial[size] * factorial[EXCHANGED.length - size - 1]) / factorial[EXCHANGED.length]
}
const SHAPLEY_WEIGHTS = Array.from({ length: 1 << EXCHANGED.length }, (_, set) => shapleyWeight(set))

/**
 * Demands per metre over the cells that both drove, for every set of factors taken from b, the others from a. A set's
 * bits are, from the lowest: air density, wind, rolling temperature, speed. What several sets share is computed once.
 */
function mixedDemands(
  a: RunOnAxis,
  b: RunOnAxis,
  { vehicle, bestExposure, bestTurbulence }: SharedDraws,
): Float64Array {
  const runs = [a, b]
  const { efficiency, stores, frictionN, idlePowerW, recovery } = vehicle.powertrain
  const least = leastDrawnJ(stores)
  const massKg = vehicle.massKg.value + a.payloadKg
  const sumJ = new Float64Array(1 << EXCHANGED.length)
  const roll = new Float64Array(2)
  const halfDensity = new Float64Array(2)
  let cells = 0
  for (let i = 0; i < a.speedMps.length; i++) {
    if (Number.isNaN(a.speedMps[i]) || Number.isNaN(b.speedMps[i])) continue
    cells++
    for (let from = 0; from < 2; from++) {
      const warmth = 1 + vehicle.rollingTemperaturePerK.value * (runs[from].temperatureK[i] - ROLLING_REFERENCE_K)
      roll[from] = (massKg * STANDARD_GRAVITY * vehicle.rollingResistance.value) / warmth
      halfDensity[from] = 0.5 * runs[from].densityKgM3[i] * vehicle.dragAreaM2.value
    }
    for (let windAndMotion = 0; windAndMotion < 4; windAndMotion++) {
      const wind = runs[windAndMotion & 1]
      const motion = runs[windAndMotion >> 1]
      const along = motion.speedMps[i] + bestExposure * wind.headMps[i]
      const across = bestExposure * wind.crossMps[i]
      // Math.hypot guards against overflow at some ten times the price of this, in the innermost loop.
      const gustMps = bestTurbulence * Math.sqrt(square(wind.headMps[i]) + square(wind.crossMps[i]))
      const dynamic = dragTerm(along, across, vehicle.dragYawRise.value, gustMps)
      const lift =
        massKg * STANDARD_GRAVITY * a.climbM[i] + massKg * (1 + vehicle.rotatingShare) * motion.kineticJPerKg[i]
      const engineJ = idlePowerW.value * motion.durationS[i] + frictionN * a.cellM
      const speedForceN = vehicle.speedForceNPerMps * motion.speedMps[i]
      const base = ((windAndMotion & 1) << 1) | ((windAndMotion >> 1) << 3)
      for (let rest = 0; rest < 4; rest++) {
        const work = (halfDensity[rest & 1] * dynamic + roll[rest >> 1] + speedForceN) * a.cellM + lift
        sumJ[base | (rest & 1) | ((rest >> 1) << 2)] += drawnJ(work, engineJ, efficiency, recovery.value, least)
      }
    }
  }
  return sumJ.map((sum) => sum / (cells * a.cellM))
}
