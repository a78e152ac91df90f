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
  const both: OfBoth = {
    cells: a.places.cells,
    columns: a.places.columns,
    cellM: a.axis.cellM,
    payloadKg: a.axis.payloadKg,
    climbM: a.axis.climbM,
    densityA: a.axis.densityKgM3,
    densityB: b.axis.densityKgM3,
    factorA: a.places.densityFactor,
    factorB: b.places.densityFactor,
    rollA: rollingJ(a, a.axis.payloadKg, draws),
    rollB: rollingJ(b, a.axis.payloadKg, draws),
    speedA: a.axis.speedMps,
    speedB: b.axis.speedMps,
    headA: a.places.headMps,
    headB: b.places.headMps,
  }
  for (const wind of [0, WIND]) {
    const { headMps, crossMps, gustMps } = wind ? b.places : a.places
    for (const speed of [0, SPEED]) {
      const { speedMps, kineticJPerKg, idlingS } = speed ? b.axis : a.axis
      const taken: Taken = { headMps, crossMps, gustMps, speedMps, kineticJPerKg, idlingS }
      addPlaces(sumJ.subarray((wind | speed) * count), both, taken, draws)
    }
  }
  return sumJ
}

/** What goes into every set. A record of one form, whoever made the columns: so the loop below stays compiled. */
interface OfBoth {
  cells: Int32Array
  columns: Int32Array
  cellM: number
  payloadKg: number
  climbM: Float64Array
  densityA: Float64Array
  densityB: Float64Array
  factorA: Float64Array
  factorB: Float64Array
  rollA: Float64Array
  rollB: Float64Array
  speedA: Float64Array
  speedB: Float64Array
  headA: Float64Array
  headB: Float64Array
}

/** The wind that one run met, and the motion of the same or the other. */
interface Taken {
  headMps: Float64Array
  crossMps: Float64Array
  gustMps: Float64Array
  speedMps: Float64Array
  kineticJPerKg: Float64Array
  idlingS: Float64Array
}

/** Adds the demand at all places for one wind and one motion, with density and rolling resistance of either run. */
function addPlaces(
  sumJ: Float64Array,
  both: OfBoth,
  { headMps, crossMps, gustMps, speedMps, kineticJPerKg, idlingS }: Taken,
  { massKg, dragAreaM2, dragYawRise, idlePowerW, recovery, vehicle }: SharedDraws,
): void {
  const { efficiency, stores, frictionN, idlePowerW: bestIdleW } = vehicle.powertrain
  const least = leastDrawnJ(stores)
  const { cells, columns, cellM, payloadKg, climbM, densityA, densityB, factorA, factorB, rollA, rollB } = both
  const { speedA, speedB, headA, headB } = both
  const count = columns.length
  const [atDensity, atRolling] = [DENSITY * count, ROLLING * count]
  for (let place = 0; place < cells.length; place++) {
    const i = cells[place]
    const from = place * count
    if (Number.isNaN(speedA[i] + speedB[i] + headA[from] + headB[from])) continue
    const speed = speedMps[i]
    const liftedJPerKg = liftJPerKg(climbM[i], kineticJPerKg[i], vehicle.rotatingShare)
    const idleTimeS = idleS(idlingS[i], cellM, frictionN, bestIdleW.value)
    const steadyJ = vehicle.speedForceNPerMps * speed * cellM
    const halfA = 0.5 * densityA[i] * cellM
    const halfB = 0.5 * densityB[i] * cellM
    for (let k = 0; k < count; k++) {
      const s = columns[k]
      const j = from + k
      const area = dragAreaM2[s] * dragTerm(speed + headMps[j], crossMps[j], dragYawRise[s], gustMps[j])
      const restJ = steadyJ + (massKg[s] + payloadKg) * liftedJPerKg
      const dragA = halfA * factorA[k] * area + restJ
      const dragB = halfB * factorB[k] * area + restJ
      const idleJ = idlePowerW[s] * idleTimeS
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
