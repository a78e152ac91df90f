import { square } from '../../base/arithmetic.ts'
import { mean } from '../../base/statistics.ts'
import type { Interval95 } from '../types.ts'
import { excludesZero } from '../verdict.ts'
import { effectOf, intervalsOf } from './effects.ts'
import type { Observation } from './observation.ts'
import type { Scatter } from './scatter.ts'

/** A trend in time of the baseline's runs: wear, a season, a battery that ages; whatever is not the change made. */
export interface Drift {
  runs: string[]
  /** From the first to the last baseline run. */
  spanHours: number
  /** Change of consumption over the span, percent, with the interval of Student-like tails. */
  changeOverSpanPct: Interval95
  /** Whether the 95 % interval excludes zero. */
  resolved: boolean
  /** Whether the claim's figures have the trend taken out. */
  corrected: boolean
}

/** Below this there is no trend to speak of. */
const LEAST_SPAN_S = 3600

/** Whether drives are far enough apart for a trend in time. */
export function hasTrend(runs: readonly { startTime: number }[]): boolean {
  const times = runs.map(({ startTime }) => startTime)
  return Math.max(...times) - Math.min(...times) >= LEAST_SPAN_S
}

/**
 * The trend of the baseline, tested against all that is known of the errors of its runs.
 * @param scatter learnt with the trend taken out, so that a trend is not taken for scatter
 * @returns null for baseline runs that lie less than an hour apart, or a single one
 */
export function driftOf(baseline: Observation[], scatter: Scatter, corrected: boolean): Drift | null {
  const runs = baseline.map(({ run }) => run)
  if (!hasTrend(runs)) return null
  const times = runs.map(({ startTime }) => startTime)
  const spanS = Math.max(...times) - Math.min(...times)
  const centre = mean(times)
  const spread = times.reduce((sum, t) => sum + square(t - centre), 0)
  const terms = baseline.map((observation, i) => ({ observation, factor: ((times[i] - centre) / spread) * spanS }))
  const change = intervalsOf(effectOf(terms, scatter)).consumptionChangePct
  return {
    runs: runs.map(({ id }) => id),
    spanHours: spanS / 3600,
    changeOverSpanPct: change,
    resolved: excludesZero(change),
    corrected,
  }
}
