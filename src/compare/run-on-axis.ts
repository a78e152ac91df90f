import { engineTimeS } from '../demand/piece.ts'
import { windOnCourse } from '../demand/step-air.ts'
import type { EnsembleRun, RunLoad } from '../demand/types.ts'

/** One run on the cells of its route's axis; columns of one length, NaN where it did not drive. */
export interface RunOnAxis extends RunLoad {
  cellM: number
  /** Time with the engine running, s. */
  idlingS: Float64Array
  speedMps: Float64Array
  kineticJPerKg: Float64Array
  climbM: Float64Array
  densityKgM3: Float64Array
  temperatureK: Float64Array
  /** At 10 m: positive against the motion, positive from the right, m/s. */
  headMps: Float64Array
  crossMps: Float64Array
}

const MOST_CELLS = 8000
const LEAST_CELL_M = 15

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
    accessoriesW: run.accessoriesW,
    idlingS: column(),
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
    const { headMps, crossMps } = windOnCourse(steps, air, i)
    const first = Math.min(count - 1, Math.floor(from / cellM))
    const last = Math.min(count - 1, Math.floor(to / cellM))
    for (let cell = first; cell <= last; cell++) {
      const overlapM = Math.min(to, (cell + 1) * cellM) - Math.max(from, cell * cellM)
      const share = to > from ? overlapM / (to - from) : 1
      out.idlingS[cell] += share * engineTimeS(steps, i)
      out.kineticJPerKg[cell] += share * steps.kineticJPerKg[i]
      out.climbM[cell] += share * steps.climbM[i]
      if (!(overlapM > 0)) continue
      driven[cell] += overlapM
      out.speedMps[cell] += overlapM * steps.speedMps[i]
      out.densityKgM3[cell] += overlapM * air.densityKgM3[i]
      out.temperatureK[cell] += overlapM * air.temperatureK[i]
      out.headMps[cell] += overlapM * headMps
      out.crossMps[cell] += overlapM * crossMps
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
