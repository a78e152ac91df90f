import { Matrix, solve } from 'ml-matrix'
import { FAR_REACH, REACH, windDepartureVariance } from '../air/blend.ts'
import { square } from '../base/arithmetic.ts'
import { courseDeg, stepM } from '../track/geodesy.ts'
import type { Area, Cell } from './cells.ts'
import type { Candidate, Span } from './types.ts'
import { nearestM } from './where.ts'

/** A station that is to be asked, with what it adds. */
export interface Chosen {
  station: Candidate
  /** Standard deviation of a wind component on the roads before and with it, m/s; NaN before the first. */
  beforeMps: number
  withMps: number
  distanceM: number
  /** From the middle of the roads, degrees true. */
  towardsDeg: number
  /** Above the roads, m; NaN where one of the heights is not known. */
  aboveM: number
}

/** A station that is there already, or its place. */
export type Place = Pick<Candidate, 'latitude' | 'longitude' | 'elevationM'>

/** What a difference of height adds to the variance of a wind component, (m/s)² at 1000 m. Common practice, no source. */
const VARIANCE_OF_KM_CLIMB = 9
/** A height that nobody knows counts as this far off, m. */
const UNKNOWN_CLIMB_M = 150
/** The variance of a wind component about its mean over a region: far from all stations no more is doubtful. */
const SILL = 12
/** Stations that lower the doubt by less are not worth a request. */
const LEAST_GAIN = 0.06
const MOST_STATIONS = 6
/** So many of the nearest are looked at; instruments nearer to each other than this are the same. */
const MOST_CANDIDATES = 60
const SAME_PLACE_M = 2500

/**
 * Chooses stations by what they add to the wind on the roads: one after the other the one that lowers its mean variance
 * most, by ordinary kriging with the variances that the report itself gives to a station's distance. Two stations beside
 * each other tell the same, so that the second adds little; one on the other side of the road adds more.
 * @param there stations whose observations are there already
 * @param excluded ids of stations that are known to have nothing
 * @source N. Cressie, Statistics for Spatial Data, 1993, 3.2 (ordinary kriging)
 */
export function chooseStations(
  area: Area,
  candidates: readonly Candidate[],
  there: readonly Place[],
  most = MOST_STATIONS,
): Chosen[] {
  const known = candidates.filter((c) => spansAreKnown(c, area.spans))
  const within = (reachM: number): Candidate[] => known.filter((c) => nearestM(c, area) <= reachM)
  const usual = within(REACH.distanceM)
  // Where no station is within the usual reach, a report takes those that are farther away.
  const near = (usual.length > 0 ? usual : within(FAR_REACH.distanceM)).sort(
    (a, b) => nearestM(a, area) - nearestM(b, area) || (a.id < b.id ? -1 : 1),
  )
  const apart = onePerPlace(near, there).slice(0, MOST_CANDIDATES)
  const taken: Place[] = [...there]
  const chosen: Chosen[] = []
  let before = taken.length === 0 ? Number.NaN : meanVariance(area.cells, taken)
  while (chosen.length < most) {
    const left = apart.filter((c) => !taken.includes(c))
    if (left.length === 0) break
    const variances = left.map((c) => meanVariance(area.cells, [...taken, c]))
    const best = variances.indexOf(Math.min(...variances))
    if (before - variances[best] < LEAST_GAIN * before) break
    chosen.push(describedChoice(left[best], area.cells, before, variances[best]))
    taken.push(left[best])
    before = variances[best]
  }
  return chosen
}

const spansAreKnown = ({ since, until }: Candidate, spans: readonly Span[]): boolean =>
  spans.some(({ fromS, toS }) => since < toS && until > fromS)

/**
 * One candidate for each set of instruments: the same code seen through two services, or two codes within a walk, is one
 * observation. Services are in the order of their worth, so the first counts.
 */
function onePerPlace(candidates: readonly Candidate[], there: readonly Place[]): Candidate[] {
  const kept: Candidate[] = []
  for (const one of candidates) {
    const same = (other: Place & Partial<Candidate>): boolean =>
      (one.alias !== null && one.alias === other.alias) ||
      stepM(one.latitude, one.longitude, other.latitude, other.longitude) < SAME_PLACE_M
    if (there.some(same)) continue
    const other = kept.findIndex(same)
    if (other < 0) kept.push(one)
    else if (rankOf(one) < rankOf(kept[other])) kept[other] = one
  }
  return kept
}

/** National networks with means of ten minutes first, then hourly ones, reports to the minute, and what is made of both. */
const RANK = ['dwd', 'meteoswiss', 'fmi', 'smhi', 'eccc', 'iem', 'ghcnh']
const rankOf = ({ service }: Candidate): number => {
  const rank = RANK.indexOf(service)
  return rank < 0 ? RANK.length : rank
}

const climbVariance = (place: Place, cell: Cell): number => {
  const climbM = place.elevationM - cell.elevationM
  return VARIANCE_OF_KM_CLIMB * square((Number.isFinite(climbM) ? climbM : UNKNOWN_CLIMB_M) / 1000)
}

/** Variance of a wind component on the roads, mean of the cells, (m/s)². */
function meanVariance(cells: readonly Cell[], stations: readonly Place[]): number {
  let sum = 0
  for (const cell of cells) sum += krigingVariance(cell, stations)
  return sum / cells.length
}

/** What a station's own surroundings and instrument add. */
const NUGGET = windDepartureVariance(0, 0)
/** Half the mean square difference of the wind between two places, (m/s)². */
const semivariance = (distanceM: number): number => Math.min(SILL, (windDepartureVariance(distanceM, 0) - NUGGET) / 2)

function krigingVariance(cell: Cell, stations: readonly Place[]): number {
  const n = stations.length
  const between = (a: Place, b: Place): number => stepM(a.latitude, a.longitude, b.latitude, b.longitude)
  const covariance = (distanceM: number): number => SILL - semivariance(distanceM)
  const rows = stations.map((a, i) => [
    ...stations.map((b, j) => covariance(between(a, b)) + (i === j ? NUGGET + climbVariance(a, cell) : 0)),
    1,
  ])
  const toCell = stations.map((a) => covariance(stepM(a.latitude, a.longitude, cell.latitude, cell.longitude)))
  const weights = solve(
    new Matrix([...rows, [...stations.map(() => 1), 0]]),
    Matrix.columnVector([...toCell, 1]),
  ).to1DArray()
  let variance = SILL
  for (let i = 0; i < n; i++) {
    variance -= 2 * weights[i] * toCell[i]
    for (let j = 0; j < n; j++) variance += weights[i] * weights[j] * rows[i][j]
  }
  return variance
}

function describedChoice(station: Candidate, cells: readonly Cell[], before: number, after: number): Chosen {
  const nearest = cells.reduce((a, b) =>
    nearestM(station, { cells: [b] }) < nearestM(station, { cells: [a] }) ? b : a,
  )
  return {
    station,
    beforeMps: Math.sqrt(before),
    withMps: Math.sqrt(after),
    distanceM: nearestM(station, { cells }),
    towardsDeg: courseDeg(nearest.latitude, nearest.longitude, station.latitude, station.longitude),
    aboveM: station.elevationM - nearest.elevationM,
  }
}
