import { mean, quantile } from '../base/statistics.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { dragTerm, drawnJ, leastDrawnJ } from '../demand/force.ts'
import { type SharedDraws, withBestEstimates } from '../demand/shared-draws.ts'
import { ROLLING_REFERENCE_K } from '../demand/vehicle.ts'
import { EXCHANGED, FACTORS, type Factor, meanShares, shapleyShares } from './contributions.ts'
import { conditionsDifference } from './difference.ts'
import type { PlaceDraws } from './place-draws.ts'
import type { RunOnAxis } from './run-on-axis.ts'

/** One side of a comparison whose difference is to be shared out. */
export interface Side {
  axis: RunOnAxis
  places: PlaceDraws
  nominalJPerM: number
  drawsJPerM: Float64Array
}

/** A share of a conditions difference with its 90 % interval, percent. */
export interface Share {
  meanPct: number
  low90Pct: number
  high90Pct: number
}

/** Their means add up to the mean of the difference. */
export type Contributions = Record<Factor, Share>

/** What each condition contributes to the difference of two runs on one road. */
export function contributionsOf(a: Side, b: Side, shared: SharedDraws): Contributions {
  const best = 100 * (b.nominalJPerM / a.nominalJPerM - 1)
  const means = meanShares(a.axis, b.axis, shared, {
    best,
    mean: conditionsDifference(a.drawsJPerM, b.drawsJPerM, 0).meanPct,
  })
  const draws = shareDraws(a, b, shared, means)
  const withInterval = (factor: Factor): Share => {
    const shift = means[factor] - mean(draws[factor])
    return {
      meanPct: means[factor],
      low90Pct: quantile(draws[factor], 0.05) + shift,
      high90Pct: quantile(draws[factor], 0.95) + shift,
    }
  }
  return {
    airDensity: withInterval('airDensity'),
    wind: withInterval('wind'),
    rollingTemperature: withInterval('rollingTemperature'),
    speed: withInterval('speed'),
    route: withInterval('route'),
  }
}

/**
 * The shares in each of the first draws, percent; they add up to that draw's difference. Density, wind and rolling
 * temperature are exchanged anew in every draw, at some places of the road. What they leave of the draw's difference
 * belongs to the motion: its traffic and the recording's noise to the speed, the rest, which the vehicle's own doubt
 * makes, to speed and route by the size of their means.
 */
export function shareDraws(
  a: Side,
  b: Side,
  shared: SharedDraws,
  means: Record<Factor, number>,
): Record<Factor, Float64Array> {
  const [airDensity, wind, rollingTemperature] = shareChanges(a, b, shared).map((changes, f) =>
    changes.map((change) => means[FACTORS[f]] + change),
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
function shareChanges(a: Side, b: Side, shared: SharedDraws): Float64Array[] {
  const { draws } = a.places
  const columns = draws + 1
  const demands = mixedDemands(a, b, shared)
  const shares = EXCHANGED.map(() => new Float64Array(columns))
  const ofSets = new Float64Array(1 << EXCHANGED.length)
  for (let k = 0; k < columns; k++) {
    for (let set = 0; set < ofSets.length; set++) ofSets[set] = demands[set * columns + k]
    // Where the two have no place in common nothing is known of the changes.
    if (!(ofSets[0] > 0)) continue
    for (const [f, share] of shapleyShares(ofSets).entries()) shares[f][k] = share
  }
  return shares.map((all) => all.subarray(0, draws).map((share) => share - all[draws]))
}

/** For each set of factors taken from b, the others from a, and each draw the demand over the places, J. */
function mixedDemands(a: Side, b: Side, shared: SharedDraws): Float64Array {
  const { vehicle, settings } = shared
  const { massKg, dragAreaM2, dragYawRise, idlePowerW, recovery } = withBestEstimates(shared)
  const { efficiency, stores, frictionN } = vehicle.powertrain
  const least = leastDrawnJ(stores)
  const { cells, draws } = a.places
  const columns = draws + 1
  const sumJ = new Float64Array(columns << EXCHANGED.length)
  const { cellM, climbM, payloadKg } = a.axis
  const sides = [a, b]
  for (let place = 0; place < cells.length; place++) {
    const i = cells[place]
    const at = place * columns
    if (Number.isNaN(a.axis.speedMps[i] + b.axis.speedMps[i] + a.places.headMps[at] + b.places.headMps[at])) continue
    const [rollOfA, rollOfB] = sides.map((side) => rollingJ(side, i, payloadKg, shared))
    const [densityA, densityB] = sides.map(({ axis }) => 0.5 * axis.densityKgM3[i] * cellM)
    for (let windAndMotion = 0; windAndMotion < 4; windAndMotion++) {
      const { headMps, crossMps, gustMps } = sides[windAndMotion & 1].places
      const motion = sides[windAndMotion >> 1].axis
      const speedMps = motion.speedMps[i]
      const liftJPerKg = STANDARD_GRAVITY * climbM[i] + (1 + vehicle.rotatingShare) * motion.kineticJPerKg[i]
      const engineS = motion.durationS[i] + (frictionN * cellM) / vehicle.powertrain.idlePowerW.value
      const steadyJ = vehicle.speedForceNPerMps * speedMps * cellM
      const base = (((windAndMotion & 1) << 1) | ((windAndMotion >> 1) << 3)) * columns
      for (let k = 0; k < columns; k++) {
        const s = k < draws ? k : settings.draws
        const j = at + k
        const area = dragAreaM2[s] * dragTerm(speedMps + headMps[j], crossMps[j], dragYawRise[s], gustMps[j])
        const restJ = steadyJ + (massKg[s] + payloadKg) * liftJPerKg
        const dragA = densityA * a.places.densityFactor[k] * area + restJ
        const dragB = densityB * b.places.densityFactor[k] * area + restJ
        const engineJ = idlePowerW[s] * engineS
        const recovered = recovery[s]
        sumJ[base + k] += drawnJ(dragA + rollOfA[k], engineJ, efficiency, recovered, least)
        sumJ[base + columns + k] += drawnJ(dragB + rollOfA[k], engineJ, efficiency, recovered, least)
        sumJ[base + 4 * columns + k] += drawnJ(dragA + rollOfB[k], engineJ, efficiency, recovered, least)
        sumJ[base + 5 * columns + k] += drawnJ(dragB + rollOfB[k], engineJ, efficiency, recovered, least)
      }
    }
  }
  return sumJ
}

/** Work of the rolling resistance over a cell in each draw, J. */
function rollingJ({ axis, places }: Side, cell: number, payloadKg: number, shared: SharedDraws): Float64Array {
  const { massKg, rolling, rollingTemperaturePerK } = withBestEstimates(shared)
  const warmerK = axis.temperatureK[cell] - ROLLING_REFERENCE_K
  const out = new Float64Array(places.draws + 1)
  for (let k = 0; k < out.length; k++) {
    const s = k < places.draws ? k : shared.settings.draws
    const warmth = 1 + rollingTemperaturePerK[s] * (warmerK + places.temperatureErrorK[k])
    out[k] = (rolling[s] * (massKg[s] + payloadKg) * STANDARD_GRAVITY * axis.cellM) / warmth
  }
  return out
}
