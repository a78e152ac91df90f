import { mean, quantile } from './statistics.ts'

/** Mean and two quantiles of one sample. */
export interface Spread {
  mean: number
  low: number
  high: number
}

const BINS = 128
const MOST_INSERTED = 32
/**
 * Work space: `spreadOf` is asked half a million times over, and making arrays would take longer than counting. The
 * values of a bin are chained: `newest` of the bin, then `older` of each, up to -1.
 */
const work = {
  counts: new Int32Array(BINS),
  newest: new Int32Array(BINS),
  older: new Int32Array(1024),
  near: new Float64Array(1024),
}

/** What one pass over a sample tells. */
export interface Totals {
  sum: number
  least: number
  most: number
}

function totalsOf(values: Float64Array): Totals {
  let sum = 0
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i < values.length; i++) {
    const value = values[i]
    sum += value
    if (value < least) least = value
    if (value > most) most = value
  }
  return { sum, least, most }
}

/**
 * Mean and two quantiles, as `mean` and `quantile` give them to the last bit, without sorting: values are counted into
 * even bins between the least and the greatest, and only the bins that hold the ranks asked for are sorted.
 * @param lowShare 0 to 1
 * @param highShare 0 to 1
 * @param totals of the values in their order, where a loop of the caller's has them already
 */
export function spreadOf(
  values: Float64Array,
  lowShare: number,
  highShare: number,
  { sum, least, most }: Totals = totalsOf(values),
): Spread {
  const n = values.length
  const scale = BINS / (most - least)
  const countable = Number.isFinite(sum) && scale > 0 && scale < Number.POSITIVE_INFINITY
  // NaN and infinite values, equal values and few values are left to the sorting.
  if (n < 2 * BINS || !countable || !isShare(lowShare) || !isShare(highShare)) {
    return { mean: mean(values), low: quantile(values, lowShare), high: quantile(values, highShare) }
  }
  if (work.older.length < n) {
    work.older = new Int32Array(n)
    work.near = new Float64Array(n)
  }
  const { counts, newest, older } = work
  counts.fill(0)
  newest.fill(-1)
  const rough = sum / n
  let residual = 0
  for (let i = 0; i < n; i++) {
    const value = values[i]
    residual += value - rough
    const place = (value - least) * scale
    // Cut off, not rounded: the greatest value alone would come into a bin of its own.
    const bin = place < BINS ? place | 0 : BINS - 1
    counts[bin]++
    older[i] = newest[bin]
    newest[bin] = i
  }
  return { mean: rough + residual / n, low: quantileBinned(values, lowShare), high: quantileBinned(values, highShare) }
}

const isShare = (share: number): boolean => share >= 0 && share <= 1

/** The quantile of values whose bins stand in the work space. */
function quantileBinned(values: Float64Array, share: number): number {
  const { counts, newest, older, near } = work
  const position = share * (values.length - 1)
  const below = Math.floor(position)
  const above = Math.min(values.length - 1, below + 1)
  let bin = 0
  let skipped = 0
  while (skipped + counts[bin] <= below) skipped += counts[bin++]
  // The bins that hold both ranks, their values put in order.
  let count = 0
  for (; skipped + count <= above; bin++) {
    for (let i = newest[bin]; i >= 0; i = older[i]) near[count++] = values[i]
  }
  sortFirst(near, count)
  const fraction = position - below
  const low = near[below - skipped]
  return fraction === 0 ? low : low + fraction * (near[above - skipped] - low)
}

/** Sorts the first values of a column: few by insertion, which for few is the quickest. */
function sortFirst(values: Float64Array, count: number): void {
  if (count > MOST_INSERTED) {
    values.subarray(0, count).sort()
    return
  }
  for (let i = 1; i < count; i++) {
    const value = values[i]
    let at = i
    for (; at > 0 && values[at - 1] > value; at--) values[at] = values[at - 1]
    values[at] = value
  }
}
