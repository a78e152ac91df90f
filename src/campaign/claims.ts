import type { Problem } from '../base/problem.ts'
import { celsiusFromKelvin } from '../base/units.ts'
import type { Claim } from '../claim/claim.ts'
import { type ClaimsResult, claimsOf } from '../claim/claims.ts'
import { evidenceOfClaim, partsOfClaims, senseOfClaim } from '../claim/derived.ts'
import { evidenceRecords } from '../claim/evidence-words.ts'
import type { CandidateRun } from '../claim/separating.ts'
import type { ClaimSettings, FuelRun } from '../claim/types.ts'
import type { Campaign } from '../read/types.ts'
import type { Report, ReportClaim, ReportRun } from '../report/contract.ts'
import { conditionsLine } from './drive/conditions-line.ts'
import type { KeptRecord } from './drive/run-record.ts'
import { type WorthSettings, worthOfClaim } from './worth.ts'

export interface ClaimOptions {
  draws: number
  seed: number
  correctDrift: boolean
  poolRoutes: boolean
  /** null: not asked for. */
  worth: WorthSettings | null
}

export interface ClaimsForReport {
  claims: ReportClaim[]
  parts: Report['parts']
  partGroups: Report['part_groups']
  /** By run id. */
  consumptions: Map<string, ReportRun['consumption']>
  problems: Problem[]
}

/** Claims, parts and consumptions as the report tells them; all empty where runs.csv names no setup or fuel. */
export function claimsForReport(
  records: KeptRecord[],
  routeNames: string[],
  campaign: Campaign,
  options: ClaimOptions,
): ClaimsForReport {
  const settings = claimSettings(campaign, options)
  const runs = records
    .filter(({ run }) => run.row !== null)
    .map((record) => fuelRun(record, records, campaign.baseline))
  if (runs.length === 0) return { claims: [], parts: [], partGroups: [], consumptions: new Map(), problems: [] }
  const result = claimsOf(runs, routeNames, settings)
  const parts = partsOfClaims(result, settings)
  return {
    claims: result.claims.map((claim) => reportClaim(claim, result, runs, settings, options)),
    parts: (parts?.effects ?? []).map((effect) => ({
      part: effect.part,
      consumption_change_pct: effect.consumptionChangePct,
      inseparable_from: effect.inseparableFrom,
      never_left_off: effect.neverLeftOff,
    })),
    partGroups: (parts?.groups ?? []).map((group) => ({
      parts: group.parts,
      combined_change_pct: group.combinedChangePct,
      separating_run: group.separatingRun && runInWords(group.separatingRun, routeNames),
    })),
    consumptions: consumptionsById(result),
    problems: result.problems,
  }
}

export const claimSettings = (campaign: Campaign, options: ClaimOptions): ClaimSettings => ({
  setups: campaign.setups,
  baseline: campaign.baseline,
  fillRepeatabilityLitres: campaign.fuel.fillRepeatabilityLitres,
  meterTolerancePct: campaign.fuel.meterTolerancePct,
  powertrain: campaign.vehicle.powertrain ?? 'petrol',
  draws: options.draws,
  seed: options.seed,
  correctDrift: options.correctDrift,
  poolRoutes: options.poolRoutes,
})

export function fuelRun(record: KeptRecord, records: KeptRecord[], baseline: string | null): FuelRun {
  const { run, demand } = record
  return {
    id: run.id,
    route: record.route,
    setup: run.row!.setup,
    startTime: run.summary.startTime,
    endTime: run.summary.endTime,
    distanceM: run.summary.distanceM,
    row: run.row!,
    demandDraws: demand?.drawsJPerM ?? null,
    nominalDemandJPerM: demand?.nominalJPerM ?? Number.NaN,
    nominalDragJPerM: demand?.nominalDragJPerM ?? Number.NaN,
    leftOut: reasonToLeaveOut(record, records, baseline),
    conditions: conditionsLine(record),
    air: demand && {
      temperatureC: celsiusFromKelvin(record.means.temperatureK),
      densityKgM3: record.means.densityKgM3,
      windMps: record.wind.speedMps,
    },
  }
}

