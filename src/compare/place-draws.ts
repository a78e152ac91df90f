import { drawsOf } from '../base/draws.ts'
import { drawnWind } from '../demand/drawn-wind.ts'
import { airDraws, departureDraws, trafficDraws } from '../demand/run-draws.ts'
import { type SharedDraws, withBestEstimates } from '../demand/shared-draws.ts'
import type { EnsembleRun } from '../demand/types.ts'
import type { RunOnAxis } from './run-on-axis.ts'

/**
 * So many of the ensemble's draws at so many places tell by how much the shares of a difference are uncertain: their
 * standard deviations come out within a tenth or so of those from all draws at all places, at a hundredth of the price.
 */
export const MOST_DRAWS = 100
export const MOST_PLACES = 64

/** What one run met at some places of its road, in the first of the ensemble's draws and, behind them, by the best estimate. */
export interface PlaceDraws {
  /** Cells of the road's axis. */
  cells: Int32Array
  draws: number
  /** Wind at the vehicle against the motion and across it, m/s: for each place every draw; NaN where it did not drive. */
  headMps: Float64Array
  crossMps: Float64Array
  /** Standard deviation of the gusts there, m/s. */
  gustMps: Float64Array
  /** For each draw, at all places: factor on the density, and error of the temperature. */
  densityFactor: Float64Array
  temperatureErrorK: Float64Array
  /** Factor on the demand from the recording's noise and the traffic. */
  motionFactor: Float64Array
}

/** Draws the air of a run at even places of its road, as `demandOf` does at every step. */
export function placeDrawsOf(run: EnsembleRun, axis: RunOnAxis, shared: SharedDraws): PlaceDraws {
  const { settings } = shared
  const draws = Math.min(MOST_DRAWS, settings.draws)
  const columns = draws + 1
  const source = (k: number): number => (k < draws ? k : settings.draws)
  const chosen = (values: Float64Array): Float64Array =>
    Float64Array.from({ length: columns }, (_, k) => values[source(k)])
  const cellCount = axis.speedMps.length
  const places = Math.min(MOST_PLACES, cellCount)
  const cells = Int32Array.from({ length: places }, (_, p) => Math.floor(((p + 0.5) * cellCount) / places))
  const air = airDraws(run, shared)
  const departure = departureDraws(run, shared)
  const headMps = new Float64Array(places * columns).fill(Number.NaN)
  const crossMps = headMps.slice()
  const gustMps = headMps.slice()
  const { exposure, turbulence } = withBestEstimates(shared)
  for (const [p, step] of stepsAt(run, cells, axis.cellM).entries()) {
    if (step < 0) continue
    const { courseEast, courseNorth } = run.steps
    const [ce, cn] = [courseEast[step], courseNorth[step]]
    const wind = drawnWind(run, step, air, departure)
    for (let k = 0; k < columns; k++) {
      const s = source(k)
      const [east, north] = [wind[2 * s], wind[2 * s + 1]]
      headMps[p * columns + k] = -exposure[s] * (east * ce + north * cn)
      crossMps[p * columns + k] = exposure[s] * (east * cn - north * ce)
      gustMps[p * columns + k] = turbulence[s] * Math.sqrt(east * east + north * north)
    }
  }
  const recording = drawsOf(`recording/${run.recording}`, settings.draws, settings.seed)
  const traffic = trafficDraws(run, shared)
  return {
    cells,
    draws,
    headMps,
    crossMps,
    gustMps,
    densityFactor: chosen(air.density),
    temperatureErrorK: chosen(air.temperatureK),
    motionFactor: recording.subarray(0, draws).map((z, k) => 1 + run.recordingSd * z + traffic[k]),
  }
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
