import type { Problem } from '../../base/problem.ts'
import { levelProblems } from '../../claim/level.ts'
import { isProcedureId, procedures } from '../../compare/limits.ts'
import type { Report } from '../../report/contract.ts'
import { withUses } from '../../report/margin/drive-uses.ts'
import { levelProblem } from '../../report/words/checks/level-problems.ts'
import { drivesById } from '../../report/words/claims/statement.ts'
import { wordedClaim } from '../../report/words/claims/worded.ts'
import type { CampaignInput } from '../campaign-input.ts'
import type { ClaimsForReport } from '../claims/claims-result.ts'
import { coastDownTold } from '../claims/coast-downs.ts'
import { type LapStint, stintPairs, stintsInPairs } from '../claims/stint-pairs.ts'
import type { ReadySetting, RunResult } from '../drive/run-result.ts'
import type { FuelLog } from '../fuel-log/fuel-log.ts'
import { stationOfLog, type WeatherOverSpan, weatherBetween } from '../fuel-log/place-weather.ts'
import { consumptionTold, fillsTold, logProblems } from '../fuel-log/told-log.ts'
import { inputsOf } from '../load/inputs.ts'
import type { PreparedCampaign } from '../load/loaded-campaign.ts'
import type { MappedFile } from '../load/map-file.ts'
import { sourcesTold } from '../load/sources.ts'
import type { PairsForReport } from '../pairs/pairs-for-report.ts'
import { plausibility } from '../plausible/plausible.ts'
import { recorderProblems } from '../recorders.ts'
import { unusedWeather } from '../unused-weather.ts'
import { assumptionsOf, CAUTIONS } from './assumptions.ts'
import { photosTold } from './photos.ts'
import { type Hidden, privateNotes } from './privacy.ts'
import { reportProblems } from './report-problems.ts'
import { recordingsTold } from './report-recordings.ts'
import { reportRoutes } from './report-routes.ts'

/** All that a report is told from. */
export interface ReportGrounds {
  input: CampaignInput
  mapped: MappedFile[]
  prepared: PreparedCampaign
  ready: ReadySetting
  /** Ids of test procedures to hold the drives against. */
  limits: string[]
  marginPct: number
  records: RunResult[]
  /** Stints of laps. */
  stints: LapStint[]
  claims: ClaimsForReport
  log: FuelLog | null
  pairs: PairsForReport
  recorders: Report['recorders']
  hidden: Hidden | null
  /** How many ends of drives are private. */
  privateEnds: number
}

/** The report as its contract has it. */
export async function reportOf(grounds: ReportGrounds): Promise<Report> {
  const { input, mapped, prepared, ready, marginPct, records, stints, claims, pairs, recorders, hidden } = grounds
  const { inputs, roads, vehicle } = prepared
  const { campaign } = inputs
  const runs = runsTold(grounds)
  const coast = coastDownTold(prepared, mapped, ready)
  const photos = photosTold(mapped, prepared, hidden)
  const drives = drivesById({ runs })
  return {
    schema: 'ceteris-report/2',
    version: input.version,
    title: campaign.title ?? input.folderName ?? null,
    settings: settingsTold(grounds),
    assumptions: assumptionsOf(vehicle, ready.shared, campaign.terrain, campaign),
    inputs: inputsTold(grounds),
    sources: sourcesTold(inputs.sources, mapped),
    problems: reportProblems([...problemsFound(grounds), ...photos.problems, ...coast.problems]),
    recordings: recordingsTold(prepared.recordings),
    recorders,
    runs,
    stints: claims.stints,
    fills: fillsTold(inputs.fills),
    consumption: consumptionTold(claims.spans, weatherOfLog(prepared)),
    photos: photos.photos,
    coast_down: coast.told,
    routes: await reportRoutes(roads, records, hidden),
    pairs: pairs.reported,
    lap_stints: stints.map(({ id, laps }) => ({ id, runs: laps.map(({ run }) => run.id) })),
    stint_pairs: stintPairs(stintsInPairs(stints), marginPct),
    pairs_note: pairs.note,
    claims: claims.claims.map((claim) => wordedClaim(claim, drives)),
    parts: claims.parts,
    part_groups: claims.partGroups,
    cautions: CAUTIONS,
  }
}

const settingsTold = ({ input: { settings }, prepared, limits, marginPct }: ReportGrounds): Report['settings'] => ({
  margin_pct: marginPct,
  draws: settings.draws,
  seed: settings.seed,
  limits,
  baseline: prepared.inputs.campaign.baseline,
  time_zone: prepared.inputs.campaign.timeZone,
  vehicle_name: prepared.inputs.campaign.vehicleName,
  powertrain: prepared.vehicle.powertrain.kind,
})

const inputsTold = ({ mapped, prepared: { terrain, inputs } }: ReportGrounds): Report['inputs'] =>
  inputsOf(
    mapped.map((file) => ({
      ...file,
      notes: [file.notes, terrain.notes.get(file.path), inputs.notes.get(file.path)].flatMap((told) => told ?? []),
    })),
  )

const runsTold = ({ records, claims, pairs, marginPct }: ReportGrounds): Report['runs'] =>
  withUses(
    records.map(({ run, told }) => ({ ...told, consumption: claims.consumptions.get(run.id) ?? null })),
    { claims: claims.claims, differences: claims.differences, pairs: pairs.reported, marginPct },
  )

/** What is wrong or worth a note in the files and in what was made of them. */
function problemsFound(grounds: ReportGrounds): Problem[] {
  const { input, mapped, prepared, limits, records, claims, log, recorders, privateEnds } = grounds
  const { inputs } = prepared
  const { campaign, campaignFile } = inputs
  const inRunsFile = (problem: Problem): Problem => ({ file: inputs.runsFile ?? undefined, ...problem })
  return [
    ...input.unreadable,
    ...mapped.flatMap(({ path, problems }) => problems.map((problem) => ({ ...problem, file: path }))),
    ...prepared.problems,
    ...claims.problems.map(inRunsFile),
    ...(log ? logProblems(claims.spans, log.file) : []),
    ...plausibility(prepared, log),
    ...levelProblems(claims.runs, campaign.vehicle, inputs.columns).map((fault) => inRunsFile(levelProblem(fault))),
    ...unknownProcedures(limits, campaignFile),
    ...recorderProblems(recorders),
    ...privateNotes(campaign, privateEnds, campaignFile),
    ...unusedWeather(records, inputs.observations, prepared.stations, prepared.problems),
  ]
}

/** The weather where most of a fuel log's driving was. */
function weatherOfLog({ stations, inputs }: PreparedCampaign): (from: number, to: number) => WeatherOverSpan | null {
  const station = inputs.fills.length === 0 ? null : stationOfLog(stations, inputs.campaign.place)
  return (from, to) => station && weatherBetween(station, from, to)
}

function unknownProcedures(limits: string[], campaignFile: string | null): Problem[] {
  return limits
    .filter((id) => !isProcedureId(id))
    .map((id) => ({
      code: 'unknown-procedure',
      severity: 'error',
      ...(campaignFile ? { file: campaignFile } : {}),
      message: `no test procedure is called "${id}"; known are ${Object.keys(procedures).join(', ')}`,
    }))
}
