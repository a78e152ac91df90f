import { type AirDraws, DEPARTURE_KNOT_S, type DepartureDraws } from './run-draws.ts'
import type { EnsembleRun } from './types.ts'

/**
 * The 10 m wind of each draw at one step, east and north side by side, m/s: the observed wind with the instrument's gain
 * and turn, the departure from the station at that time, and the part whose direction nobody knows.
 */
export function drawnWind(
  { air, runAir }: EnsembleRun,
  step: number,
  { windGain, windTurnCos, windTurnSin, undirectedEast, undirectedNorth }: AirDraws,
  departure: DepartureDraws,
): Float64Array {
  const position = runAir.along.time[air.node[step]] / DEPARTURE_KNOT_S - departure.firstKnot
  const knot = Math.max(0, Math.min(departure.quick.length - 2, Math.floor(position)))
  const share = Math.min(1, Math.max(0, position - knot))
  const w0 = air.departureSdMps[step] * Math.sqrt(1 - share)
  const w1 = air.departureSdMps[step] * Math.sqrt(share)
  const [before, after] = [departure.quick[knot], departure.quick[knot + 1]]
  const lasting = departure.slow[knot]
  const sd = air.departureSdMps[step]
  const [e, n] = [air.windEastMps[step], air.windNorthMps[step]]
  const undirected = air.undirectedMps[step] * Math.SQRT1_2
  const wind = new Float64Array(2 * windGain.length)
  for (let k = 0; k < windGain.length; k++) {
    const cos = windGain[k] * windTurnCos[k]
    const sin = windGain[k] * windTurnSin[k]
    const [east, north] = [2 * k, 2 * k + 1]
    wind[east] =
      e * cos + n * sin + w0 * before[east] + w1 * after[east] + sd * lasting[east] + undirected * undirectedEast[k]
    wind[north] =
      n * cos - e * sin + w0 * before[north] + w1 * after[north] + sd * lasting[north] + undirected * undirectedNorth[k]
  }
  return wind
}
