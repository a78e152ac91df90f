import { saturationPressurePa } from '../air/humidity.ts'
import type { RunAir } from '../air/types.ts'
import { type Drawing, drawingOf } from '../base/draws.ts'
import { mean, standardDeviation, sum } from '../base/statistics.ts'
import { radians } from '../base/units.ts'
import { EXTRAS, type SharedDraws, withExtras } from './shared-draws.ts'
import type { EnsembleRun } from './types.ts'

/**
 * Slipstreams, gear changes and what else of other traffic a drive's recorded speed does not tell: relative, for each ten
 * minutes. What the recording itself leaves in doubt of the motion has its own draws. Its size is common practice, no
 * source; it is held against simulated truth in the tests.
 */
const TRAFFIC = { knotS: 600, sd: 0.004 }
const UNDIRECTED_KNOT_S = 21_600

/**
 * Sun on road and tyres, and how far these have warmed up, as a temperature of the air that would do the same, K: another
 * each day. Roads in the sun are 10 to 20 K warmer than the air, of which tyres take some third: up to 5 K between a clear
 * and a dull day, evenly spread. Common practice, no source.
 */
export const TYRE_DAY_SD_K = 1.5

/** K draws of what belongs to one run's air, beside what is shared. */
export interface AirDraws {
  /** Factor on the density. */
  density: Float64Array
  temperatureK: Float64Array
  /** The same as the tyres feel it: with sun and warming up. */
  tyreK: Float64Array
  windGain: Float64Array
  windTurnCos: Float64Array
  windTurnSin: Float64Array
  undirectedEast: Float64Array
  undirectedNorth: Float64Array
}

export function airDraws(run: EnsembleRun, shared: SharedDraws, draw: Drawing = drawingOf(shared.settings)): AirDraws {
  const { draws: count } = shared.settings
  const { runAir, region } = run
  const { along } = runAir
  const zero = (): Float64Array => new Float64Array(count + EXTRAS)
  const add = (to: Float64Array, name: string, sd: number): void => {
    if (sd !== 0) addScaled(to, sd, draw(name))
  }
  const temperatureK = zero()
  const pressurePa = zero()
  const humidity = zero()
  const gain = zero()
  const turnDeg = zero()
  for (const { id, weight, errors } of runAir.stations) {
    add(temperatureK, `station/${id}/temperature`, weight * errors.temperatureK)
    add(pressurePa, `station/${id}/pressure`, weight * errors.pressurePa)
    add(humidity, `station/${id}/humidity`, weight * errors.relativeHumidity)
    add(gain, `station/${id}/wind-speed`, weight * errors.windSpeed)
    add(turnDeg, `station/${id}/wind-direction`, weight * errors.windFromDeg)
  }
  const middleTime = along.time[along.time.length >> 1]
  const day = Math.floor(middleTime / 86_400)
  const hour = Math.floor(middleTime / 3600)
  add(pressurePa, `assumed-pressure/${region}/${day}`, runAir.assumed.pressureSdPa)
  add(humidity, `assumed-humidity/${region}/${day}`, runAir.assumed.humiditySd)
  add(temperatureK, `temperature-departure/${region}/${hour}`, mean(along.temperatureDepartureSdK))
  const tyreK = temperatureK.slice()
  add(tyreK, `tyres/${region}/${day}`, TYRE_DAY_SD_K)
  const undirected = Math.floor(middleTime / UNDIRECTED_KNOT_S)
  return {
    density: densityFactors(runAir, temperatureK, pressurePa, humidity),
    temperatureK,
    tyreK,
    windGain: gain.map(Math.exp),
    windTurnCos: turnDeg.map(cosine),
    windTurnSin: turnDeg.map(sine),
    undirectedEast: withExtras(draw(`undirected/${region}/${undirected}/east`), 0),
    undirectedNorth: withExtras(draw(`undirected/${region}/${undirected}/north`), 0),
  }
}

const cosine = (deg: number): number => Math.cos(radians(deg))
const sine = (deg: number): number => Math.sin(radians(deg))

/** Adds draws times a factor to the first elements of a column. */
export function addScaled(to: Float64Array, factor: number, draws: Float64Array): void {
  for (let k = 0; k < draws.length; k++) to[k] += factor * draws[k]
}

/** Relative standard deviation of a run's mean density, from its stations' errors, the departure from them and what was assumed. */
export function densityRelativeSd(run: EnsembleRun, shared: SharedDraws): number {
  return standardDeviation(airDraws(run, shared).density.subarray(0, shared.settings.draws))
}

/** Relative change of the density for errors of its inputs: ideal gas with the lighter vapour in place of dry air. */
function densityFactors(
  { along }: RunAir,
  temperatureK: Float64Array,
  pressurePa: Float64Array,
  humidity: Float64Array,
): Float64Array {
  const t = mean(along.temperatureK)
  const p = mean(along.pressurePa)
  const vapourShare = (0.378 * saturationPressurePa(t)) / p
  const factors = new Float64Array(temperatureK.length)
  for (let k = 0; k < factors.length; k++) {
    factors[k] = (1 + pressurePa[k] / p) / (1 + temperatureK[k] / t) - vapourShare * humidity[k]
  }
  return factors
}

/** Relative, drawn for each stretch of time and averaged over the run: long runs average it out, one drive seen by two devices shares it. */
export function trafficDraws(
  { steps, region }: EnsembleRun,
  shared: SharedDraws,
  draw: Drawing = drawingOf(shared.settings),
): Float64Array {
  const shareOfKnot = new Map<number, number>()
  const durationS = sum(steps.durationS)
  for (let i = 0; i < steps.time.length; i++) {
    const knot = Math.floor(steps.time[i] / TRAFFIC.knotS)
    shareOfKnot.set(knot, (shareOfKnot.get(knot) ?? 0) + steps.durationS[i] / durationS)
  }
  const relative = new Float64Array(shared.settings.draws)
  for (const [knot, share] of shareOfKnot) {
    addScaled(relative, TRAFFIC.sd * share, draw(`traffic/${region}/${knot}`))
  }
  return relative
}
