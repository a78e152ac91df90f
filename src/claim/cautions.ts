import { MOST_ADJUSTABLE_PCT } from '../compare/difference.ts'
import type { RunConsumption } from './consumption.ts'
import type { Drift } from './drift.ts'
import type { Interval95 } from './types.ts'

/** What weakens a claim, with the setups that it is about, if any. */
export interface Caution {
  /**
   * One run only with a setup; a correction beyond what the model is meant for; fuel temperatures read in some runs
   * only; a trend that could not be taken out; a trend of the baseline.
   */
  code: 'single-drive' | 'large-correction' | 'fuel-temperature-partly-read' | 'no-drift-correction' | 'drift'
  setups: string[]
}

/** What weakens a claim, for whoever reads it; empty where nothing does. */
export function cautionsOf(claim: {
  setup: string
  baseline: string
  setupRuns: RunConsumption[]
  baselineRuns: RunConsumption[]
  conditionsChangePct: Interval95 | null
  drift: Drift | null
  /** Whether a correction for a trend was asked for. */
  correctDrift: boolean
}): Caution[] {
  const { setup, baseline, setupRuns, baselineRuns, conditionsChangePct, drift, correctDrift } = claim
  const cautions: Caution[] = []
  const add = (code: Caution['code'], setups: string[] = []) => cautions.push({ code, setups })
  const single = [...(setupRuns.length === 1 ? [setup] : []), ...(baselineRuns.length === 1 ? [baseline] : [])]
  if (single.length > 0 && setupRuns.length * baselineRuns.length > 0) add('single-drive', single)
  if (conditionsChangePct && Math.abs(conditionsChangePct.estimate) > MOST_ADJUSTABLE_PCT) add('large-correction')
  const all = [...setupRuns, ...baselineRuns]
  if (new Set(all.filter((c) => c.reading.at15C).map((c) => Number.isFinite(c.run.row.fuelTemperatureK))).size > 1) {
    add('fuel-temperature-partly-read')
  }
  if (correctDrift && !drift && baselineRuns.length > 0) add('no-drift-correction')
  if (drift && (drift.resolved || drift.corrected)) add('drift')
  return cautions
}
