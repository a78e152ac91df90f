import type { Claim } from '../claim.ts'
import { MEASUREMENT_SD } from '../fuel/measure.ts'
import { ERROR_SOURCES, type ErrorSource } from '../model/effects.ts'
import type { ClaimSettings } from '../types.ts'
import { judge } from '../verdict.ts'
import type { ControlChange } from './control-changes.ts'
import { intervalsOfRatio } from './ratio-change.ts'

/** Cautions that are about the correction by the model alone. */
const OF_THE_MODEL: readonly string[] = [
  'large-correction',
  'scatter-grew',
  'no-drift-correction',
  'drift',
  'not-interleaved',
]

/**
 * A claim by the ratio to the control vehicle, together with the model where both vehicles were recorded. Where the ratios
 * are too few the model's claim stays as it is.
 * @param byModel the claim of the same setup on the same road without the control vehicle; null without one
 */
export function claimByControl(
  change: ControlChange,
  byModel: Claim | null,
  routeName: string | null,
  settings: ClaimSettings,
): Claim {
  const byModelPct = byModel?.adjusted?.consumptionChangePct ?? null
  const claim = { ...(byModel ?? emptyClaim(change, routeName, settings)), control: { ...change, byModelPct } }
  const best = change.withModel ?? change.byRatio
  if (!best) return byModel ? claim : { ...claim, missing: whatIsMissing(change) }
  const adjusted = intervalsOfRatio(best)
  return {
    ...claim,
    adjusted,
    verdict: judge(claim.raw?.consumptionChangePct ?? null, adjusted.consumptionChangePct),
    heldBack: null,
    missing: null,
    byFuelAlone: null,
    ways: [change.unit],
    scatterChange: null,
    drift: null,
    uncertaintyShares: { ...NO_SHARES, ...best.shares },
    nextSteps: [
      { step: 'more-runs', widthBeforePct: 200 * best.halfWidth, widthAfterPct: 200 * best.halfWidthWithMore },
    ],
    cautions: claim.cautions.filter(({ code }) => !OF_THE_MODEL.includes(code)),
    logEffects: { raw: claim.logEffects.raw, adjusted: null },
  }
}

const NO_SHARES = Object.fromEntries(ERROR_SOURCES.map((source) => [source, 0])) as Record<ErrorSource, number>

function whatIsMissing({ setup, baseline, ratios }: ControlChange): Claim['missing'] {
  return ratios.baseline.length === 0
    ? { code: 'no-control-pairs', setups: [baseline] }
    : { code: 'few-control-pairs', setups: [setup, baseline] }
}

function emptyClaim(
  { setup, baseline, route }: ControlChange,
  routeName: string | null,
  settings: ClaimSettings,
): Omit<Claim, 'control'> {
  return {
    setup,
    baseline,
    route,
    routeName,
    pooled: false,
    runs: [],
    baselineRuns: [],
    leftOut: [],
    measuredPer100Km: null,
    raw: null,
    adjusted: null,
    byFuelAlone: null,
    ways: [],
    evidence: null,
    conditionsChangePct: null,
    verdict: 'not testable',
    heldBack: null,
    scatterChange: null,
    missing: null,
    uncertaintyShares: null,
    nextSteps: [],
    drift: null,
    cautions: [],
    fuel: { fillSdLitres: settings.fillRepeatabilityLitres ?? MEASUREMENT_SD.fillLitres, at15C: false },
    logEffects: { raw: null, adjusted: null },
  }
}
