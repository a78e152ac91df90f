import { present } from '../base/present.ts'
import { mean, standardDeviation } from '../base/statistics.ts'
import { type Caution, cautionsOf, isLarge } from './cautions.ts'
import type { ControlChange } from './control/control-changes.ts'
import type { Evidence } from './evidence/evidence.ts'
import { type RunConsumption, togetherPer100Km } from './fuel/consumption.ts'
import { type FuelUnit, MEASUREMENT_SD } from './fuel/measure.ts'
import type { Drift } from './model/drift.ts'
import {
  type EffectIntervals,
  type ErrorSource,
  intervalsAbout,
  intervalsOf,
  type LogEffect,
  widened,
} from './model/effects.ts'
import type { Kind, Way } from './model/observation.ts'
import { type ScatterChange, scatterChange } from './model/scatter-change.ts'
import { uncertaintyShares } from './model/shares.ts'
import type { NextStep } from './next-step.ts'
import type { ClaimSettings, Interval95, LeftOut } from './types.ts'
import { type ClaimMissing, type ClaimVerdict, excludesZero, type HeldBack, judge } from './verdict.ts'
import { wetWouldExplain } from './wet-unknown.ts'

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
  /**
   * At the reference conditions, the mean of those of the baseline's runs: by the fuel, and by the other readings as well
   * where these agree with it.
   */
  adjusted: EffectIntervals | null
  /** The same by the fuel alone, where other readings have a part in `adjusted`; null elsewhere. */
  byFuelAlone: EffectIntervals | null
  /** The ways of measuring that `adjusted` rests on. */
  ways: Way[]
  /** What each way of measuring says by itself, and whether they agree; null for a claim pooled over routes. */
  evidence: Evidence | null
  /** What conditions alone made of the consumption, setup's runs against baseline's. */
  conditionsChangePct: Interval95 | null
  verdict: ClaimVerdict
  /** Why the verdict is `unresolved` although the interval excludes zero; null otherwise. */
  heldBack: HeldBack | null
  /** What correcting did to the scatter of repeats, of both setups on this road; null for too few. */
  scatterChange: ScatterChange | null
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
  /** By a control vehicle, with what the model alone says; null without one. */
  control: (ControlChange & { byModelPct: Interval95 | null }) | null
  /** The change as ln(setup / baseline) with its errors: for what is derived from it. */
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
  /** null where `adjusted` rests on the fuel alone. */
  byFuelAlone: LogEffect | null
  evidence: Evidence | null
  leftOut: { id: string; reason: LeftOut }[]
  drift: Drift | null
  nextSteps: NextStep[]
  missing: ClaimMissing | null
}

const intervalOfEffect = (effect: LogEffect | null): EffectIntervals | null => effect && intervalsOf(effect)

/** The draft with its intervals, verdict, shares and cautions. */
export function finishedClaim(
  draft: ClaimDraft,
  baseline: string,
  routeName: string | null,
  settings: ClaimSettings,
  sessions: Map<string, string>,
): Claim {
  const raw = intervalOfEffect(draft.raw)
  const adjusted = intervalOfEffect(draft.adjusted)
  const conditionsChangePct = conditionsChange(draft)
  const runs = [...draft.setupRuns, ...draft.baselineRuns]
  const change = draft.adjusted && !draft.pooled ? scatterChange([draft.setupRuns, draft.baselineRuns]) : null
  const heldBack = heldBackBy(draft, adjusted?.consumptionChangePct ?? null, conditionsChangePct, change, settings)
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
    byFuelAlone: intervalOfEffect(draft.byFuelAlone),
    ways: [...new Set((draft.adjusted ?? draft.raw)?.terms.map(({ observation }) => observation.way))],
    evidence: draft.evidence,
    conditionsChangePct,
    verdict: judge(raw?.consumptionChangePct ?? null, adjusted?.consumptionChangePct ?? null, heldBack),
    heldBack,
    scatterChange: change,
    missing: adjusted ? null : draft.missing,
    uncertaintyShares: draft.adjusted && uncertaintyShares(draft.adjusted),
    nextSteps: draft.nextSteps,
    drift: draft.drift,
    cautions: cautionsOf({
      ...draft,
      baseline,
      conditionsChangePct,
      scatterChange: change,
      sessions,
      correctDrift: settings.correctDrift,
      hasBattery: settings.powertrain === 'hybrid' || (settings.battery?.capacityKwh ?? null) !== null,
    }),
    fuel: {
      fillSdLitres: settings.fillRepeatabilityLitres ?? MEASUREMENT_SD.fillLitres,
      at15C: runs.length > 0 && runs.every(({ reading }) => reading.at15C),
    },
    control: null,
    logEffects: { raw: draft.raw, adjusted: draft.adjusted },
  }
}

/** The interval that the errors give as they are believed to be, whatever other readings say. */
const byOwnErrors = (effect: LogEffect): Interval95 =>
  intervalsOf(widened(effect, 1 / effect.widenedBy)).consumptionChangePct

function heldBackBy(
  draft: ClaimDraft,
  adjusted: Interval95 | null,
  conditionsChangePct: Interval95 | null,
  scatter: ScatterChange | null,
  { isVehicleDoubtful = false }: ClaimSettings,
): HeldBack | null {
  if (!adjusted) return null
  if (!excludesZero(adjusted))
    return draft.adjusted && excludesZero(byOwnErrors(draft.adjusted)) ? 'evidence-apart' : null
  const { setupRuns, baselineRuns, drift } = draft
  if (isVehicleDoubtful) return 'vehicle-doubtful'
  if (isLarge(conditionsChangePct)) return 'large-correction'
  if (scatter?.grew) return 'scatter-grew'
  if (driftExceeds(drift, adjusted)) return 'drift'
  return wetWouldExplain(adjusted, setupRuns, baselineRuns) ? 'wet-unknown' : null
}

/** Whether the baseline drifted, uncorrected, by as much as the change or more. */
function driftExceeds(drift: Drift | null, { estimate }: Interval95): boolean {
  if (!drift?.resolved || drift.corrected) return false
  return Math.abs(drift.changeOverSpanPct.estimate) >= Math.abs(estimate)
}

function measured({ setupRuns, baselineRuns }: ClaimDraft): Claim['measuredPer100Km'] {
  if (setupRuns.length === 0 || baselineRuns.length === 0) return null
  const [setup, baseline] = [togetherPer100Km(setupRuns), togetherPer100Km(baselineRuns)]
  return { unit: setupRuns[0].unit, setup, baseline }
}

/** What the conditions make of the difference between the means of both sides' drives. */
function conditionsChange({ setupRuns, baselineRuns, adjusted, pooled }: ClaimDraft): Interval95 | null {
  if (!adjusted || pooled) return null
  const log = (runs: RunConsumption[]): number => mean(runs.map((c) => c.logRaw - c.logAdjusted))
  const errors = present(setupRuns[0].conditions).map((_, k) => meanOfDraw(setupRuns, k) - meanOfDraw(baselineRuns, k))
  const half = NORMAL_95 * standardDeviation(errors)
  return intervalsAbout(log(setupRuns) - log(baselineRuns), half).consumptionChangePct
}

const meanOfDraw = (runs: RunConsumption[], k: number): number =>
  runs.reduce((sum, { conditions }) => sum + present(conditions)[k], 0) / runs.length

/** Half of the interval that holds a normal error in 95 of 100, in its standard deviation. */
const NORMAL_95 = 1.959964
