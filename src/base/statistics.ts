/**
 * Plain sample statistics. None of them skips NaN: one NaN among the values makes the result NaN, so that a missing value
 * is left out by whoever knows why it is missing.
 */

import { between } from './arithmetic.ts'
import { nthOf } from './select.ts'

/** The plain sum; 0 for no values. */
export function sum(values: ArrayLike<number>): number {
  let total = 0
  for (let i = 0; i < values.length; i++) total += values[i]
  return total
}

/**
 * Arithmetic mean, corrected once by the mean residual so that large offsets cost no digits.
 * @returns NaN for no values
 */
export function mean(values: ArrayLike<number>): number {
  const n = values.length
  let sum = 0
  for (let i = 0; i < n; i++) sum += values[i]
  const rough = sum / n
  let residual = 0
  for (let i = 0; i < n; i++) residual += values[i] - rough
  return rough + residual / n
}

/** The values' departures from their mean. */
export function withoutMean(values: Float64Array): Float64Array {
  const centre = mean(values)
  return values.map((value) => value - centre)
}

/**
 * Standard deviation of a sample (divisor n - 1), in two passes with the correction for the rounded mean.
 * @returns NaN for fewer than two values
 * @source Chan, Golub, LeVeque, "Algorithms for computing the sample variance", The American Statistician 37 (1983) 242, eq. 1.7
 */
export function standardDeviation(values: ArrayLike<number>): number {
  const n = values.length
  if (n < 2) return Number.NaN
  const centre = mean(values)
  let squares = 0
  let residual = 0
  for (let i = 0; i < n; i++) {
    const d = values[i] - centre
    squares += d * d
    residual += d
  }
  return Math.sqrt((squares - (residual * residual) / n) / (n - 1))
}

/**
 * Quantile by linear interpolation between order statistics (type 7: the smallest value at 0, the largest at 1).
 * @param share 0 to 1
 * @returns NaN for no values and for a share outside 0 to 1
 * @source Hyndman, Fan, "Sample quantiles in statistical packages", The American Statistician 50 (1996) 361, definition 7
 */
export function quantile(values: ArrayLike<number>, share: number): number {
  const n = values.length
  const position = share * (n - 1)
  if (n <= FEW || !(share >= 0 && share <= 1)) return quantileSorted(ascending(values), share)
  const work = new Float64Array(values)
  if (work.includes(Number.NaN)) return Number.NaN
  const below = Math.floor(position)
  const lower = nthOf(work, below)
  const fraction = position - below
  if (fraction === 0) return lower
  let upper = Number.POSITIVE_INFINITY
  for (let i = below + 1; i < n; i++) upper = Math.min(upper, work[i])
  return between(lower, upper, fraction)
}

/** Of so many values putting each in its place by hand is quicker than the library's sort, or than seeking one of them. */
const FEW = 32

/** The values in ascending order, NaN last. */
function ascending(values: ArrayLike<number>): ArrayLike<number> {
  const sorted: number[] = []
  for (let i = 0; i < values.length; i++) {
    const value = values[i]
    if (Number.isNaN(value)) return new Float64Array(values).sort()
    sorted.push(value)
    let at = i
    for (; at > 0 && sorted[at - 1] > value; at--) sorted[at] = sorted[at - 1]
    sorted[at] = value
  }
  return sorted
}

/** `quantile` of values already in ascending order, NaN last as a typed array sorts it. */
export function quantileSorted(sorted: ArrayLike<number>, share: number): number {
  const n = sorted.length
  if (n === 0 || !(share >= 0 && share <= 1) || Number.isNaN(sorted[n - 1])) return Number.NaN
  const position = share * (n - 1)
  const below = Math.floor(position)
  const fraction = position - below
  return fraction === 0 ? sorted[below] : between(sorted[below], sorted[below + 1], fraction)
}

/** Middle value, or the mean of the two middle ones; NaN for no values. */
export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5)
}

/** The middle value, the upper one of an even number: always one of the values, and quicker. NaN of none. */
export function upperMedian(values: ArrayLike<number>): number {
  const work = new Float64Array(values)
  return work.length === 0 ? Number.NaN : nthOf(work, work.length >> 1)
}

/** Of a normal population, its standard deviation over its median deviation: 1/Φ⁻¹(3/4), to four decimals. */
export const MEDIAN_TO_SD = 1.4826
