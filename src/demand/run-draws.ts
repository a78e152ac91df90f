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
/** The quick part of departures from station to road is drawn at instants this far apart and joined. */
export const DEPARTURE_KNOT_S = 1200
const UNDIRECTED_KNOT_S = 21_600

/**
 * Sun on road and tyres, and how far these have warmed up, as a temperature of the air that would do the same, K: another
 * each day. Roads in the sun are 10 to 20 K warmer than the air, of which tyres take a part. Common practice, no source.
 */
export const TYRE_DAY_SD_K = 1.2

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
function addScaled(to: Float64Array, factor: number, draws: Float64Array): void {
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

/**
 * The memory of the wind's departure from station to road: shares of its variance with the time over which each forgets, s.
 * Hills, coasts and the day's weather last; gusts and showers pass. The shares are those with which pairs of simulated
 * drives are covered; common practice, no source.
 */
export const DEPARTURE_MEMORY = {
  quick: { share: 0.3 },
  slow: [10_800, 86_400].map((knotS) => ({ knotS, share: 0.35 })),
}

/** East and north components of each draw side by side, in units of the departure's standard deviation, at each knot. */
export interface DepartureDraws {
  firstKnot: number
  /** What is forgotten from knot to knot. */
  quick: Float64Array[]
  /** What lasts longer, at the same knots. */
  slow: Float64Array[]
}

export function departureDraws(
  run: EnsembleRun,
  shared: SharedDraws,
  draw: Drawing = drawingOf(shared.settings),
): DepartureDraws {
  const { time } = run.steps
  const firstKnot = Math.floor(time[0] / DEPARTURE_KNOT_S)
  const lastKnot = Math.floor(time[time.length - 1] / DEPARTURE_KNOT_S) + 1
  const at = sideBySide(run.region, shared.settings.draws, draw)
  const { quick, slow } = DEPARTURE_MEMORY
  const out: DepartureDraws = { firstKnot, quick: [], slow: [] }
  for (let knot = firstKnot; knot <= lastKnot; knot++) {
    out.quick.push(sumOf([[Math.sqrt(quick.share), at(String(knot))]]))
    out.slow.push(
      sumOf(
        slow.flatMap(({ knotS, share }) => {
          const position = (knot * DEPARTURE_KNOT_S) / knotS
          const before = Math.floor(position)
          const past = position - before
          // Roots: the sum of two independent draws keeps its spread.
          return [
            [Math.sqrt(share * (1 - past)), at(`${knotS}/${before}`)],
            [Math.sqrt(share * past), at(`${knotS}/${before + 1}`)],
          ] as [number, Float64Array][]
        }),
      ),
    )
  }
  return out
}

/** Draws of a knot by its name, east and north side by side, with room for the best estimates; each made once. */
function sideBySide(region: string, count: number, draw: Drawing): (name: string) => Float64Array {
  const made = new Map<string, Float64Array>()
  return (name) => {
    const known = made.get(name)
    if (known) return known
    const east = draw(`wind-departure/${region}/${name}/east`)
    const north = draw(`wind-departure/${region}/${name}/north`)
    const both = new Float64Array(2 * (count + EXTRAS))
    for (let k = 0; k < count; k++) {
      both[2 * k] = east[k]
      both[2 * k + 1] = north[k]
    }
    made.set(name, both)
    return both
  }
}

function sumOf(parts: readonly (readonly [factor: number, draws: Float64Array])[]): Float64Array {
  const sum = new Float64Array(parts[0][1].length)
  for (const [factor, draws] of parts) addScaled(sum, factor, draws)
  return sum
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
