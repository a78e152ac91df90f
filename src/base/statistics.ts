/**
 * Plain sample statistics. None of them skips NaN: one NaN among the values makes the result NaN, so that a missing value
 * is left out by whoever knows why it is missing.
 */

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
  return quantileSorted(Float64Array.from(values).sort(), share)
}

/** `quantile` of values already in ascending order, NaN last as a typed array sorts it. */
export function quantileSorted(sorted: ArrayLike<number>, share: number): number {
  const n = sorted.length
  if (n === 0 || !(share >= 0 && share <= 1) || Number.isNaN(sorted[n - 1])) return Number.NaN
  const position = share * (n - 1)
  const below = Math.floor(position)
  const fraction = position - below
  return fraction === 0 ? sorted[below] : sorted[below] + fraction * (sorted[below + 1] - sorted[below])
}

const BINS = 128
/** Work space of `quantilePair`: it is asked half a million times over, and making arrays would take longer than counting. */
const work = { counts: new Uint32Array(BINS), bins: new Uint8Array(1024), near: new Float64Array(1024) }

/**
 * Two quantiles, as `quantile` gives them, without sorting: values are counted into even bins between the least and the
 * greatest, and only the bins that hold the ranks asked for are sorted.
 * @param lowShare 0 to 1
 * @param highShare 0 to 1
 */
export function quantilePair(values: Float64Array, lowShare: number, highShare: number): [low: number, high: number] {
  const n = values.length
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  let sum = 0
  for (let i = 0; i < n; i++) {
    const value = values[i]
    sum += value
    if (value < least) least = value
    if (value > most) most = value
  }
  // NaN, infinite and few values are left to the sorting.
  if (n < 2 * BINS || !Number.isFinite(sum)) {
    return [quantile(values, lowShare), quantile(values, highShare)]
  }
  if (work.bins.length < n) {
    work.bins = new Uint8Array(n)
    work.near = new Float64Array(n)
  }
  const { counts, bins } = work
  const scale = BINS / (most - least)
  counts.fill(0)
  for (let i = 0; i < n; i++) {
    const bin = (values[i] - least) * scale
    // Cut off, not rounded: the greatest value alone would come into a bin of its own. Equal values, whose bin is 0/0, come
    // into the last one.
    bins[i] = bin < BINS ? bin : BINS - 1
    counts[bins[i]]++
  }
  return [quantileBinned(values, lowShare), quantileBinned(values, highShare)]
}

/** The quantile of values whose bins stand in the work space. */
function quantileBinned(values: Float64Array, share: number): number {
  if (!(share >= 0 && share <= 1)) return Number.NaN
  const { counts, bins, near } = work
  const position = share * (values.length - 1)
  const below = Math.floor(position)
  const above = Math.min(values.length - 1, below + 1)
  let first = 0
  let skipped = 0
  while (skipped + counts[first] <= below) skipped += counts[first++]
  let last = first
  let reached = skipped + counts[first]
  while (reached <= above) reached += counts[++last]
  let count = 0
  for (let i = 0; i < values.length; i++) {
    if (bins[i] < first || bins[i] > last) continue
    let at = count++
    for (; at > 0 && near[at - 1] > values[i]; at--) near[at] = near[at - 1]
    near[at] = values[i]
  }
  const fraction = position - below
  const low = near[below - skipped]
  return fraction === 0 ? low : low + fraction * (near[above - skipped] - low)
}

/** Middle value, or the mean of the two middle ones; NaN for no values. */
export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5)
}

/**
 * What a median absolute deviation is multiplied by to estimate the standard deviation of a normal population:
 * 1 / (its upper quartile).
 */
export const MAD_TO_SD = 1.482602218505602

/** Median absolute deviation from the median, unscaled; NaN for no values. */
export function medianAbsoluteDeviation(values: ArrayLike<number>): number {
  const centre = median(values)
  return median(Float64Array.from(values, (value) => Math.abs(value - centre)))
}
