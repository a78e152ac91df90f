import { STANDARD_GRAVITY } from '../base/units.ts'
import { dragTerm, drawnJ, leastDrawnJ } from '../demand/force.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import type { EnsembleRun } from '../demand/types.ts'
import { ROLLING_REFERENCE_K } from '../demand/vehicle.ts'

/** Shares of a conditions difference, percent; they add up to its mean. */
export interface Contributions {
  airDensityPct: number
  windPct: number
  rollingTemperaturePct: number
  speedPct: number
  routePct: number
}

/** One run on the cells of its route's axis; columns of one length, NaN where it did not drive. */
export interface RunOnAxis {
  cellM: number
  payloadKg: number
  durationS: Float64Array
  speedMps: Float64Array
  kineticJPerKg: Float64Array
  climbM: Float64Array
  densityKgM3: Float64Array
  temperatureK: Float64Array
  /** Against the motion and across it, at anemometer height, m/s. */
  headMps: Float64Array
  crossMps: Float64Array
}

const MOST_CELLS = 8000
const LEAST_CELL_M = 15
const FACTORS = ['airDensityPct', 'windPct', 'rollingTemperaturePct', 'speedPct'] as const

/** Brings a run's steps onto even cells of the route's axis, so that one run's wind can meet the other's speed. */
export function onAxis(run: EnsembleRun, axisLengthM: number): RunOnAxis {
  const { steps, air } = run
  const count = Math.max(1, Math.min(MOST_CELLS, Math.floor(axisLengthM / LEAST_CELL_M)))
  const cellM = axisLengthM / count
  const column = (): Float64Array => new Float64Array(count)
  const driven = column()
  const out: RunOnAxis = {
    cellM,
    payloadKg: run.payloadKg,
    durationS: column(),
    speedMps: column(),
    kineticJPerKg: column(),
    climbM: column(),
    densityKgM3: column(),
    temperatureK: column(),
    headMps: column(),
    crossMps: column(),
  }
  for (let i = 0; i < steps.distanceM.length; i++) {
    const from = steps.axisFromM[i]
    const to = steps.axisToM[i]
    if (!(to >= from)) continue
    const head = -(air.windEastMps[i] * steps.courseEast[i] + air.windNorthMps[i] * steps.courseNorth[i])
    const cross = air.windEastMps[i] * steps.courseNorth[i] - air.windNorthMps[i] * steps.courseEast[i]
    const first = Math.min(count - 1, Math.floor(from / cellM))
    const last = Math.min(count - 1, Math.floor(to / cellM))
    for (let cell = first; cell <= last; cell++) {
      const overlapM = Math.min(to, (cell + 1) * cellM) - Math.max(from, cell * cellM)
      const share = to > from ? overlapM / (to - from) : 1
      out.durationS[cell] += share * steps.durationS[i]
      out.kineticJPerKg[cell] += share * steps.kineticJPerKg[i]
      out.climbM[cell] += share * steps.climbM[i]
      if (!(overlapM > 0)) continue
      driven[cell] += overlapM
      out.speedMps[cell] += overlapM * steps.speedMps[i]
      out.densityKgM3[cell] += overlapM * air.densityKgM3[i]
      out.temperatureK[cell] += overlapM * air.temperatureK[i]
      out.headMps[cell] += overlapM * head
      out.crossMps[cell] += overlapM * cross
    }
  }
  for (let cell = 0; cell < count; cell++) {
    const weight = driven[cell] > 0.5 * cellM ? 1 / driven[cell] : Number.NaN
    out.speedMps[cell] *= weight
    out.densityKgM3[cell] *= weight
    out.temperatureK[cell] *= weight
    out.headMps[cell] *= weight
    out.crossMps[cell] *= weight
  }
  return out
}

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
export function contributionsOf(
  a: RunOnAxis,
  b: RunOnAxis,
  shared: SharedDraws,
  { best, mean }: { best: number; mean: number },
): Contributions {
  const demand = mixedDemands(a, b, shared)
  const shares = FACTORS.map((_, f) => {
    let share = 0
    for (let set = 0; set < demand.length; set++) {
      if (set & (1 << f)) continue
      share += (100 * shapleyWeight(set) * (demand[set | (1 << f)] - demand[set])) / demand[0]
    }
    return share
  })
  const [airDensityPct, windPct, rollingTemperaturePct, speedPct] = shares
  const routePct = best - airDensityPct - windPct - rollingTemperaturePct - speedPct
  return { airDensityPct, windPct: windPct + mean - best, rollingTemperaturePct, speedPct, routePct }
}

/** |S|!·(n − |S| − 1)!/n! for a set of factors given as bits. */
function shapleyWeight(set: number): number {
  const factorial = [1, 1, 2, 6, 24]
  const size = FACTORS.reduce((n, _, f) => n + ((set >> f) & 1), 0)
  return (factorial[size] * factorial[FACTORS.length - size - 1]) / factorial[FACTORS.length]
}

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
  const sumJ = new Float64Array(1 << FACTORS.length)
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
      const gustMps = bestTurbulence * Math.sqrt(wind.headMps[i] ** 2 + wind.crossMps[i] ** 2)
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
