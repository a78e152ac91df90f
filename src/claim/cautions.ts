import { MOST_ADJUSTABLE_PCT } from '../compare/difference.ts'
import type { RunConsumption } from './consumption.ts'
import type { Drift } from './drift.ts'
import type { Interval95 } from './types.ts'
import { listed, moreOrLess } from './wording.ts'

/** Sentences on what weakens a claim, for whoever reads it; none where nothing does. */
export function cautionsOf(claim: {
  setup: string
  baseline: string
  setupRuns: RunConsumption[]
  baselineRuns: RunConsumption[]
  conditionsChangePct: Interval95 | null
  drift: Drift | null
  /** Whether a correction for a trend was asked for. */
  correctDrift: boolean
}): string[] {
  const { setup, baseline, setupRuns, baselineRuns, conditionsChangePct, drift, correctDrift } = claim
  const cautions: string[] = []
  const single = [...(setupRuns.length === 1 ? [setup] : []), ...(baselineRuns.length === 1 ? [baseline] : [])]
  if (single.length > 0 && setupRuns.length * baselineRuns.length > 0) {
    cautions.push(
      `There is a single run with ${listed(single)}: how much its runs differ among themselves was not seen, and an allowance for it is in the interval.`,
    )
  }
  if (conditionsChangePct && Math.abs(conditionsChangePct.estimate) > MOST_ADJUSTABLE_PCT) {
    cautions.push(
      `Conditions alone made the consumption ${moreOrLess(conditionsChangePct.estimate)}, beyond the ${MOST_ADJUSTABLE_PCT} % that the model is meant to carry: repeat the runs under conditions that are more alike.`,
    )
  }
  const all = [...setupRuns, ...baselineRuns]
  if (new Set(all.filter((c) => c.reading.at15C).map((c) => Number.isFinite(c.run.row.fuelTemperatureK))).size > 1) {
    cautions.push('The temperature of the fuel was read in some runs only; the others were taken at the mean of those.')
  }
  if (correctDrift && !drift && baselineRuns.length > 0) {
    cautions.push('A correction for a trend in time was asked for, but takes two baseline runs an hour or more apart.')
  }
  if (drift && (drift.resolved || drift.corrected)) cautions.push(drift.sentence)
  return cautions
}
