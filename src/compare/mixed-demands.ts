import { STANDARD_GRAVITY } from '../base/units.ts'
import { accessoryPowerW, dragTerm, idleJ, leastNeededJ, liftJPerKg, neededJ, rollingAt } from '../demand/road-load.ts'
import { type SharedDraws, withBestEstimates } from '../demand/shared-draws.ts'
import type { PlaceColumns } from './place-draws.ts'
import type { RunOnAxis } from './run-on-axis.ts'
import { EXCHANGED } from './shapley.ts'

/** One run on the shared axis, and what it met at some of its cells. */
export interface MixedSide {
  axis: RunOnAxis
  places: PlaceColumns
  /** Work of the rolling resistance over each place for each kilogram, J/kg: for each column every place. */
  rollingJPerKg: Float64Array
}

export const mixedSide = (axis: RunOnAxis, places: PlaceColumns, shared: SharedDraws): MixedSide => ({
  axis,
  places,
  rollingJPerKg: rollingJPerKg(axis, places, withBestEstimates(shared)),
})

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
    driven: drivenByBoth(a, b),
    columns: a.places.columns,
    cellM: a.axis.cellM,
    payloadKg: a.axis.payloadKg,
    accessoriesW: a.axis.accessoriesW,
    climbM: a.axis.climbM,
    densityA: a.axis.densityKgM3,
    densityB: b.axis.densityKgM3,
    factorA: a.places.densityFactor,
    factorB: b.places.densityFactor,
    rollA: a.rollingJPerKg,
    rollB: b.rollingJPerKg,
  }
  for (const wind of [0, WIND]) {
    const { headMps, crossMps, gustMps } = wind ? b.places : a.places
    for (const speed of [0, SPEED]) {
      const { speedMps, kineticJPerKg, idlingS } = speed ? b.axis : a.axis
      const taken: Taken = { headMps, crossMps, gustMps, speedMps, kineticJPerKg, idlingS }
      for (let k = 0; k < count; k++) addPlaces(sumJ, (wind | speed) * count + k, both, taken, k, draws)
    }
  }
  return sumJ
}

/** Which of the places both drove. */
function drivenByBoth(a: MixedSide, b: MixedSide): Int32Array {
  const { cells } = a.places
  const driven = new Int32Array(cells.length)
  let count = 0
  for (let p = 0; p < cells.length; p++) {
    const known = a.axis.speedMps[cells[p]] + b.axis.speedMps[cells[p]] + a.places.headMps[p] + b.places.headMps[p]
    if (!Number.isNaN(known)) driven[count++] = p
  }
  return driven.subarray(0, count)
}

/** What goes into every set. A record of one form, whoever made the columns: so the loop below stays compiled. */
interface OfBoth {
  cells: Int32Array
  driven: Int32Array
  columns: Int32Array
  cellM: number
  payloadKg: number
  accessoriesW: number
  climbM: Float64Array
  densityA: Float64Array
  densityB: Float64Array
  factorA: Float64Array
  factorB: Float64Array
  rollA: Float64Array
  rollB: Float64Array
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

/**
 * Adds the demand at all places in one column for one wind and one motion, with density and rolling resistance of either
 * run. Nearly everywhere the wheels take work in all four cases: there it is summed, and divided by the efficiency once.
 * @param at the column's place in the sums of this wind and motion
 */
function addPlaces(sumJ: Float64Array, at: number, both: OfBoth, taken: Taken, k: number, draws: SharedDraws): void {
  const { cells, driven, columns, cellM, climbM, densityA, densityB, rollA, rollB } = both
  const { headMps, crossMps, gustMps, speedMps, kineticJPerKg, idlingS } = taken
  const { rotatingShare, speedForceNPerMps, powertrain } = draws.vehicle
  const { efficiency, stores } = powertrain
  const least = leastNeededJ(stores)
  const s = columns[k]
  const loadKg = draws.massKg[s] + both.payloadKg
  const [area, yawRise, idleW, recovery] = [
    draws.dragAreaM2[s],
    draws.dragYawRise[s],
    draws.idlePowerW[s] + accessoryPowerW(both, powertrain),
    draws.recovery[s],
  ]
  const halfA = 0.5 * cellM * both.factorA[k] * area
  const halfB = 0.5 * cellM * both.factorB[k] * area
  const steadyNs = speedForceNPerMps * cellM
  const frictionN = draws.frictionN[s]
  const frictionNPerMps = draws.frictionNPerMps[s]
  const atDensity = at + DENSITY * columns.length
  const atRolling = at + ROLLING * columns.length
  const atBoth = atRolling + DENSITY * columns.length
  let [idledJ, workedJ, workedDensityJ, workedRollingJ, workedBothJ] = [0, 0, 0, 0, 0]
  for (let n = 0; n < driven.length; n++) {
    const p = driven[n]
    const i = cells[p]
    const j = k * cells.length + p
    const speed = speedMps[i]
    const drag = dragTerm(speed + headMps[j], crossMps[j], yawRise, gustMps[j])
    const restJ = steadyNs * speed + loadKg * liftJPerKg(climbM[i], kineticJPerKg[i], rotatingShare)
    const idledHereJ = idleJ(idleW, idlingS[i], frictionN + frictionNPerMps * speed, cellM)
    const dragA = halfA * densityA[i] * drag + restJ
    const dragB = halfB * densityB[i] * drag + restJ
    const rollingA = loadKg * rollA[j]
    const rollingB = loadKg * rollB[j]
    if (Math.min(dragA, dragB) + Math.min(rollingA, rollingB) > 0) {
      idledJ += idledHereJ
      workedJ += dragA + rollingA
      workedDensityJ += dragB + rollingA
      workedRollingJ += dragA + rollingB
      workedBothJ += dragB + rollingB
    } else {
      sumJ[at] += neededJ(dragA + rollingA, idledHereJ, efficiency, recovery, least)
      sumJ[atDensity] += neededJ(dragB + rollingA, idledHereJ, efficiency, recovery, least)
      sumJ[atRolling] += neededJ(dragA + rollingB, idledHereJ, efficiency, recovery, least)
      sumJ[atBoth] += neededJ(dragB + rollingB, idledHereJ, efficiency, recovery, least)
    }
  }
  sumJ[at] += idledJ + workedJ / efficiency
  sumJ[atDensity] += idledJ + workedDensityJ / efficiency
  sumJ[atRolling] += idledJ + workedRollingJ / efficiency
  sumJ[atBoth] += idledJ + workedBothJ / efficiency
}

function rollingJPerKg({ cellM, temperatureK }: RunOnAxis, places: PlaceColumns, draws: SharedDraws): Float64Array {
  const { rolling, rollingTemperaturePerK } = draws
  const { cells, columns, temperatureErrorK } = places
  const out = new Float64Array(cells.length * columns.length)
  for (let k = 0, j = 0; k < columns.length; k++) {
    const s = columns[k]
    const onReference = rolling[s] * STANDARD_GRAVITY * cellM
    for (let p = 0; p < cells.length; p++, j++) {
      out[j] = rollingAt(onReference, rollingTemperaturePerK[s], temperatureK[cells[p]] + temperatureErrorK[k])
    }
  }
  return out
}
