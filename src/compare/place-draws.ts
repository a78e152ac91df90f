import { crosswindMps, headwindMps } from '../air/wind.ts'
import { hypotenuse } from '../base/arithmetic.ts'
import { drawsOf } from '../base/draws.ts'
import { departureDraws } from '../demand/departure-draws.ts'
import { drawnWind } from '../demand/drawn-wind.ts'
import { exposureAt } from '../demand/exposure.ts'
import { type AirDraws, airDraws, trafficDraws } from '../demand/run-draws.ts'
import { type SharedDraws, withBestEstimates } from '../demand/shared-draws.ts'
import { windyPlace } from '../demand/step-air.ts'
import type { EnsembleRun } from '../demand/types.ts'
import type { RunOnAxis } from './run-on-axis.ts'

/**
 * So many of the ensemble's draws at so many places tell by how much the shares of a difference are uncertain: their
 * standard deviations come out within a tenth or so of those from all draws at all places, at a hundredth of the price.
 */
export const MOST_DRAWS = 100
export const MOST_PLACES = 64

/** What one run met at some places of its road, in some columns of the draws with their best estimates. */
export interface PlaceColumns {
  /** Cells of the road's axis. */
  cells: Int32Array
  /** Places in the columns of `withBestEstimates`. */
  columns: Int32Array
  /** Wind at the vehicle against the motion and across it, m/s: for each column every place; NaN where it did not drive. */
  headMps: Float64Array
  crossMps: Float64Array
  /** Standard deviation of the gusts there, m/s. */
  gustMps: Float64Array
  /** For each column, at all places: factor on the density, and error of the temperature that the tyres feel. */
  densityFactor: Float64Array
  temperatureErrorK: Float64Array
}

/** The same in the ensemble's first draws and, in the last column, by the best estimate. */
export interface PlaceDraws extends PlaceColumns {
  /** Factor on the demand from the recording's noise and the traffic, in each draw. */
  motionFactor: Float64Array
}

/** Every cell of the axis by the best estimate alone. */
export function bestAtAllCells(axis: RunOnAxis, { settings, bestExposure, bestTurbulence }: SharedDraws): PlaceColumns {
  const count = axis.speedMps.length
  const cells = new Int32Array(count)
  const headMps = new Float64Array(count)
  const crossMps = new Float64Array(count)
  const gustMps = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    cells[i] = i
    headMps[i] = bestExposure * axis.headMps[i]
    crossMps[i] = bestExposure * axis.crossMps[i]
    gustMps[i] = bestTurbulence * hypotenuse(axis.headMps[i], axis.crossMps[i])
  }
  return {
    cells,
    columns: Int32Array.of(settings.draws),
    headMps,
    crossMps,
    gustMps,
    densityFactor: Float64Array.of(1),
    temperatureErrorK: Float64Array.of(0),
  }
}

/** Draws the air of a run at even places of its road, as `demandOf` does at every step. */
export function placeDrawsOf(run: EnsembleRun, axis: RunOnAxis, shared: SharedDraws): PlaceDraws {
  const { settings } = shared
  const draws = Math.min(MOST_DRAWS, settings.draws)
  const columns = Int32Array.from({ length: draws + 1 }, (_, k) => (k < draws ? k : settings.draws))
  const cellCount = axis.speedMps.length
  const places = Math.min(MOST_PLACES, cellCount)
  const cells = Int32Array.from({ length: places }, (_, p) => Math.floor(((p + 0.5) * cellCount) / places))
  const air = airDraws(run, shared)
  const recording = drawsOf(`recording/${run.recording}`, settings.draws, settings.seed)
  const traffic = trafficDraws(run, shared)
  return {
    cells,
    columns,
    ...windAt(run, stepsAt(run, cells, axis.cellM), columns, air, shared),
    densityFactor: Float64Array.from(columns, (s) => air.density[s]),
    temperatureErrorK: Float64Array.from(columns, (s) => air.tyreK[s]),
    motionFactor: recording.subarray(0, draws).map((z, k) => 1 + run.recordingSd * z + traffic[k]),
  }
}

/** The wind that the run met in each column at some of its steps; NaN where the step is −1. */
function windAt(
  run: EnsembleRun,
  stepsThere: Int32Array,
  columns: Int32Array,
  air: AirDraws,
  shared: SharedDraws,
): Pick<PlaceColumns, 'headMps' | 'crossMps' | 'gustMps'> {
  const { courseEast, courseNorth } = run.steps
  const draws = withBestEstimates(shared)
  const { turbulence } = draws
  const departure = departureDraws(run, shared)
  const headMps = new Float64Array(stepsThere.length * columns.length).fill(Number.NaN)
  const crossMps = headMps.slice()
  const gustMps = headMps.slice()
  for (const [p, step] of stepsThere.entries()) {
    if (step < 0) continue
    const [ce, cn] = [courseEast[step], courseNorth[step]]
    const wind = drawnWind(run, step, air, departure)
    const exposure = exposureAt(windyPlace(run.steps, run.air, step), draws)
    for (let k = 0, j = p; k < columns.length; k++, j += stepsThere.length) {
      const s = columns[k]
      const [east, north] = [wind[2 * s], wind[2 * s + 1]]
      headMps[j] = exposure[s] * headwindMps(east, north, ce, cn)
      crossMps[j] = exposure[s] * crosswindMps(east, north, ce, cn)
      gustMps[j] = turbulence[s] * hypotenuse(east, north)
    }
  }
  return { headMps, crossMps, gustMps }
}

/** The step that drives through the middle of each cell; −1 where none does. */
function stepsAt({ steps }: EnsembleRun, cells: Int32Array, cellM: number): Int32Array {
  const found = new Int32Array(cells.length).fill(-1)
  for (let i = 0; i < steps.distanceM.length; i++) {
    const [from, to] = [steps.axisFromM[i], steps.axisToM[i]]
    if (!(to > from)) continue
    const first = Math.ceil(from / cellM - 0.5)
    const last = Math.floor(to / cellM - 0.5)
    if (last < first) continue
    for (let p = 0; p < cells.length; p++) if (cells[p] >= first && cells[p] <= last) found[p] = i
  }
  return found
}