/** What keeps a run out of every claim: the user's word, another stretch of road, or a road wet where the baseline's was dry. */
function reasonToLeaveOut(record: KeptRecord, records: KeptRecord[], baseline: string | null): string | null {
  const { run, member, comparable } = record
  if (run.row?.exclude) return run.row.exclude
  if (member.relation === 'part') return 'it covers only a part of the road'
  if (member.relation === 'detour') return 'it left the road for a detour'
  const like = records.filter((r) => r.route === record.route && !r.run.row?.exclude)
  const ofBaseline = like.filter((r) => baseline !== null && r.run.row?.setup === baseline)
  const usual = usualWetness(ofBaseline.length > 0 ? ofBaseline : like)
  const { wet } = comparable.outside
  if (wet === null || usual === null || wet === usual) return null
  return wet ? 'the road was wet, the baseline’s was dry' : 'the road was dry, the baseline’s was wet'
}

/** Of most of the runs; dry where they are even, null where nobody says. */
function usualWetness(records: KeptRecord[]): boolean | null {
  const known = records.map((r) => r.comparable.outside.wet).filter((wet) => wet !== null)
  return known.length === 0 ? null : known.filter(Boolean).length > known.length / 2
}

function reportClaim(
  claim: Claim,
  result: ClaimsResult,
  runs: FuelRun[],
  settings: ClaimSettings,
  options: ClaimOptions,
): ReportClaim {
  const evidence = evidenceOfClaim(claim, result, runs, settings)
  const sense = senseOfClaim(claim, runs)
  return {
    setup: claim.setup,
    baseline: claim.baseline,
    route: claim.routeName,
    pooled: claim.pooled,
    runs: claim.runs,
    baseline_runs: claim.baselineRuns,
    left_out: claim.leftOut.map(({ id, reason }) => ({ run: id, reason })),
    measured_per_100_km: claim.measuredPer100Km,
    raw_consumption_change_pct: claim.raw?.consumptionChangePct ?? null,
    raw_distance_per_fuel_change_pct: claim.raw?.distancePerFuelChangePct ?? null,
    adjusted_consumption_change_pct: claim.adjusted?.consumptionChangePct ?? null,
    adjusted_distance_per_fuel_change_pct: claim.adjusted?.distancePerFuelChangePct ?? null,
    conditions_change_pct: claim.conditionsChangePct,
    verdict: claim.verdict,
    reason: claim.reason,
    implied_drag_area_change_pct: sense?.impliedDragAreaChangePct ?? null,
    sense: sense && {
      drag_share: sense.dragShare,
      drag_share_low95: sense.dragShareLow95,
      drag_share_high95: sense.dragShareHigh95,
      most_saving_pct: sense.mostSavingPct,
      most_saving_bound_pct: sense.mostSavingBoundPct,
      verdict: sense.verdict,
      sentence: sense.sentence,
    },
    uncertainty_shares: claim.uncertaintyShares ?? {},
    next_steps: claim.nextSteps.map((step) => ({
      step: step.step,
      width_before_pct: step.widthBeforePct,
      width_after_pct: step.widthAfterPct,
      sentence: step.sentence,
    })),
    drift: claim.drift && {
      runs: claim.drift.runs,
      span_hours: claim.drift.spanHours,
      change_over_span_pct: claim.drift.changeOverSpanPct,
      resolved: claim.drift.resolved,
      corrected: claim.drift.corrected,
      sentence: claim.drift.sentence,
    },
    evidence: evidence ? evidenceRecords(evidence) : [],
    worth: options.worth && worthOfClaim(claim, settings.powertrain, options.worth),
    cautions: claim.cautions,
    statement: claim.statement,
  }
}

function runInWords({ parts, setup, route, tells }: CandidateRun, routeNames: string[]): string {
  const fitted = parts.length === 0 ? 'nothing fitted' : `only ${parts.join(' and ')} fitted`
  const known = setup === null ? '' : ` (the setup ${setup})`
  return `one run on ${routeNames[route]} with ${fitted}${known} would tell ${tells.join(' and ')}`
}

function consumptionsById({ consumptions }: ClaimsResult): Map<string, ReportRun['consumption']> {
  const per100Km = (log: number): number => Math.exp(log) * 1e5
  return new Map(
    consumptions.map((c) => [
      c.run.id,
      {
        unit: c.unit,
        per_100_km: per100Km(c.logRaw),
        adjusted_per_100_km: Number.isFinite(c.logAdjusted) ? per100Km(c.logAdjusted) : null,
      },
    ]),
  )
}
