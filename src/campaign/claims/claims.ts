import { present } from '../../base/present.ts'
import type { Problem } from '../../base/problem.ts'
import { plainText } from '../../base/sentence.ts'
import { type ClaimsResult, claimsOf } from '../../claim/claims.ts'
import { partsOfClaims, senseOfClaim } from '../../claim/derived.ts'
import { withBatteryEnergy, withBatteryInFuel } from '../../claim/fuel/battery.ts'
import { type InformedDemands, informedDifference } from '../../claim/model/informed.ts'
import type { CandidateRun } from '../../claim/parts/separating.ts'
import type { ClaimSettings, FuelRun, LeftOut } from '../../claim/types.ts'
import { powertrainOf } from '../../demand/vehicle.ts'
import type { Campaign, RunRow } from '../../read/types.ts'
import type { Report, ReportPair, ReportRun } from '../../report/contract.ts'
import { conditionsOf } from '../../report/margin/drive-uses.ts'
import { claimProblem } from '../../report/words/checks/claim-problems.ts'
import type { ClaimFacts } from '../../report/words/claims/claim-reasons.ts'
import { separatingWords } from '../../report/words/claims/parts.ts'
import { usedAmount } from '../drive/logged-run.ts'
import type { KeptRecord } from '../drive/run-record.ts'
import type { FuelLog } from '../fuel-log/fuel-log.ts'
import { ANY_ROAD, TANKFUL_PRIOR, tankfuls } from '../fuel-log/log-claims.ts'
import { hasFuel, type LogSpan, logRuns } from '../fuel-log/log-runs.ts'
import { isLeftOut } from '../load/recordings/left-out.ts'
import { isControl } from '../load/rows/control-rows.ts'
import type { RunsOfRow } from '../load/runs.ts'
import { claimFacts } from './claim-facts.ts'
import { claimsWithControl, runsOfFuelAlone } from './control-claims.ts'
import { withLoggedFuel } from './logged-fuel.ts'
import { type StintRun, stintRuns } from './stints.ts'
import { doubtfulSpell, withWetDoubt } from './wet-doubt.ts'
import { type WorthSettings, worthOfClaim } from './worth.ts'

export interface ClaimOptions {
  draws: number
  seed: number
  correctDrift: boolean
  poolRoutes: boolean
  /** null: not asked for. */
  worth: WorthSettings | null
}

/** @param a and b: ids of drives */
export type InformedDifference = (a: string, b: string) => ReportPair['fuel_informed_difference_pct']

export interface ClaimsForReport {
  claims: ClaimFacts[]
  parts: Report['parts']
  partGroups: Report['part_groups']
  /** By run id. */
  consumptions: Map<string, ReportRun['consumption']>
  /** What conditions make of each run's demand against the mean of its baseline; by run id. */
  differences: Map<string, ReportRun['use']['difference_pct']>
  stints: Report['stints']
  /** What conditions make of one drive against another, given the fuel of all: percent; null where it does not tell. */
  informed: InformedDifference
  /** What the claims were made from. */
  runs: FuelRun[]
  /** Of the fuel log. */
  spans: LogSpan[]
  problems: Problem[]
}

