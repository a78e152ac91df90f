import type { Claim } from '../../claim/claim.ts'
import type { Ratio } from '../../claim/control/control-changes.ts'
import { intervalsOfRatio, type RatioChange } from '../../claim/control/ratio-change.ts'
import { evidenceRecords } from '../../claim/evidence/evidence-records.ts'
import type { Sense } from '../../claim/sense.ts'
import type { FuelRun, LeftOut } from '../../claim/types.ts'
import type { ClaimFacts } from '../../report/words/claims/claim-reasons.ts'

/** What is derived from a claim; null where it does not exist. */
export interface ClaimDerived {
  sense: Sense | null
  worth: ClaimFacts['worth']
}

/** A claim as the report's codes and figures. */
export function claimFacts(claim: Claim, { sense, worth }: ClaimDerived): ClaimFacts {
  return {
    setup: claim.setup,
    baseline: claim.baseline,
    route: claim.routeName,
    pooled: claim.pooled,
    runs: claim.runs,
    baseline_runs: claim.baselineRuns,
    stints: null,
    left_out: claim.leftOut.map(({ id, reason }) => ({ run: id, why: whyLeftOut(reason) })),
    measured_per_100_km: claim.measuredPer100Km,
    raw_consumption_change_pct: claim.raw?.consumptionChangePct ?? null,
    raw_distance_per_fuel_change_pct: claim.raw?.distancePerFuelChangePct ?? null,
    adjusted_consumption_change_pct: claim.adjusted?.consumptionChangePct ?? null,
    adjusted_distance_per_fuel_change_pct: claim.adjusted?.distancePerFuelChangePct ?? null,
    by_fuel_alone_consumption_change_pct: claim.byFuelAlone?.consumptionChangePct ?? null,
    measured_by: claim.ways,
    conditions_change_pct: claim.conditionsChangePct,
    verdict: claim.verdict,
    held_back: claim.heldBack,
    scatter: claim.scatterChange && scatterFacts(claim.scatterChange),
    missing: claim.missing,
    implied_drag_area_change_pct: sense?.impliedDragAreaChangePct ?? null,
    sense: sense && senseFacts(sense),
    uncertainty_shares: claim.uncertaintyShares ?? {},
    next_steps: claim.nextSteps.map((step) => ({
      step: step.step,
      width_before_pct: step.widthBeforePct,
      width_after_pct: step.widthAfterPct,
    })),
    drift: claim.drift && driftFacts(claim.drift),
    evidence: claim.evidence ? evidenceRecords(claim.evidence) : [],
    control: claim.control && controlFacts(claim.control),
    worth,
    caution_codes: claim.cautions,
    fuel_measured: { fill_sd_l: claim.fuel.fillSdLitres, at_15c: claim.fuel.at15C },
  }
}

const scatterFacts = (change: NonNullable<Claim['scatterChange']>): ClaimFacts['scatter'] => ({
  raw_sd_pct: 100 * change.rawSd,
  adjusted_sd_pct: 100 * change.correctedSd,
  degrees_of_freedom: change.degreesOfFreedom,
  p_grew: change.p,
})

const senseFacts = (sense: Sense): ClaimFacts['sense'] => ({
  drag_share: sense.dragShare,
  drag_share_low95: sense.dragShareLow95,
  drag_share_high95: sense.dragShareHigh95,
  most_saving_pct: sense.mostSavingPct,
  most_saving_bound_pct: sense.mostSavingBoundPct,
  verdict: sense.verdict,
})

const driftFacts = (drift: NonNullable<Claim['drift']>): ClaimFacts['drift'] => ({
  runs: drift.runs,
  span_hours: drift.spanHours,
  change_over_span_pct: drift.changeOverSpanPct,
  resolved: drift.resolved,
  corrected: drift.corrected,
})

function controlFacts(change: NonNullable<Claim['control']>): ClaimFacts['control'] {
  const pairs = (ratios: Ratio[]) =>
    ratios.map(({ test, control, testAmount, controlAmount, ratio }) => ({
      line: test.row.line,
      control_line: control.row.line,
      file: test.row.file,
      control_file: control.row.file,
      run: idOf(test),
      control_run: idOf(control),
      fuel: testAmount,
      control_fuel: controlAmount,
      ratio,
    }))
  const percent = (by: RatioChange | null) => by && intervalsOfRatio(by).consumptionChangePct
  return {
    test_vehicle: change.vehicle,
    control_vehicle: change.controlVehicle,
    unit: change.unit,
    pairs: pairs(change.ratios.setup),
    baseline_pairs: pairs(change.ratios.baseline),
    ratio_consumption_change_pct: percent(change.byRatio),
    with_model_consumption_change_pct: percent(change.withModel),
    model_consumption_change_pct: change.byModelPct,
    control_change_pct: change.ofControl?.measuredPct ?? null,
    modelled_control_change_pct: change.ofControl?.modelledPct ?? null,
    agree: change.ofControl?.agree ?? null,
  }
}

const idOf = ({ id, distanceM }: FuelRun): string | null => (distanceM > 0 ? id : null)

function whyLeftOut(reason: LeftOut): ClaimFacts['left_out'][number]['why'] {
  if (reason.code !== 'impossible-fuel') return reason
  const { distanceM, per100Km, ...rest } = reason
  return { ...rest, distance_m: distanceM, per_100_km: per100Km }
}
