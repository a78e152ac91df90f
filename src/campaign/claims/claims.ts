import type { Problem } from '../../base/problem.ts'
import { plainText } from '../../base/sentence.ts'
import { type ClaimsResult, claimsOf } from '../../claim/claims.ts'
import { partsOfClaims, senseOfClaim } from '../../claim/derived.ts'
import { withBatteryEnergy, withBatteryInFuel } from '../../claim/fuel/battery.ts'
import { type InformedDemands, informedDifference } from '../../claim/model/informed.ts'
import type { PartsResult } from '../../claim/parts/parts.ts'
import type { CandidateRun } from '../../claim/parts/separating.ts'
import type { FuelRun } from '../../claim/types.ts'
import type { Campaign } from '../../read/campaign/settings.ts'
import type { RunRow } from '../../read/runs/rows.ts'
import type { Report, ReportRun } from '../../report/contract.ts'
import { conditionsOf } from '../../report/margin/drive-uses.ts'
import { claimProblem } from '../../report/words/checks/claim-problems.ts'
import { separatingWords } from '../../report/words/claims/parts.ts'
import { plural } from '../../report/words.ts'
import type { WorkingState } from '../computed-campaign.ts'
import type { KeptRecord } from '../drive/run-record.ts'
import type { FuelLog } from '../fuel-log/fuel-log.ts'
import { tankfuls } from '../fuel-log/log-claims.ts'
import { hasFuel, type LogSpan, logRuns } from '../fuel-log/log-runs.ts'
import { isControl } from '../load/rows/control-rows.ts'
import type { RunsOfRow } from '../load/runs.ts'
import { byTheirRuns } from './by-their-runs.ts'
import { claimFacts } from './claim-facts.ts'
import { type ClaimsForReport, type InformedDifference, NO_CLAIMS } from './claims-result.ts'
import { claimsWithControl, runsOfFuelAlone } from './control-claims.ts'
import { type ClaimOptions, claimSettings, fuelRun } from './fuel-runs.ts'
import { withLoggedFuel } from './logged-fuel.ts'
import { plugInTold } from './plug-in.ts'
import { type StintRun, stintRuns } from './stints.ts'
import { claimsOfTankfuls, MOST_TANKFULS } from './tankful-claims.ts'
import { withWetDoubt } from './wet-doubt.ts'
import { worthOfClaim } from './worth.ts'

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
  const { all, together, spans, problems: ofLogs } = runsOfClaims(records, stints, routeNames, campaign, options, log)
  const { runs, problems: ofVehicles } = ofOneVehicle(all.filter(({ row }) => !isControl(row)))
  const isRead = (run: FuelRun): boolean => hasFuel(run) || hasReading(run)
  const ofLog = log && !runs.some(isRead) ? tankfuls(spans.slice(-MOST_TANKFULS), log, settings) : []
  if (ofLog.length > 0) {
    const electric = plugInTold(ofLog, campaign)
    const told = claimsOfTankfuls(electric.runs, spans, settings)
    return { ...NO_CLAIMS, ...told, problems: [...told.problems, ...electric.problems] }
  }
  const ofAll = [...all, ...runsOfFuelAlone(fuelAlone)]
  // A table in which nobody has written yet says nothing of any setup, be it named in campaign.yaml or not.
  const isBlank = ofAll.every((run) => run.setup === null && !isRead(run) && !isControl(run.row))
  if (isBlank) return { ...NO_CLAIMS, runs, spans }
  const result = runs.length > 0 ? claimsOf(runs, routeNames, settings) : null
  const consumptions = consumptionsById(result?.consumptions ?? [])
  const { claims: ofModel = [], baseline = null } = result ?? {}
  const { claims, problems: ofControl } = claimsWithControl(ofAll, ofModel, baseline, routeNames, settings)
  return {
    claims: claims.map((claim) => {
      const sense = senseOfClaim(claim, runs)
      const worth = options.worth && worthOfClaim(claim, settings.powertrain, options.worth)
      return byTheirRuns(claimFacts(claim, { sense, worth }), together)
    }),
    // Where nothing can be claimed, nothing is said of single parts either.
    ...partsTold((ofModel.length > 0 && result ? partsOfClaims(result, settings) : null) ?? NO_PARTS, routeNames),
    stints: together.map((stint) => stintTold(stint, consumptions)),
    consumptions,
    differences: differencesById(result?.consumptions ?? [], together),
    informed: informedBy(result?.informed ?? []),
    runs,
    spans,
    problems: [...(result?.problems ?? []).map(claimProblem), ...ofVehicles, ...ofControl, ...ofLogs],
  }
}

interface RunsOfClaims {
  /** Single drives, and those that were measured together, as one. */
  all: FuelRun[]
  together: StintRun[]
  spans: LogSpan[]
  problems: Problem[]
}