/** Claims as figures, parts and consumptions as the report tells them; all empty where runs.csv names no setup or fuel. */
export function claimsForReport(
  records: KeptRecord[],
  stints: RunsOfRow[],
  roadNames: readonly string[],
  campaign: Campaign,
  options: ClaimOptions,
  log: FuelLog | null = null,
  fuelAlone: readonly RunRow[] = [],
): ClaimsForReport {
  const settings = claimSettings(campaign, options)
  const routeNames = [...roadNames]
  const { battery } = campaign
  const given = withWetDoubt(records, options)
    .filter(({ run }) => run.row !== null)
    .map((record) => fuelRun(record, records, campaign.baseline))
  const rows = withBatteryEnergy(given, battery)
  const ofRows = stintRuns(stints, new Map(rows.map((run) => [run.id, run])), routeNames)
  const carried = log && logRuns(log, rows, ofRows, routeNames, settings)
  const single = carried?.single ?? rows
  const together = [...ofRows, ...(carried?.together ?? [])]
  const { runs: all, problems: ofLogs } = withLoggedFuel<FuelRun>(withBatteryInFuel([...single, ...together], battery))
  const runs = all.filter(({ row }) => !isControl(row))
  const spans = carried?.spans ?? []
  const isRead = (run: FuelRun): boolean => hasFuel(run) || hasReading(run)
  const ofLog = log && !runs.some(isRead) ? tankfuls(spans.slice(-MOST_TANKFULS), log.file, settings) : []
  if (ofLog.length > 0) return claimsOfTankfuls(ofLog, spans, settings)
  const ofAll = [...all, ...runsOfFuelAlone(fuelAlone)]
  if (ofAll.length === 0)
    return {
      claims: [],
      parts: [],
      partGroups: [],
      consumptions: new Map(),
      differences: new Map(),
      informed: NOT_INFORMED,
      stints: [],
      runs,
      spans,
      problems: [],
    }
  const result = runs.length > 0 ? claimsOf(runs, routeNames, settings) : null
  const parts = result && partsOfClaims(result, settings)
  const consumptions = consumptionsById(result?.consumptions ?? [])
  const { claims, problems: ofControl } = claimsWithControl(
    ofAll,
    result?.claims ?? [],
    result?.baseline ?? null,
    routeNames,
    settings,
  )
  return {
    claims: claims.map((claim) => {
      const facts = claimFacts(claim, {
        sense: senseOfClaim(claim, runs),
        worth: options.worth && worthOfClaim(claim, settings.powertrain, options.worth),
      })
      return byTheirRuns(facts, together)
    }),
    stints: together.map(({ id, setup, runs: ids, distanceM }) => ({
      id,
      setup,
      runs: ids,
      distance_m: distanceM,
      consumption: consumptions.get(id) ?? null,
    })),
    parts: (parts?.effects ?? []).map((effect) => ({
      part: effect.part,
      consumption_change_pct: effect.consumptionChangePct,
      inseparable_from: effect.inseparableFrom,
      never_left_off: effect.neverLeftOff,
    })),
    partGroups: (parts?.groups ?? []).map(({ parts, combinedChangePct, separatingRun }) => {
      const separating = separatingRun && separatingFacts(separatingRun, routeNames)
      return {
        parts,
        combined_change_pct: combinedChangePct,
        separating_run: separating && plainText(separatingWords(separating)),
        separating,
      }
    }),
    consumptions,
    differences: differencesById(result?.consumptions ?? [], together),
    informed: informedBy(result?.informed ?? []),
    runs,
    spans,
    problems: [...(result?.problems ?? []).map(claimProblem), ...severalVehicles(runs), ...ofControl, ...ofLogs],
  }
}

/** The model is that of one vehicle. */
function severalVehicles(runs: readonly FuelRun[]): Problem[] {
  const counted = runs.filter(({ leftOut }) => leftOut?.code !== 'other-vehicle')
  const vehicles = [...new Set(counted.flatMap(({ row }) => row.vehicle ?? []))]
  if (vehicles.length < 2) return []
  const message = `the recorded drives are of ${vehicles.length} vehicles: ${vehicles.slice(0, 5).join(', ')}; the model takes them for one, and holds their fuel against each other`
  const hint = 'Write no into the column test_vehicle for those of another vehicle.'
  return [{ code: 'several-vehicles', severity: 'warning', message, hint }]
}

const NOT_INFORMED: InformedDifference = () => null

/** Half of the interval that holds a normal error in 90 of 100, in its standard deviation. */
const NORMAL_90 = 1.644854

