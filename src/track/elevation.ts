import { square } from '../base/arithmetic.ts'
import { upperMedian } from '../base/statistics.ts'
import type { Fixes, Motion } from './types.ts'

/** Half-width of the smoothing of elevation along the road, m; printed beside every gain. */
export const GAIN_SMOOTHING_M = 200
/** A climb or descent counts once it exceeds this, m; printed beside every gain. */
export const GAIN_THRESHOLD_M = 5
/** Where the nearest fix with an elevation is further than this, there is none, m. */
const FARTHEST_ELEVATION_M = 500
/** Fixes are gathered into bins of this length first, so that a stop counts as one place, m. */
const BIN_M = 20
const NODE_STEP_M = 25
/** A window holds at least so many bins; where they are sparse it widens. */
const FEWEST_BINS = 4
const ROBUST_PASSES = 2

export interface ElevationGain {
  /** Sum of climbs, m, never negative. */
  gainM: number
  /** Sum of descents, m, never negative. */
  lossM: number
}

/** Fills in the motion's elevation: this run's fixes, smoothed along the distance driven. */
export function withElevation(motion: Motion, fixes: Fixes): Motion {
  const values = new Float64Array(fixes.elevation.length)
  const atM = new Float64Array(values.length)
  let count = 0
  for (let row = 0; row < values.length; row++) {
    if (Number.isNaN(fixes.elevation[row])) continue
    values[count] = fixes.elevation[row]
    atM[count++] = distanceAt(motion, fixes.time[row])
  }
  const elevationM = smoothElevation(atM.subarray(0, count), values.subarray(0, count), motion.distanceM)
  return { ...motion, elevationM }
}

/** The distance driven at a time, m. */
function distanceAt(motion: Motion, time: number): number {
  const k = Math.min(motion.count - 1, Math.max(0, (time - motion.startTime) / motion.stepS))
  const below = Math.floor(k)
  const above = Math.min(motion.count - 1, below + 1)
  return motion.distanceM[below] + (k - below) * (motion.distanceM[above] - motion.distanceM[below])
}

/**
 * Elevation smoothed along the road: local straight lines with tricube weights over ± `halfWidthM`, twice reweighted by
 * bisquare weights against outliers (lowess in distance). Short hills are flattened: of the height of a sine whose
 * wavelength is 4, 6 or 10 half-widths 83, 92 or 97 % is left.
 * @param atM distance of each value along the road, m, rising or level
 * @param elevationM values, m, no NaN
 * @param wantedM distances at which to answer, m, rising or level
 * @returns m at each wanted distance, NaN where no value lies within 500 m
 * @source Cleveland, "Robust locally weighted regression and smoothing scatterplots", J. Am. Stat. Assoc. 74 (1979) 829
 */
export function smoothElevation(
  atM: Float64Array,
  elevationM: Float64Array,
  wantedM: Float64Array,
  halfWidthM: number = GAIN_SMOOTHING_M,
): Float64Array {
  const bins = binned(atM, elevationM)
  if (bins.at.length === 0) return new Float64Array(wantedM.length).fill(Number.NaN)
  const robustness = new Float64Array(bins.at.length).fill(1)
  for (let pass = 0; pass < ROBUST_PASSES; pass++) reweigh(bins, robustness, halfWidthM)
  const startM = wantedM[0]
  const steps = Math.max(1, Math.ceil((wantedM[wantedM.length - 1] - startM) / NODE_STEP_M))
  const nodes = new Float64Array(steps + 1)
  for (let i = 0; i <= steps; i++) nodes[i] = startM + i * NODE_STEP_M
  const values = lines(bins, robustness, nodes, halfWidthM)
  const wanted = new Float64Array(wantedM.length)
  for (let i = 0; i < wanted.length; i++) {
    const k = Math.min(steps - 1, Math.floor((wantedM[i] - startM) / NODE_STEP_M))
    wanted[i] = values[k] + ((wantedM[i] - nodes[k]) / NODE_STEP_M) * (values[k + 1] - values[k])
  }
  return wanted
}

interface Bins {
  at: Float64Array
  value: Float64Array
}

/** Median place and value of the points of each 20 m of road. */
function binned(atM: Float64Array, elevationM: Float64Array): Bins {
  const at = new Float64Array(atM.length)
  const value = new Float64Array(atM.length)
  let count = 0
  for (let i = 0; i < atM.length; ) {
    let end = i + 1
    while (end < atM.length && atM[end] < atM[i] + BIN_M) end++
    at[count] = (atM[i] + atM[end - 1]) / 2
    value[count++] = end - i === 1 ? elevationM[i] : middleOf(elevationM.subarray(i, end))
    i = end
  }
  return { at: at.subarray(0, count), value: value.subarray(0, count) }
}

function middleOf(values: Float64Array): number {
  const sorted = values.slice().sort()
  return (sorted[(sorted.length - 1) >> 1] + sorted[sorted.length >> 1]) / 2
}

