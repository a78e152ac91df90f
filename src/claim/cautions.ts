import { MOST_ADJUSTABLE_PCT } from '../compare/verdict.ts'
import type { RunConsumption } from './fuel/consumption.ts'
import { drawKey } from './fuel/measure.ts'
import type { Drift } from './model/drift.ts'
import type { ScatterChange } from './model/scatter-change.ts'
import type { Interval95 } from './types.ts'

/** What weakens a claim, with the setups that it is about, if any. */
export interface Caution {
  /**
   * One run only with a setup; all runs with a setup made in one go; a correction beyond what the model is meant for, or one
   * that makes repeats differ more; fuel temperatures read in some runs only; a trend that could not be taken out; a trend
   * of the baseline; a hybrid's battery of which nobody says how full it was; all runs of the one side before all of the other.
   */
  code:
    | 'single-drive'
    | 'one-session'
    | 'large-correction'
    | 'scatter-grew'
    | 'fuel-temperature-partly-read'
    | 'no-drift-correction'
    | 'drift'
    | 'battery-not-known'
    | 'not-interleaved'
  setups: string[]
}

/** Whether a correction is beyond what the model is meant to carry. */
export const isLarge = (conditionsChangePct: Interval95 | null): boolean =>
  conditionsChangePct !== null && Math.abs(conditionsChangePct.estimate) > MOST_ADJUSTABLE_PCT

/** What weakens a claim, for whoever reads it; empty where nothing does. */
export function cautionsOf(claim: {
  setup: string
  baseline: string
  setupRuns: RunConsumption[]
  baselineRuns: RunConsumption[]
  conditionsChangePct: Interval95 | null
  drift: Drift | null
  scatterChange: ScatterChange | null
  /** Of each drive, by its key. */
  sessions: Map<string, string>
  /** Whether a correction for a trend was asked for. */
  correctDrift: boolean
  /** Whether a battery may have given energy beside the fuel, or taken some of it. */
  hasBattery: boolean
}): Caution[] {
  const {
    setup,
    baseline,
    setupRuns,
    baselineRuns,
    conditionsChangePct,
    drift,
    scatterChange,
    sessions,
    correctDrift,
    hasBattery,
  } = claim
  const cautions: Caution[] = []
  const add = (code: Caution['code'], setups: string[] = []) => cautions.push({ code, setups })
  const single = [...(setupRuns.length === 1 ? [setup] : []), ...(baselineRuns.length === 1 ? [baseline] : [])]
  if (single.length > 0 && setupRuns.length * baselineRuns.length > 0) add('single-drive', single)
  const inOneGo = (runs: RunConsumption[]): boolean =>
    runs.length > 1 && new Set(runs.map(({ run }) => sessions.get(drawKey(run)))).size === 1
  const together = [...(inOneGo(setupRuns) ? [setup] : []), ...(inOneGo(baselineRuns) ? [baseline] : [])]
  if (together.length > 0) add('one-session', together)
  if (isLarge(conditionsChangePct)) add('large-correction')
  if (scatterChange?.grew) add('scatter-grew')
  const all = [...setupRuns, ...baselineRuns]
  if (new Set(all.filter((c) => c.reading.at15C).map((c) => Number.isFinite(c.run.row.fuelTemperatureK))).size > 1) {
    add('fuel-temperature-partly-read')
  }
  if (correctDrift && !drift && baselineRuns.length > 0) add('no-drift-correction')
  if (drift && (drift.resolved || drift.corrected)) add('drift')
  if (areInSequence(setupRuns, baselineRuns) && !drift?.corrected) add('not-interleaved')
  if (hasBattery && all.some(({ unit, run }) => unit !== 'kWh' && !run.batteryErrors)) add('battery-not-known')
  return cautions
}

/** Whether each side has two runs or more, and all of the one were made before all of the other. */
function areInSequence(setupRuns: readonly RunConsumption[], baselineRuns: readonly RunConsumption[]): boolean {
  if (setupRuns.length < 2 || baselineRuns.length < 2) return false
  const [setup, baseline] = [setupRuns, baselineRuns].map((runs) => runs.map(({ run }) => run.startTime))
  return Math.max(...setup) < Math.min(...baseline) || Math.max(...baseline) < Math.min(...setup)
}