const informedBy =
  (roads: readonly InformedDemands[]): InformedDifference =>
  (a, b) => {
    const road = roads.find(({ runs }) => runs.includes(a))
    const difference = road && informedDifference(road, a, b)
    if (!difference) return null
    const { log, sd } = difference
    const percent = (value: number): number => 100 * Math.expm1(value)
    return { mean: percent(log), low90: percent(log - NORMAL_90 * sd), high90: percent(log + NORMAL_90 * sd) }
  }

/** Whether a row says of another way what the drive took. */
const hasReading = ({ row }: FuelRun): boolean =>
  row.tripComputerLitresPer100Km > 0 || row.obdFuelLitres > 0 || row.gaugeMarkM > 0

/** The claims of a fuel log are made from so many tankfuls, the latest: decades of them. */
const MOST_TANKFULS = 1000

const onlyLatest = (tankfuls: number): Problem => ({
  code: 'fill-spans-too-many',
  severity: 'note',
  message: `of ${tankfuls} tankfuls the latest ${MOST_TANKFULS} count in claims; all of them stand in consumption.csv`,
})

/** Claims of a fuel log alone: as measured, and not testable at like conditions. */
function claimsOfTankfuls(runs: FuelRun[], spans: LogSpan[], given: ClaimSettings): ClaimsForReport {
  const settings = { ...given, repeatabilityPrior: TANKFUL_PRIOR, poolRoutes: false }
  const result = claimsOf(runs, [ANY_ROAD], settings)
  return {
    claims: result.claims.map((claim) => {
      const facts = claimFacts(claim, { sense: null, worth: null })
      const side = (ids: string[]) => ({ count: ids.length, runs: 0 })
      return {
        ...facts,
        route: null,
        runs: [],
        baseline_runs: [],
        left_out: [],
        stints: { setup: side(claim.runs), baseline: side(claim.baselineRuns) },
        missing: claim.raw === null ? facts.missing : { code: 'no-tracks' as const, setups: [] },
      }
    }),
    parts: [],
    partGroups: [],
    consumptions: new Map(),
    differences: new Map(),
    informed: NOT_INFORMED,
    stints: [],
    runs,
    spans,
    problems: [
      ...(spans.length > MOST_TANKFULS ? [onlyLatest(spans.length)] : []),
      ...result.problems.map(claimProblem),
    ],
  }
}

/** A claim that names the runs of its stints, not these. */
function byTheirRuns(facts: ClaimFacts, stints: StintRun[]): ClaimFacts {
  const members = new Map(stints.map(({ id, runs }) => [id, runs]))
  const runsOf = (ids: readonly string[]): string[] => ids.flatMap((id) => members.get(id) ?? [id])
  const countOf = (ids: readonly string[]): { count: number; runs: number } => {
    const own = ids.filter((id) => members.has(id) && !facts.left_out.some(({ run }) => run === id))
    return { count: own.length, runs: runsOf(own).length }
  }
  const [setup, baseline] = [countOf(facts.runs), countOf(facts.baseline_runs)]
  // Laps have no fuel of their own; they count through their stint.
  const counted = new Set(runsOf([...facts.runs, ...facts.baseline_runs]))
  const left = facts.left_out.flatMap(({ run, ...why }) => runsOf([run]).map((id) => ({ run: id, ...why })))
  const seen = new Set<string>()
  return {
    ...facts,
    runs: runsOf(facts.runs),
    baseline_runs: runsOf(facts.baseline_runs),
    stints: setup.count + baseline.count > 0 ? { setup, baseline } : null,
    caution_codes: facts.caution_codes.flatMap(({ code, setups }): ClaimFacts['caution_codes'] => {
      if (code !== 'single-drive') return [{ code, setups }]
      const isStint = (name: string): boolean => (name === facts.setup ? setup : baseline).count > 0
      const of = (wanted: boolean): string[] => setups.filter((name) => isStint(name) === wanted)
      return [
        ...(of(false).length > 0 ? [{ code, setups: of(false) }] : []),
        ...(of(true).length > 0 ? [{ code: 'single-stint' as const, setups: of(true) }] : []),
      ]
    }),
    evidence: facts.evidence.map((record) =>
      record.kind === 'consistency'
        ? record
        : { ...record, runs: runsOf(record.runs), baseline_runs: runsOf(record.baseline_runs) },
    ),
    left_out: left.filter(({ run }) => !counted.has(run) && !seen.has(run) && seen.add(run)),
    drift: facts.drift && { ...facts.drift, runs: runsOf(facts.drift.runs) },
  }
}