/** Bisquare weights from the bins' own residuals. */
function reweigh(bins: Bins, robustness: Float64Array, halfWidthM: number): void {
  const fit = lines(bins, robustness, bins.at, halfWidthM)
  const off = new Float64Array(fit.length)
  for (let i = 0; i < off.length; i++) off[i] = Math.abs(bins.value[i] - fit[i])
  const limit = Math.max(6 * upperMedian(off), 1)
  for (let i = 0; i < off.length; i++) robustness[i] = off[i] < limit ? square(1 - square(off[i] / limit)) : 0
}

/** The local line's value at each place (rising or level); NaN where no bin is near. */
function lines(bins: Bins, robustness: Float64Array, places: Float64Array, halfWidthM: number): Float64Array {
  const { at } = bins
  const fewest = Math.min(FEWEST_BINS, at.length)
  const values = new Float64Array(places.length)
  for (let k = 0, low = 0, past = 0; k < places.length; k++) {
    const place = places[k]
    while (low < at.length && at[low] < place - halfWidthM) low++
    while (past < at.length && at[past] <= place + halfWidthM) past++
    let from = low
    let to = past
    let width = halfWidthM
    while (to - from < fewest) {
      const left = from > 0 ? place - at[from - 1] : Number.POSITIVE_INFINITY
      const right = to < at.length ? at[to] - place : Number.POSITIVE_INFINITY
      if (left <= right) from--
      else to++
      width = Math.min(left, right) * 1.1
    }
    // The window itself is near; one that had to be widened may not be.
    const isNear = width <= FARTHEST_ELEVATION_M || nearestM(at, from, to, place) <= FARTHEST_ELEVATION_M
    values[k] = isNear ? lineAt(bins, robustness, from, to, place, width) : Number.NaN
  }
  return values
}

function nearestM(at: Float64Array, from: number, to: number, place: number): number {
  let nearest = Number.POSITIVE_INFINITY
  for (let i = from; i < to; i++) nearest = Math.min(nearest, Math.abs(at[i] - place))
  return nearest
}

/** Weighted straight line through bins from..to-1, at `place`. */
function lineAt(
  { at, value }: Bins,
  robustness: Float64Array,
  from: number,
  to: number,
  place: number,
  width: number,
): number {
  let s0 = 0
  let s1 = 0
  let s2 = 0
  let t0 = 0
  let t1 = 0
  for (let i = from; i < to; i++) {
    const d = at[i] - place
    const u = Math.min(1, Math.abs(d) / width)
    const tricube = 1 - u * u * u
    const w = tricube * tricube * tricube * (robustness[i] + 1e-6)
    const wd = w * d
    s0 += w
    s1 += wd
    s2 += wd * d
    t0 += w * value[i]
    t1 += wd * value[i]
  }
  const det = s0 * s2 - s1 * s1
  return det > 1e-9 * s0 * s2 ? (s2 * t0 - s1 * t1) / det : t0 / s0
}

/**
 * Sums climbs and descents of an elevation profile (m, NaN skipped) between turning points that differ by at least
 * `thresholdM`: smaller ripples do not count, larger climbs count whole. No smoothing unless `smoothingM` asks for it.
 * @param distanceM distance of each value along the road, m, rising or level
 */
export function elevationGain(
  elevationM: Float64Array,
  distanceM: Float64Array,
  options: { thresholdM?: number; smoothingM?: number } = {},
): ElevationGain {
  const { thresholdM = GAIN_THRESHOLD_M, smoothingM = 0 } = options
  const profile = smoothingM > 0 ? smoothedProfile(elevationM, distanceM, smoothingM) : elevationM
  let [gainM, lossM] = [0, 0]
  // The lowest and the highest value since the last turning point that counts; `rising` once it is known which came first.
  let [low, high, rising] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0]
  for (const e of profile) {
    if (Number.isNaN(e)) continue
    const climbs = e - low >= thresholdM && e > low
    const falls = high - e >= thresholdM && e < high
    if (rising >= 0 && falls) {
      if (rising > 0) gainM += high - low
      ;[low, rising] = [e, -1]
    } else if (rising <= 0 && climbs) {
      if (rising < 0) lossM += high - low
      ;[high, rising] = [e, 1]
    }
    if (rising <= 0) low = Math.min(low, e)
    if (rising >= 0) high = Math.max(high, e)
  }
  if (rising > 0) gainM += high - low
  if (rising < 0) lossM += high - low
  return { gainM, lossM }
}

function smoothedProfile(elevationM: Float64Array, distanceM: Float64Array, smoothingM: number): Float64Array {
  const known = (_: number, i: number) => !Number.isNaN(elevationM[i])
  return smoothElevation(distanceM.filter(known), elevationM.filter(known), distanceM, smoothingM)
}
