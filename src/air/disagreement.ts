import { hypotenuse, square } from '../base/arithmetic.ts'
import { stepM } from '../track/geodesy.ts'
import { growthWithWind, REACH, windDepartureVariance } from './blend.ts'
import { interpolate, type PreparedStation } from './prepared.ts'

/** A place and the time spent about it, seconds since 1970. */
interface Spell {
  latitude: number
  longitude: number
  from: number
  to: number
}

/** Stations are held against each other so long before and after a drive, at so many seconds from each other. */
const BESIDE_S = 10_800
const EVERY_S = 3600
/** Reports that tell the moment: not those of an hour ago. */
const AT_ONCE = { gapS: 1800, stepS: 7200 }
/** The nearest so many stations: more tell hardly more. */
const MOST_STATIONS = 6
/** What is taken of any place weighs as much as so many independent differences. Common practice, no source. */
const PRIOR_WEIGHT = 6
/** A difference between two stations lasts for hours: each pair tells so much in all, two components over half a day. */
const WEIGHT_OF_STATION = 4

/**
 * How many times as large as usual the variance of the wind between two places is here and now, by what the stations
 * differ by from each other: drawn to 1 as far as they tell little. A valley or a coast has more, a plain in a high less.
 */
export function disagreementOf(stations: readonly PreparedStation[], spell: Spell): number {
  const near = nearest(stations, spell)
  let [squares, expected] = [0, 0]
  for (const [i, a] of near.entries()) {
    for (const b of near.slice(i + 1)) {
      const found = heldAgainst(a, b, spell)
      squares += found.squares
      expected += found.expected
    }
  }
  if (!(expected > 0)) return 1
  const weight = WEIGHT_OF_STATION * (near.length - 1)
  return (PRIOR_WEIGHT + weight * (squares / expected)) / (PRIOR_WEIGHT + weight)
}

/** Instruments within reach, the nearest first. */
function nearest(stations: readonly PreparedStation[], { latitude, longitude }: Spell): PreparedStation[] {
  return stations
    .filter(({ series: { station } }) => station.quality === 'instrument' && !station.onRoad)
    .map((station) => {
      const place = station.series.station
      return { station, distanceM: stepM(latitude, longitude, place.latitude, place.longitude) }
    })
    .filter(({ distanceM }) => distanceM <= REACH.distanceM)
    .sort((a, b) => a.distanceM - b.distanceM)
    .slice(0, MOST_STATIONS)
    .map(({ station }) => station)
}

/** Squares of the differences of both wind components, and what they are expected to be, (m/s)². */
function heldAgainst(
  a: PreparedStation,
  b: PreparedStation,
  { from, to }: Spell,
): { squares: number; expected: number } {
  const [p, q] = [a.series.station, b.series.station]
  const usual = windDepartureVariance(stepM(p.latitude, p.longitude, q.latitude, q.longitude), 0)
  let [squares, expected] = [0, 0]
  for (let time = from - BESIDE_S; time <= to + BESIDE_S; time += EVERY_S) {
    const winds = [a, b].map((station) => windAt(station, time))
    const [u, v] = winds
    if (!u || !v) continue
    const speeds = winds.map((wind) => (wind ? hypotenuse(wind.east, wind.north) : 0))
    const growth = growthWithWind((speeds[0] + speeds[1]) / 2)
    const instruments = [a, b].reduce((sum, { errors }, i) => sum + ownVariance(errors, speeds[i]), 0)
    squares += square(u.east - v.east) + square(u.north - v.north)
    expected += 2 * (usual * growth + instruments)
  }
  return { squares, expected }
}

function windAt(station: PreparedStation, time: number): { east: number; north: number } | null {
  const east = interpolate(station.windEastMps, time, AT_ONCE)
  const north = interpolate(station.windNorthMps, time, AT_ONCE)
  return east && north && { east: east.value, north: north.value }
}

/** Of one component, by the errors of speed and direction that last at a station. */
const ownVariance = ({ windSpeed, windFromDeg }: PreparedStation['errors'], speedMps: number): number =>
  (square(windSpeed * speedMps) + square((windFromDeg * Math.PI * speedMps) / 180)) / 2
