import { hypotenuse } from '../base/arithmetic.ts'
import { mean, quantile, standardDeviation } from '../base/statistics.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import { meanShares } from './contributions.ts'
import { conditionsDifference } from './difference.ts'
import { type MixedSide, mixedDemands, mixedSide } from './mixed-demands.ts'
import { bestAtAllCells, type PlaceDraws } from './place-draws.ts'
import type { RunOnAxis } from './run-on-axis.ts'
import { EXCHANGED, FACTORS, type Factor, shapleyShares } from './shapley.ts'

/** One side of a comparison whose difference is to be shared out. */
export interface Side {
  axis: RunOnAxis
  places: PlaceDraws
  nominalJPerM: number
  drawsJPerM: Float64Array
}

/** A side made ready for many comparisons. */
export interface ReadySide extends Side, MixedSide {
  places: PlaceDraws
  /** What its run met all along the road by the best estimate. */
  best: MixedSide
}

export const readySide = (side: Side, shared: SharedDraws): ReadySide => ({
  ...side,
  ...mixedSide(side.axis, side.places, shared),
  places: side.places,
  best: mixedSide(side.axis, bestAtAllCells(side.axis, shared), shared),
})

/** A share of a conditions difference with its 90 % interval, percent. */
export interface Share {
  meanPct: number
  low90Pct: number
  high90Pct: number
}

/** Their means add up to the mean of the difference. */
export type Contributions = Record<Factor, Share>

/** What each condition contributes to the difference of two runs on one road. */
export function contributionsOf(a: ReadySide, b: ReadySide, shared: SharedDraws): Contributions {
  const best = 100 * (b.nominalJPerM / a.nominalJPerM - 1)
  const { meanPct } = conditionsDifference(a.drawsJPerM, b.drawsJPerM, 0)
  const changes = shareChanges(a, b, shared)
  const ofBest = meanShares(a.best, b.best, shared, { best, mean: meanPct })
  const means = shared.vehicle.classes.length > 0 ? meansOverClasses(ofBest, meanPct - best, changes) : ofBest
  const draws = shareDraws(a, b, means, changes)
  const withInterval = (factor: Factor, moreSdPct = 0): Share => {
    const shift = means[factor] - mean(draws[factor])
    const meanPct = means[factor]
    const [below, above] = [
      quantile(draws[factor], 0.05) + shift - meanPct,
      quantile(draws[factor], 0.95) + shift - meanPct,
    ]
    return {
      meanPct,
      low90Pct: meanPct - hypotenuse(below, NORMAL_90 * moreSdPct),
      high90Pct: meanPct + hypotenuse(above, NORMAL_90 * moreSdPct),
    }
  }
  return {
    airDensity: withInterval('airDensity'),
    wind: withInterval('wind'),
    rollingTemperature: withInterval('rollingTemperature'),
    speed: withInterval('speed'),
    route: withInterval('route', roadEndsSdPct(a, b)),
  }
}

/**
 * Of a vehicle whose class is drawn: what the draws, with their other classes, make on the average of the shares of density,
 * wind and rolling is theirs; what is left of it is the motion's, which a few places of the road do not tell.
 * @param byDraws by how much the mean of the difference exceeds its best estimate, percent: `ofBest` has it in the wind
 */
function meansOverClasses(
  ofBest: Record<Factor, number>,
  byDraws: number,
  changes: readonly Float64Array[],
): Record<Factor, number> {
  const [airDensity, wind, rollingTemperature] = changes.map(mean)
  return {
    airDensity: ofBest.airDensity + airDensity,
    wind: ofBest.wind - byDraws + wind,
    rollingTemperature: ofBest.rollingTemperature + rollingTemperature,
    speed: ofBest.speed + byDraws - airDensity - wind - rollingTemperature,
    route: ofBest.route,
  }
}

/**
 * Standing and driving at the ends of a road that is not laid onto the cells of its axis, and what two recordings of it
 * differ by along its way, as a length: standard deviation for two drives. Common practice, no source; on simulated roads it
 * is 35 m of 10 km, 50 m of 40 km and 90 m of 150 km.
 */
const ROAD_ENDS = { m: 35, ofLength: 4e-4 }
/** From the middle to either end of a 90 % interval, in standard deviations. */
const NORMAL_90 = 1.645

/** Standard deviation of what the ends make of a difference, percent; never more than what the recordings leave in doubt. */
function roadEndsSdPct(a: ReadySide, b: ReadySide): number {
  const noise = a.places.motionFactor.map((factor, k) => 100 * (factor / b.places.motionFactor[k] - 1))
  const roadM = a.axis.cellM * a.axis.speedMps.length
  return Math.min((100 * ROAD_ENDS.m) / roadM + 100 * ROAD_ENDS.ofLength, standardDeviation(noise))
}

/**
 * The shares in each of the first draws, percent; they add up to that draw's difference. Density, wind and rolling
 * temperature are exchanged anew in every draw, at some places of the road. What they leave of the draw's difference
 * belongs to the motion: its traffic and the recording's noise to the speed, the rest, which the vehicle's own doubt
 * makes, to speed and route by the size of their means.
 * @param changes those of `shareChanges`
 */
export function shareDraws(
  a: ReadySide,
  b: ReadySide,
  means: Record<Factor, number>,
  changes: readonly Float64Array[],
): Record<Factor, Float64Array> {
  const [airDensity, wind, rollingTemperature] = changes.map((ofFactor, f) =>
    ofFactor.map((change) => means[FACTORS[f]] + change),
  )
  const sizes = Math.abs(means.speed) + Math.abs(means.route)
  const routePart = sizes > 0 ? Math.abs(means.route) / sizes : 0
  const speed = new Float64Array(wind.length)
  const route = new Float64Array(wind.length)
  for (let k = 0; k < wind.length; k++) {
    const ratio = b.drawsJPerM[k] / a.drawsJPerM[k]
    const withoutNoise = (ratio * a.places.motionFactor[k]) / b.places.motionFactor[k]
    const left = 100 * (withoutNoise - 1) - airDensity[k] - wind[k] - rollingTemperature[k] - means.speed - means.route
    route[k] = means.route + routePart * left
    speed[k] = means.speed + (1 - routePart) * left + 100 * (ratio - withoutNoise)
  }
  return { airDensity, wind, rollingTemperature, speed, route }
}

/** By how much each draw changes the share of each exchanged factor against the best estimate, percent. */
export function shareChanges(a: ReadySide, b: ReadySide, shared: SharedDraws): Float64Array[] {
  const columns = a.places.columns.length
  const demands = mixedDemands(a, b, shared)
  const shares = EXCHANGED.map(() => new Float64Array(columns))
  const ofSets = new Float64Array(1 << EXCHANGED.length)
  for (let k = 0; k < columns; k++) {
    for (let set = 0; set < ofSets.length; set++) ofSets[set] = demands[set * columns + k]
    // Where the two have no place in common nothing is known of the changes.
    if (!(ofSets[0] > 0)) continue
    for (const [f, share] of shapleyShares(ofSets).entries()) shares[f][k] = share
  }
  return shares.map((all) => all.subarray(0, columns - 1).map((share) => share - all[columns - 1]))
}
