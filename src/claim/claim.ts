import { mean } from '../base/statistics.ts'
import { type Caution, cautionsOf } from './cautions.ts'
import { type RunConsumption, togetherPer100Km } from './consumption.ts'
import type { Drift } from './drift.ts'
import {
  type EffectIntervals,
  type ErrorSource,
  intervalsOf,
  type Kind,
  type LogEffect,
  totalError,
} from './effects.ts'
import { type FuelUnit, MEASUREMENT_SD } from './measure.ts'
import type { NextStep } from './next-step.ts'
import { uncertaintyShares } from './shares.ts'
import type { ClaimSettings, Interval95, LeftOut } from './types.ts'
import { type ClaimMissing, type ClaimVerdict, judge } from './verdict.ts'

/** What one setup did against the baseline, within one route (or pooled over the routes). */
export interface Claim {
  setup: string
  baseline: string
  /** Index of the route; null for a claim pooled over routes, or where the setup has no run to claim anything from. */
  route: number | null
  routeName: string | null
  /** Whether this claim pools those of several routes. */
  pooled: boolean
  /** Ids of the runs used, in order of their start. */
  runs: string[]
  baselineRuns: string[]
  leftOut: { id: string; reason: LeftOut }[]
  /** Fuel over distance of each side's runs together, as measured; null where a side has none. */
  measuredPer100Km: { unit: FuelUnit; setup: number; baseline: number } | null
  raw: EffectIntervals | null
  /** At the reference conditions: the mean of those of the baseline's runs. */
  adjusted: EffectIntervals | null
  /** What conditions alone made of the consumption, setup's runs against baseline's. */
  conditionsChangePct: Interval95 | null
  verdict: ClaimVerdict
  /** With the verdict `not testable`: what is missing; null otherwise. */
  missing: ClaimMissing | null
  /** Of the adjusted change, in its variance; they sum to 1. */
  uncertaintyShares: Record<ErrorSource, number> | null
  /** Every step considered, the one that narrows the interval most first. */
  nextSteps: NextStep[]
  drift: Drift | null
  /** What weakens the claim. */
  cautions: Caution[]
  /** How the fuel was measured: standard deviation of one fill, litres, and whether volumes are brought to 15 °C. */
  fuel: { fillSdLitres: number; at15C: boolean }
  /** The change as ln(setup / baseline) with the draws of its errors: for what is derived from it. */
  logEffects: Record<Kind, LogEffect | null>
}

/** A claim before its verdict. */
export interface ClaimDraft {
  setup: string
  route: number | null
  pooled: boolean
  setupRuns: RunConsumption[]
  baselineRuns: RunConsumption[]
  raw: LogEffect | null
  adjusted: LogEffect | null
  leftOut: { id: string; reason: LeftOut }[]
  drift: Drift | null
  nextSteps: NextStep[]
  missing: ClaimMissing | null
}

const intervalOfEffect = (effect: LogEffect | null): EffectIntervals | null =>
  effect && intervalsOf(effect.estimate, totalError(effect))

/** The draft with its intervals, verdict, shares and cautions. */
export function finishedClaim(
  draft: ClaimDraft,
  baseline: string,
  routeName: string | null,
  settings: ClaimSettings,
): Claim {
  const raw = intervalOfEffect(draft.raw)
  const adjusted = intervalOfEffect(draft.adjusted)
  const conditionsChangePct = conditionsChange(draft)
  const runs = [...draft.setupRuns, ...draft.baselineRuns]
  return {
    setup: draft.setup,
    baseline,
    route: draft.route,
    routeName,
    pooled: draft.pooled,
    runs: draft.setupRuns.map((c) => c.run.id),
    baselineRuns: draft.baselineRuns.map((c) => c.run.id),
    leftOut: draft.leftOut,
    measuredPer100Km: measured(draft),
    raw,
    adjusted,
    conditionsChangePct,
    verdict: judge(raw?.consumptionChangePct ?? null, adjusted?.consumptionChangePct ?? null),
    missing: adjusted ? null : draft.missing,
    uncertaintyShares: draft.adjusted && uncertaintyShares(draft.adjusted),
    nextSteps: draft.nextSteps,
    drift: draft.drift,
    cautions: cautionsOf({ ...draft, baseline, conditionsChangePct, correctDrift: settings.correctDrift }),
    fuel: {
      fillSdLitres: settings.fillRepeatabilityLitres ?? MEASUREMENT_SD.fillLitres,
      at15C: runs.length > 0 && runs.every(({ reading }) => reading.at15C),
    },
    logEffects: { raw: draft.raw, adjusted: draft.adjusted },
  }
}

function measured({ setupRuns, baselineRuns }: ClaimDraft): Claim['measuredPer100Km'] {
  if (setupRuns.length === 0 || baselineRuns.length === 0) return null
  const [setup, baseline] = [togetherPer100Km(setupRuns), togetherPer100Km(baselineRuns)]
  return { unit: setupRuns[0].unit, setup, baseline }
}

/** Raw less adjusted: plain where both have the same weights. */
function conditionsChange({ setupRuns, baselineRuns, adjusted, pooled }: ClaimDraft): Interval95 | null {
  if (!adjusted || pooled) return null
  const log = (runs: RunConsumption[]): number => mean(runs.map((c) => c.logRaw - c.logAdjusted))
  const errors = adjusted.errors.conditions.map((value) => -value)
  return intervalsOf(log(setupRuns) - log(baselineRuns), errors).consumptionChangePct
}
