import { STANDARD_GRAVITY } from '../base/units.ts'
import { dragTerm, drawnJ, idleS, leastDrawnJ, liftJPerKg, rollingAt } from '../demand/road-load.ts'
import { type SharedDraws, withBestEstimates } from '../demand/shared-draws.ts'
import type { PlaceColumns } from './place-draws.ts'
import type { RunOnAxis } from './run-on-axis.ts'
import { EXCHANGED } from './shapley.ts'

/** One run on the shared axis, and what it met at some of its cells. */
export interface MixedSide {
  axis: RunOnAxis
  places: PlaceColumns
}

/** Bits of a set of factors, in the order of EXCHANGED. */
const [DENSITY, WIND, ROLLING, SPEED] = EXCHANGED.map((_, f) => 1 << f)

/**
 * Demand over the places, J, for every set of factors taken from b, the others from a, in every column: one column of
 * best estimates, or many draws. What several sets share is computed once. Load and road are a's; the rolling resistance
 * is that of the level, which on a grade of 5 % makes 0.1 % of it.
 *
 * @returns the columns of a set side by side; 0 where the two have no place in common
 */
export function mixedDemands(a: MixedSide, b: MixedSide, shared: SharedDraws): Float64Array {
  const draws = withBestEstimates(shared)
  const count = a.places.columns.length
  const sumJ = new Float64Array(count << EXCHANGED.length)
  const rollJ = [rollingJ(a, a.axis.payloadKg, draws), rollingJ(b, a.axis.payloadKg, draws)]
  for (const wind of [0, WIND]) {
    for (const speed of [0, SPEED]) {
      const taken = { wind: wind ? b.places : a.places, motion: speed ? b.axis : a.axis }
      addPlaces(sumJ.subarray((wind | speed) * count), a, b, taken, rollJ, draws)
    }
  }
  return sumJ
}

/** Adds the demand at all places for one wind and one motion, with density and rolling resistance of either run. */
function addPlaces(
  sumJ: Float64Array,
  a: MixedSide,
  b: MixedSide,
  { wind, motion }: { wind: PlaceColumns; motion: RunOnAxis },
  [rollA, rollB]: Float64Array[],
  { massKg, dragAreaM2, dragYawRise, idlePowerW, recovery, vehicle }: SharedDraws,
): void {
  const { efficiency, stores, frictionN, idlePowerW: bestIdleW } = vehicle.powertrain
  const least = leastDrawnJ(stores)
  const { cells, columns } = a.places
  const count = columns.length
  const { cellM, climbM, payloadKg } = a.axis
  const { headMps, crossMps, gustMps } = wind
  const [densityA, densityB] = [a.axis.densityKgM3, b.axis.densityKgM3]
  const [factorA, factorB] = [a.places.densityFactor, b.places.densityFactor]
  const [atDensity, atRolling] = [DENSITY * count, ROLLING * count]
  for (let place = 0; place < cells.length; place++) {
    const i = cells[place]
    const from = place * count
    if (Number.isNaN(a.axis.speedMps[i] + b.axis.speedMps[i] + a.places.headMps[from] + b.places.headMps[from]))
      continue
    const speedMps = motion.speedMps[i]
    const liftedJPerKg = liftJPerKg(climbM[i], motion.kineticJPerKg[i], vehicle.rotatingShare)
    const idlingS = idleS(motion.idlingS[i], cellM, frictionN, bestIdleW.value)
    const steadyJ = vehicle.speedForceNPerMps * speedMps * cellM
    const halfA = 0.5 * densityA[i] * cellM
    const halfB = 0.5 * densityB[i] * cellM
    for (let k = 0; k < count; k++) {
      const s = columns[k]
      const j = from + k
      const area = dragAreaM2[s] * dragTerm(speedMps + headMps[j], crossMps[j], dragYawRise[s], gustMps[j])
      const restJ = steadyJ + (massKg[s] + payloadKg) * liftedJPerKg
      const dragA = halfA * factorA[k] * area + restJ
      const dragB = halfB * factorB[k] * area + restJ
      const idleJ = idlePowerW[s] * idlingS
      const recovered = recovery[s]
      sumJ[k] += drawnJ(dragA + rollA[j], idleJ, efficiency, recovered, least)
      sumJ[atDensity + k] += drawnJ(dragB + rollA[j], idleJ, efficiency, recovered, least)
      sumJ[atRolling + k] += drawnJ(dragA + rollB[j], idleJ, efficiency, recovered, least)
      sumJ[atRolling + atDensity + k] += drawnJ(dragB + rollB[j], idleJ, efficiency, recovered, least)
    }
  }
}

/** Work of the rolling resistance over each place in each column, J. */
function rollingJ({ axis, places }: MixedSide, payloadKg: number, draws: SharedDraws): Float64Array {
  const { massKg, rolling, rollingTemperaturePerK } = draws
  const { cells, columns, temperatureErrorK } = places
  const out = new Float64Array(cells.length * columns.length)
  for (let place = 0, j = 0; place < cells.length; place++) {
    const temperatureK = axis.temperatureK[cells[place]]
    for (let k = 0; k < columns.length; k++, j++) {
      const s = columns[k]
      const onReferenceJ = rolling[s] * (massKg[s] + payloadKg) * STANDARD_GRAVITY * axis.cellM
      out[j] = rollingAt(onReferenceJ, rollingTemperaturePerK[s], temperatureK + temperatureErrorK[k])
    }
  }
  return out
}
