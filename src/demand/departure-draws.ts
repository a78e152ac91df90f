import { growthWithWind } from '../air/blend.ts'
import { type Drawing, drawingOf } from '../base/draws.ts'
import { radians } from '../base/units.ts'
import { addScaled } from './run-draws.ts'
import { EXTRAS, type SharedDraws } from './shared-draws.ts'
import type { EnsembleRun } from './types.ts'

/**
 * What passes quickly of the wind's departure from station to road: its variance in an ordinary wind, (m/s)² of one
 * component, and the most that it can be of the whole. It passes within 20 minutes and is as large far from the stations
 * as near them, since distance adds only what is slow: the wind at one station changes by 1.04 (m/s)² in an hour, in
 * proportion to the time, so by a third of that in 20 minutes. Next to a station nearly all is quick.
 * @source Deutscher Wetterdienst, hourly wind of station 02667, 2019 to 2021 (13,194 pairs of hours)
 */
const QUICK = { variance: 0.35, mostShare: 0.75 }
/** The quick part is drawn at instants this far apart and joined. */
export const DEPARTURE_KNOT_S = 1200

/** A part of the slow departures, drawn at instants so far apart: its size at each place, degrees. */
export interface SlowBasis {
  name: string
  knotS: number
  at: (latitude: number, longitude: number) => number
}

const SLOW_WAVE_KM = 140

/**
 * What is slow: a third of its variance is the day's, the same everywhere about the road; the rest, hills and coasts in the
 * weather of the hour, is forgotten in three hours and stands in three waves of 140 km at 60° to each other (what is wide
 * lasts long; that it is a third is common practice, no source). The squares of all sizes add up to 1.
 *
 * With what is quick, two places 25, 50 and 75 km apart then differ by 1.06, 1.8 and 2.4 (m/s)² where a station is 30 km
 * away, whatever the direction; carried by 7 m/s, the hourly winds above give 1.04, 2.01 and 2.84. Places farther apart are
 * hardly alike but nowhere opposed, since cos a + cos b + cos (a − b) is never below −3/2. Every 160 km along the waves the
 * same comes again: a straight road of that length has rather too much of this doubt.
 */
export const SLOW_BASES: readonly SlowBasis[] = [
  { name: 'even', knotS: 86_400, at: () => Math.sqrt(1 / 3) },
  ...[0, 60, 120].flatMap(slowWave),
]

function slowWave(towardsDeg: number): SlowBasis[] {
  const perKm = (2 * Math.PI) / SLOW_WAVE_KM
  // A degree of longitude as at 51°: elsewhere the waves are a little longer or shorter.
  const [north, east] = [111 * perKm * Math.cos(radians(towardsDeg)), 70 * perKm * Math.sin(radians(towardsDeg))]
  const size = Math.sqrt(2 / 9)
  const knotS = 10_800
  return [
    {
      name: `${towardsDeg}/cos`,
      knotS,
      at: (latitude, longitude) => size * Math.cos(north * latitude + east * longitude),
    },
    {
      name: `${towardsDeg}/sin`,
      knotS,
      at: (latitude, longitude) => size * Math.sin(north * latitude + east * longitude),
    },
  ]
}

/**
 * The share of a departure's variance that is forgotten in 20 minutes.
 * @param sdMps the whole departure's standard deviation, of one component
 * @param windMps 10 m wind
 */
export function quickShare(sdMps: number, windMps: number): number {
  const quick = QUICK.variance * growthWithWind(windMps)
  const whole = sdMps * sdMps
  return quick < QUICK.mostShare * whole ? quick / whole : QUICK.mostShare
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
  const out: DepartureDraws = { firstKnot, quick: [], slow: [] }
  for (let knot = firstKnot; knot <= lastKnot; knot++) {
    out.quick.push(at(String(knot)))
    out.slow.push(
      SLOW_BASES.map(({ name, knotS }) => {
        const position = (knot * DEPARTURE_KNOT_S) / knotS
        const before = Math.floor(position)
        return joined(at(`${knotS}/${before}/${name}`), at(`${knotS}/${before + 1}/${name}`), position - before)
      }),
    )
  }
  return out
}

/** Between two independent draws, by the roots of the shares: the sum keeps its spread. */
function joined(before: Float64Array, after: Float64Array, past: number): Float64Array {
  const sum = new Float64Array(before.length)
  addScaled(sum, Math.sqrt(1 - past), before)
  addScaled(sum, Math.sqrt(past), after)
  return sum
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
