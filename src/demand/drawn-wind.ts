import { hypotenuse } from '../base/arithmetic.ts'
import { DEPARTURE_KNOT_S, type DepartureDraws, quickShare, SLOW_BASES } from './departure-draws.ts'
import type { AirDraws } from './run-draws.ts'
import type { EnsembleRun } from './types.ts'

/**
 * The 10 m wind of each draw at one step, east and north side by side, m/s: the observed wind with the instrument's gain
 * and turn, the departure from the station at that time, and the part whose direction nobody knows.
 */
export function drawnWind(
  { steps, air, runAir }: EnsembleRun,
  step: number,
  { windGain, windTurnCos, windTurnSin, undirectedEast, undirectedNorth }: AirDraws,
  departure: DepartureDraws,
): Float64Array {
  const position = runAir.along.time[air.node[step]] / DEPARTURE_KNOT_S - departure.firstKnot
  const knot = Math.max(0, Math.min(departure.quick.length - 2, Math.floor(position)))
  const share = Math.min(1, Math.max(0, position - knot))
  const [e, n] = [air.windEastMps[step], air.windNorthMps[step]]
  const sd = air.departureSdMps[step]
  const quick = quickShare(sd, hypotenuse(e, n) + air.undirectedMps[step])
  const w0 = sd * Math.sqrt(quick * (1 - share))
  const w1 = sd * Math.sqrt(quick * share)
  const w2 = sd * Math.sqrt(1 - quick)
  const [before, after] = [departure.quick[knot], departure.quick[knot + 1]]
  const undirected = air.undirectedMps[step] * Math.SQRT1_2
  const wind = new Float64Array(2 * windGain.length)
  for (let k = 0; k < windGain.length; k++) {
    const cos = windGain[k] * windTurnCos[k]
    const sin = windGain[k] * windTurnSin[k]
    const [east, north] = [2 * k, 2 * k + 1]
    wind[east] = e * cos + n * sin + w0 * before[east] + w1 * after[east] + undirected * undirectedEast[k]
    wind[north] = n * cos - e * sin + w0 * before[north] + w1 * after[north] + undirected * undirectedNorth[k]
  }
  for (const [basis, { at }] of SLOW_BASES.entries()) {
    const size = w2 * at(steps.latitude[step], steps.longitude[step])
    const drawn = departure.slow[knot][basis]
    for (let j = 0; j < wind.length; j++) wind[j] += size * drawn[j]
  }
  return wind
}
