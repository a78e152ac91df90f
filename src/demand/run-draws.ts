import { growthWithWind } from '../air/blend.ts'
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
 * The memory of the wind's departure from station to road. Hills, coasts and the day's weather last: half of what is slow is
 * forgotten in three hours, half in a day (common practice, no source). What passes within 20 minutes is as large far from
 * the stations as near them, since distance adds only what is slow: the wind at one station changes by 1.04 (m/s)² in an
 * hour, in proportion to the time, so by a third of that in 20 minutes. Next to a station nearly all is quick.
 * @source Deutscher Wetterdienst, hourly wind of station 02667, 2019 to 2021 (13,194 pairs of hours)
 */
export const DEPARTURE_MEMORY = {
  /** Variance of one component in an ordinary wind, (m/s)², and the most that it can be of the whole. */
  quick: { variance: 0.35, mostShare: 0.75 },
  slow: [10_800, 86_400].map((knotS) => ({ knotS, share: 0.5 })),
}

/**
 * What is slow is not the same everywhere: waves of 150 km along both axes. With what is quick, two places 25 and 50 km apart
 * then differ by 1.1 and 2.1 (m/s)² where a station is 30 km away; carried by 7 m/s, the hourly winds above give 1.04 and 2.08.
 * Beyond some 60 km the waves say only that places differ: 75 km along both axes they are opposed, as real winds are not,
 * so that a straight slanting road of 200 km has less of this doubt than it should.
 * Each basis is a function of the place, degrees; their squares add up to 1.
 */
export const SLOW_BASES: readonly { name: string; at: (latitude: number, longitude: number) => number }[] = [
  { name: 'north/cos', at: (latitude) => Math.SQRT1_2 * Math.cos(PER_DEGREE.north * latitude) },
  { name: 'north/sin', at: (latitude) => Math.SQRT1_2 * Math.sin(PER_DEGREE.north * latitude) },
  { name: 'east/cos', at: (_, longitude) => Math.SQRT1_2 * Math.cos(PER_DEGREE.east * longitude) },
  { name: 'east/sin', at: (_, longitude) => Math.SQRT1_2 * Math.sin(PER_DEGREE.east * longitude) },
]
/** Radians of the wave a degree of latitude, and of longitude as at 51°. */
const PER_DEGREE = { north: (2 * Math.PI * 111) / 150, east: (2 * Math.PI * 70) / 150 }

/**
 * The share of a departure's variance that is forgotten in 20 minutes.
 * @param sdMps the whole departure's standard deviation, of one component
 * @param windMps 10 m wind
 */
export function quickShare(sdMps: number, windMps: number): number {
  const { variance, mostShare } = DEPARTURE_MEMORY.quick
  const quick = variance * growthWithWind(windMps)
  const whole = sdMps * sdMps
  return quick < mostShare * whole ? quick / whole : mostShare
}

/** East and north components of each draw side by side, in units of their standard deviation, at each knot. */
export interface DepartureDraws {
  firstKnot: number
  /** What is forgotten from knot to knot. */
  quick: Float64Array[]
  /** What lasts longer, at the same knots, for each of SLOW_BASES. */
  slow: Float64Array[][]
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
  const { slow } = DEPARTURE_MEMORY
  const out: DepartureDraws = { firstKnot, quick: [], slow: [] }
  for (let knot = firstKnot; knot <= lastKnot; knot++) {
    out.quick.push(at(String(knot)))
    const lasting = (basis: string): Float64Array =>
      sumOf(
        slow.flatMap(({ knotS, share }): [number, Float64Array][] => {
          const position = (knot * DEPARTURE_KNOT_S) / knotS
          const before = Math.floor(position)
          const past = position - before
          // Roots: the sum of two independent draws keeps its spread.
          return [
            [Math.sqrt(share * (1 - past)), at(`${knotS}/${before}/${basis}`)],
            [Math.sqrt(share * past), at(`${knotS}/${before + 1}/${basis}`)],
          ]
        }),
      )
    out.slow.push(SLOW_BASES.map(({ name }) => lasting(name)))
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
