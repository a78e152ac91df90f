import { square } from '../base/arithmetic.ts'
import { sum } from '../base/statistics.ts'
import type { RunConsumption } from './consumption.ts'
import { effectOf, intervalsOf, type Kind, type Term, totalError } from './effects.ts'
import type { Repeatability } from './repeatability.ts'
import type { Interval95 } from './types.ts'
import { excludesZero } from './verdict.ts'

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

/** Terms of the slope in time of the baseline's runs, ln per second; empty where they lie less than an hour apart. */
function slopeTerms(baseline: RunConsumption[]): Term[] {
  const times = baseline.map((c) => c.run.startTime)
  const centre = sum(times) / times.length
  const spread = times.reduce((sum, t) => sum + square(t - centre), 0)
  const spanS = Math.max(...times) - Math.min(...times)
  return spanS >= LEAST_SPAN_S
    ? baseline.map((consumption, i) => ({ consumption, factor: (times[i] - centre) / spread }))
    : []
}

/**
 * The trend of the baseline, tested against all that is known of the errors of its runs.
 * @param repeatability estimated with the trend taken out, so that a trend is not taken for scatter
 * @returns null for baseline runs that lie less than an hour apart, or a single one
 */
export function driftOf(
  baseline: RunConsumption[],
  kind: Kind,
  repeatability: Repeatability,
  corrected: boolean,
): Drift | null {
  const slope = slopeTerms(baseline)
  if (slope.length < 2) return null
  const times = baseline.map((c) => c.run.startTime)
  const spanS = Math.max(...times) - Math.min(...times)
  const terms = slope.map(({ consumption, factor }) => ({ consumption, factor: factor * spanS }))
  const effect = effectOf(terms, kind, repeatability)
  const change = intervalsOf(effect.estimate, totalError(effect)).consumptionChangePct
  const resolved = excludesZero(change)
  return {
    runs: baseline.map((c) => c.run.id),
    spanHours: spanS / 3600,
    changeOverSpanPct: change,
    resolved,
    corrected,
  }
}

/** Takes the baseline's trend out of a difference: what it makes over the time between the two sides comes off. */
export function withoutDrift(terms: Term[], baseline: RunConsumption[]): Term[] {
  const apartS = terms.reduce((sum, { consumption, factor }) => sum + factor * consumption.run.startTime, 0)
  const trend = new Map(slopeTerms(baseline).map(({ consumption, factor }) => [consumption, -apartS * factor]))
  return terms.map(({ consumption, factor }) => ({ consumption, factor: factor + (trend.get(consumption) ?? 0) }))
}