export const claimSettings = (campaign: Campaign, options: ClaimOptions): ClaimSettings => ({
  setups: campaign.setups,
  baseline: campaign.baseline,
  fillRepeatabilityLitres: campaign.fuel.fillRepeatabilityLitres,
  meterTolerancePct: campaign.fuel.meterTolerancePct,
  powertrain: powertrainOf(campaign.vehicle),
  battery: campaign.battery,
  draws: options.draws,
  seed: options.seed,
  correctDrift: options.correctDrift,
  poolRoutes: options.poolRoutes,
})

export function fuelRun(record: KeptRecord, records: KeptRecord[], baseline: string | null): FuelRun {
  const { run, demand } = record
  const row = present(run.row)
  return {
    id: run.id,
    route: record.route,
    setup: row.setup,
    startTime: run.summary.startTime,
    endTime: run.summary.endTime,
    distanceM: run.summary.distanceM,
    row,
    logged: { fuelLitres: usedAmount(record.logged?.fuel), energyKwh: usedAmount(record.logged?.energy) },
    demandDraws: demand?.drawsJPerM ?? null,
    drawnFrom: demand?.drawnFrom ?? [],
    nominalDemandJPerM: demand?.nominalJPerM ?? Number.NaN,
    nominalDragJPerM: demand?.nominalDragJPerM ?? Number.NaN,
    doubtfulSpell: doubtfulSpell(record),
    leftOut: reasonToLeaveOut(record, records, baseline),
  }
}

/** What keeps a run out of every claim: the user's word, another stretch of road, or a road wet where the baseline's was dry. */
function reasonToLeaveOut(record: KeptRecord, records: KeptRecord[], baseline: string | null): LeftOut | null {
  const { run, comparable } = record
  if (run.row?.exclude) return { code: 'stated', note: run.row.exclude }
  if (run.otherVehicle) return { code: 'other-vehicle' }
  if (comparable.relation === 'part') return { code: 'part' }
  if (comparable.relation === 'detour') return { code: 'detour' }
  const like = records.filter((r) => r.route === record.route && !isLeftOut(r.run))
  const ofBaseline = like.filter((r) => baseline !== null && r.run.row?.setup === baseline)
  const usual = usualWetness(ofBaseline.length > 0 ? ofBaseline : like)
  const { wet } = comparable.outside
  if (wet === null || usual === null || wet === usual) return null
  return { code: wet ? 'wet' : 'dry' }
}

/** Of most of the runs; dry where they are even, null where nobody says. */
function usualWetness(records: KeptRecord[]): boolean | null {
  const known = records.map((r) => r.comparable.outside.wet).filter((wet) => wet !== null)
  return known.length === 0 ? null : known.filter(Boolean).length > known.length / 2
}

const separatingFacts = ({ parts, setup, route, tells }: CandidateRun, routeNames: string[]) => ({
  road: routeNames[route],
  parts,
  setup,
  tells,
})

/** Runs that were measured together have the difference of their stint. */
function differencesById(
  consumptions: ClaimsResult['consumptions'],
  together: readonly StintRun[],
): ClaimsForReport['differences'] {
  const members = new Map(together.map(({ id, runs }) => [id, runs]))
  return new Map(
    consumptions.flatMap((one) => (members.get(one.run.id) ?? [one.run.id]).map((id) => [id, conditionsOf(one)])),
  )
}

function consumptionsById(consumptions: ClaimsResult['consumptions']): Map<string, ReportRun['consumption']> {
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