/** The drives with the fuel that their rows, the fuel log or their own logs give them. */
function runsOfClaims(
  records: KeptRecord[],
  stints: RunsOfRow[],
  routeNames: string[],
  campaign: Campaign,
  options: ClaimOptions,
  log: FuelLog | null,
): RunsOfClaims {
  const { battery } = campaign
  const given = withWetDoubt(records, options)
    .filter(({ run }) => run.row !== null)
    .map((record) => fuelRun(record, records, campaign))
  const rows = withBatteryEnergy(given, battery)
  const ofRows = stintRuns(stints, new Map(rows.map((run) => [run.id, run])), routeNames)
  const carried = log && logRuns(log, rows, ofRows, routeNames, claimSettings(campaign, options))
  const together = [...ofRows, ...(carried?.together ?? [])]
  const electric = plugInTold([...(carried?.single ?? rows), ...together], campaign)
  const filled = withBatteryInFuel(electric.runs, battery)
  const { runs: all, problems } = withLoggedFuel<FuelRun>(filled)
  return { all, together, spans: carried?.spans ?? [], problems: [...electric.problems, ...problems] }
}

/**
 * The drives of the campaign's one vehicle that claims rest on: single ones, and those that were measured together as one.
 * @param routeNames of the campaign's roads; chains of roads that were measured together are added behind them
 */
export function drivesOfClaims(
  { records, stints, campaign, log }: Pick<WorkingState, 'records' | 'stints' | 'campaign' | 'log'>,
  routeNames: string[],
  options: ClaimOptions,
): FuelRun[] {
  const { all } = runsOfClaims(records, stints, routeNames, campaign, options, log)
  return ofOneVehicle(all.filter(({ row }) => !isControl(row))).runs
}

/** Whether a row says of another way what the drive took. */
const hasReading = ({ row }: FuelRun): boolean =>
  row.tripComputerLitresPer100Km > 0 || row.obdFuelLitres > 0 || row.gaugeMarkM > 0

const NO_PARTS = { effects: [], groups: [] }

function partsTold(
  { effects, groups }: Pick<PartsResult, 'effects' | 'groups'>,
  routeNames: string[],
): Pick<ClaimsForReport, 'parts' | 'partGroups'> {
  return {
    parts: effects.map((effect) => ({
      part: effect.part,
      consumption_change_pct: effect.consumptionChangePct,
      inseparable_from: effect.inseparableFrom,
      never_left_off: effect.neverLeftOff,
    })),
    partGroups: groups.map(({ parts, combinedChangePct, exchanged, separatingRun }) => {
      const separating = separatingRun && separatingFacts(separatingRun, routeNames)
      return {
        parts,
        combined_change_pct: combinedChangePct,
        exchanged,
        separating_run: separating && plainText(separatingWords(separating, exchanged)),
        separating,
      }
    }),
  }
}

const stintTold = (
  { id, setup, runs, distanceM }: StintRun,
  consumptions: ClaimsForReport['consumptions'],
): Report['stints'][number] => ({
  id,
  setup,
  runs,
  distance_m: distanceM,
  consumption: consumptions.get(id) ?? null,
})

/** The model is that of one vehicle: of several with recordings the one with the most drives counts, and each other is told with its first line. */
function ofOneVehicle(runs: FuelRun[]): { runs: FuelRun[]; problems: Problem[] } {
  const named = runs.filter(({ row, leftOut }) => row.vehicle !== null && leftOut?.code !== 'other-vehicle')
  const vehicles = [...new Set(named.flatMap(({ row }) => row.vehicle ?? []))]
  if (vehicles.length < 2) return { runs, problems: [] }
  const drivesOf = (vehicle: string): FuelRun[] => named.filter(({ row }) => row.vehicle === vehicle)
  const main = vehicles.reduce((most, next) => (drivesOf(next).length > drivesOf(most).length ? next : most))
  const problems = vehicles
    .filter((vehicle) => vehicle !== main)
    .map((vehicle): Problem => {
      const drives = drivesOf(vehicle)
      const [{ row }] = drives
      const message = `${plural(drives.length, 'recorded drive')} of the vehicle ${vehicle.slice(0, 40)} found beside drives of other vehicles, of which ${main.slice(0, 40)} has the most; the model is that of one vehicle, so only those of ${main.slice(0, 40)} count in its claims`
      const hint =
        'Keep the drives of each vehicle in a folder of their own. If one of them was the control vehicle of the others, write yes into its column control of runs.csv.'
      const place = { line: row.line, ...(row.file && { file: row.file }) }
      return { code: 'several-vehicles', severity: 'error', message, hint, ...place }
    })
  const isOther = ({ row }: FuelRun): boolean => row.vehicle !== null && row.vehicle !== main
  return {
    runs: runs.map((run) => (isOther(run) ? { ...run, leftOut: run.leftOut ?? { code: 'other-vehicle' } } : run)),
    problems,
  }
}

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
