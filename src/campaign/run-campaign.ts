import { byCodeUnits } from '../base/arithmetic.ts'
import type { Problem } from '../base/problem.ts'
import { forgetful, type Remember } from '../base/remember.ts'
import { levelProblems } from '../claim/level.ts'
import { scoresAt } from '../compare/difference.ts'
import { isProcedureId, procedures } from '../compare/limits.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import type { Along } from '../report/along-data.ts'
import type { Report, ReportPair } from '../report/contract.ts'
import { withUses } from '../report/margin/drive-uses.ts'
import type { RunPoints } from '../report/points/points.ts'
import { pairsFileName } from '../report/tables.ts'
import { levelProblem } from '../report/words/checks/level-problems.ts'
import { drivesById } from '../report/words/claims/statement.ts'
import { wordedClaim } from '../report/words/claims/worded.ts'
import { claimsForReport, type InformedDifference } from './claims/claims.ts'
import { coastDownTold } from './claims/coast-downs.ts'
import { asOneDrive, type LapStint, lapStints, stintPairs } from './claims/stint-pairs.ts'
import type { WorthSettings } from './claims/worth.ts'
import { type RunResult, type RunSetting, readySetting } from './drive/run-result.ts'
import { type ComputeRuns, computeHere, type RunResults, resultsOfRuns, sharesAmong } from './drive/run-results.ts'
import { fuelLogOf } from './fuel-log/fuel-log.ts'
import { stationOfLog, type WeatherOverSpan, weatherBetween } from './fuel-log/place-weather.ts'
import { consumptionTold, fillsTold, logProblems } from './fuel-log/told-log.ts'
import { drivesFrom, motionsIn } from './load/drive-source.ts'
import { inputsOf } from './load/inputs.ts'
import { type PreparedCampaign, prepareCampaign } from './load/loaded-campaign.ts'
import type { InputFile, MappedFile, WholeFile } from './load/map-file.ts'
import { mapParts } from './load/map-parts.ts'
import { isLeftOut } from './load/recordings/left-out.ts'
import type { Roads } from './load/routes.ts'
import type { MotionSource } from './load/runs.ts'
import { sourcesTold } from './load/sources.ts'
import { pairsAlong } from './pairs/along-pairs.ts'
import { alongOf } from './pairs/along-roads.ts'
import {
  allPairs,
  countPairs,
  pairBasis,
  pairOf,
  pairsOnOneRoad,
  pairsWithReferences,
  withContributions,
  withFuel,
} from './pairs/pairs.ts'
import { pointsOf } from './pairs/points.ts'
import { withTrueMotion } from './pairs/true-motion.ts'
import { plausibility } from './plausible/plausible.ts'
import { recorderDifferences, recorderProblems } from './recorders.ts'
import { assumptionsOf, CAUTIONS } from './report/assumptions.ts'
import { photosTold } from './report/photos.ts'
import { hiddenWithin, privateEnds, privateNotes, shownAlong, shownPoints } from './report/privacy.ts'
import { reportProblems } from './report/report-problems.ts'
import { recordingsTold } from './report/report-recordings.ts'
import { reportRoutes } from './report/report-routes.ts'
import { unusedWeather } from './unused-weather.ts'

/** Of more stints the first ones alone are held against each other: pairs grow with the square. */
const MOST_STINTS_FOR_PAIRS = 60

/** How a report is made. */
export interface CampaignSettings {
  /** null: the campaign's own. */
  marginPct: number | null
  limits: string[] | null
  draws: number
  seed: number
  /** Take a trend in time of the baseline's runs out of the claims. */
  correctDrift?: boolean
  /** Pool the claims of several routes. */
  poolRoutes?: boolean
  /** Say what a claim is worth in a year. */
  worth?: WorthSettings | null
}

/** What a report is made of. */
export interface CampaignInput {
  files: InputFile[]
  /** What could not even be read. */
  unreadable: Problem[]
  settings: CampaignSettings
  version: string
  /** Stands for the title where campaign.yaml gives none. */
  folderName?: string
}

/** Who does the work on a campaign's runs, and what is known of them from before. */
export interface CampaignWork {
  motions: MotionSource
  computeRuns: ComputeRuns
  remember: Remember
}

/** All work done here, with drives in memory, and nothing known from before. */
export function workHere(files: WholeFile[]): CampaignWork {
  const motions = motionsIn(files)
  return { motions, computeRuns: computeHere(drivesFrom(motions)), remember: forgetful }
}

/** A report, and what is written beside it. */
export interface CampaignResult {
  report: Report
  /**
   * The pairs of pairs.csv, made as they are asked for: every pair, with contributions, where the report tells of every
   * pair; else those of runs on one road.
   */
  allPairs: Iterable<ReportPair>
  /** How many they are. */
  pairCount: number
  /** Of so many runs that the report does not tell of every pair: the pairs one by one; null of fewer. */
  onePair: OnePair | null
  /** The scores of a pair, or of two stints of laps, that has one, at several margins in ascending order, percent. */
  scoresAt: (pair: Pick<ReportPair, 'a' | 'b'>, marginsPct: readonly number[]) => number[] | null
  /** What the page draws along the road and in time. */
  along: Along
  /** Each run's steps with their road and air, made as they are asked for. */
  points: Iterable<RunPoints>
}

/** Pairs of runs by their places among those that are compared. */
export interface OnePair {
  /** The runs' ids, in the order of their places. */
  ids: string[]
  /** For each run all that a pair takes from it. */
  bases: unknown[]
  /** The road of each run: only pairs of drives on one road are listed. */
  roads: number[]
  /** The pair of two runs. */
  between: (a: number, b: number) => ReportPair
}

/** Finds a pair by its runs' ids, in either order; null where a run is not compared or the roads are two. */
export function betweenIds({ ids, roads, between }: OnePair): (a: string, b: string) => ReportPair | null {
  const places = new Map(ids.map((id, place) => [id, place]))
  return (a, b) => {
    const [i, j] = [places.get(a), places.get(b)]
    if (i === undefined || j === undefined || roads[i] !== roads[j]) return null
    return i < j ? between(i, j) : between(j, i)
  }
}

/**
 * From the files of a folder to its report. The result depends on the files' content and names and the settings only:
 * not on their order, the clock, or who did the map step.
 *
 * @param mapAll the map step over all files; by default one after another, here
 */
export async function runCampaign(
  input: CampaignInput,
  mapAll: (files: InputFile[]) => Promise<WholeFile[]> = async (files) =>
    (await Promise.all(files.map(mapParts))).flat(),
): Promise<CampaignResult> {
  const files = [...input.files].sort((a, b) => byCodeUnits(a.path, b.path))
  const mapped = await mapAll(files)
  return reduceCampaign(mapped, input, workHere(mapped))
}

/** What the second map step needs to know of all runs. */
function settingOf({ series, vehicle, ensemble, inputs }: PreparedCampaign, { settings }: CampaignInput): RunSetting {
  return { series, vehicle, ensemble, limits: settings.limits ?? inputs.campaign.limits }
}

/**
 * The second map step of some of the runs, for one of several machines that share it out.
 * @param wanted told a run's place in the order of their starts
 * @returns the wanted runs' results, and how many runs there are in all
 */
export async function resultsOfPart(
  mapped: MappedFile[],
  input: CampaignInput,
  { motions, computeRuns, remember }: CampaignWork,
  wanted: (place: number) => boolean,
): Promise<{ results: RunResult[]; runs: number; problems: Problem[] }> {
  const prepared = await prepareCampaign(mapped, input.files, input.settings, motions, remember)
  const { runs, roads, inputs } = prepared
  const setting = settingOf(prepared, input)
  const { results } = await resultsOfRuns(runs, roads, inputs.campaign.baseline, setting, computeRuns, wanted)
  const mine = new Set(runs.filter((_, i) => wanted(i)).map(({ id }) => id))
  return { results: results.filter(({ run }) => mine.has(run.id)), runs: runs.length, problems: inputs.problems }
}

/** The reduce step: mapped files in the order of their paths to the report. */
export async function reduceCampaign(
  mapped: MappedFile[],
  input: CampaignInput,
  work: CampaignWork,
): Promise<CampaignResult> {
  const prepared = await prepareCampaign(mapped, input.files, input.settings, work.motions, work.remember)
  return reducePrepared(prepared, mapped, input, work)
}

/** The reduce step of a campaign that is prepared already. */
export async function reducePrepared(
  prepared: PreparedCampaign,
  mapped: MappedFile[],
  input: CampaignInput,
  { motions, computeRuns }: CampaignWork,
): Promise<CampaignResult> {
  const drives = drivesFrom(motions)
  const { inputs, runs, roads, terrain, vehicle } = prepared
  const { campaign } = inputs
  const marginPct = input.settings.marginPct ?? campaign.marginPct
  const setting = settingOf(prepared, input)
  const { limits } = setting
  const ready = readySetting(setting)
  const { shared } = ready
  const ends = privateEnds(prepared.recordings, campaign.privateEndsRadiusM)
  const hidden = hiddenWithin([...campaign.private, ...ends])
  const points = function* (): Generator<RunPoints> {
    for (const [i, run] of runs.entries())
      yield shownPoints(pointsOf(run, drives(run), roads.contexts[i], ready), hidden)
  }
  const { results: records, references } = await resultsOfRuns(runs, roads, campaign.baseline, setting, computeRuns)
  const taken = withTrueMotion(records, setting.ensemble)
  const stints = lapStints(taken, prepared.stints)
  const log = fuelLogOf(inputs.fills, inputs.fillsFile, campaign.battery, runs, prepared.recordings, ready, motions)
  const claims = claimsForReport(
    taken,
    prepared.stints,
    roads.names,
    campaign,
    {
      draws: input.settings.draws,
      seed: input.settings.seed,
      correctDrift: input.settings.correctDrift ?? false,
      poolRoutes: input.settings.poolRoutes ?? false,
      worth: input.settings.worth ?? null,
    },
    log,
    inputs.fuelAlone,
  )
  const pairs = pairsFor({ records, taken }, references, roads.routes, marginPct, shared, claims.informed)
  const drawnPairs = references === null ? pairsAlong(records, pairs.reported, shared) : []
  const along = shownAlong(alongOf(roads, records, drawnPairs), hidden)
  const recorders = recorderDifferences(prepared.recorders, drives, shared)
  const told = withUses(
    records.map((r) => ({ ...r.told, consumption: claims.consumptions.get(r.run.id) ?? null })),
    { claims: claims.claims, differences: claims.differences, pairs: pairs.reported, marginPct },
  )
  const coast = coastDownTold(prepared, mapped, ready)
  const photos = photosTold(mapped, prepared, hidden)
  const drivesTold = drivesById({ runs: told })
  const report: Report = {
    schema: 'ceteris-report/2',
    version: input.version,
    title: campaign.title ?? input.folderName ?? null,
    settings: {
      margin_pct: marginPct,
      draws: input.settings.draws,
      seed: input.settings.seed,
      limits,
      baseline: campaign.baseline,
      time_zone: campaign.timeZone,
    },
    assumptions: assumptionsOf(vehicle, shared, campaign.terrain, campaign.fuel.fillRepeatabilityLitres),
    inputs: inputsOf(
      mapped.map((f) => ({
        ...f,
        notes: [f.notes, terrain.notes.get(f.path), inputs.notes.get(f.path)].flatMap((told) => told ?? []),
      })),
    ),
    sources: sourcesTold(inputs.sources, mapped),
    problems: reportProblems([
      ...input.unreadable,
      ...mapped.flatMap((f) => f.problems.map((p) => ({ ...p, file: f.path }))),
      ...prepared.problems,
      ...claims.problems.map((p) => ({ file: inputs.runsFile ?? undefined, ...p })),
      ...(log ? logProblems(claims.spans, log.file) : []),
      ...plausibility(prepared, log),
      ...levelProblems(claims.runs, campaign.vehicle, inputs.columns).map((fault) => ({
        file: inputs.runsFile ?? undefined,
        ...levelProblem(fault),
      })),
      ...unknownProcedures(limits, inputs.campaignFile),
      ...recorderProblems(recorders),
      ...privateNotes(campaign, ends.length, inputs.campaignFile),
      ...photos.problems,
      ...coast.problems,
      ...unusedWeather(records, inputs.observations, prepared.stations),
    ]),
    recordings: recordingsTold(prepared.recordings),
    recorders,
    runs: told,
    stints: claims.stints,
    fills: fillsTold(inputs.fills),
    consumption: consumptionTold(claims.spans, weatherOfLog(prepared)),
    photos: photos.photos,
    coast_down: coast.told,
    routes: await reportRoutes(roads, records, hidden),
    pairs: pairs.reported,
    lap_stints: stints.map(({ id, laps }) => ({ id, runs: laps.map(({ run }) => run.id) })),
    stint_pairs: stintPairs(stints.slice(0, MOST_STINTS_FOR_PAIRS), marginPct),
    pairs_note: pairs.note,
    claims: claims.claims.map((claim) => wordedClaim(claim, drivesTold)),
    parts: claims.parts,
    part_groups: claims.partGroups,
    cautions: CAUTIONS,
  }
  return {
    report,
    allPairs: pairs.all,
    pairCount: pairs.count,
    onePair: pairs.one,
    scoresAt: scoresAmong(taken, stints.slice(0, MOST_STINTS_FOR_PAIRS)),
    along,
    points: { [Symbol.iterator]: points },
  }
}

function scoresAmong(records: readonly RunResult[], stints: readonly LapStint[]): CampaignResult['scoresAt'] {
  const draws = new Map([
    ...records.map(({ run, comparable }) => [run.id, comparable.draws] as const),
    ...stints.map(({ id, laps }) => [id, asOneDrive(laps).draws] as const),
  ])
  return ({ a, b }, marginsPct) => {
    const [drawsA, drawsB] = [draws.get(a), draws.get(b)]
    return drawsA && drawsB ? scoresAt(drawsA, drawsB, marginsPct) : null
  }
}

/** The weather where most of a fuel log's driving was. */
function weatherOfLog({ stations, inputs }: PreparedCampaign): (from: number, to: number) => WeatherOverSpan | null {
  const station = inputs.fills.length === 0 ? null : stationOfLog(stations, inputs.campaign.place)
  return (from, to) => station && weatherBetween(station, from, to)
}

function pairsFor(
  { records, taken }: { records: RunResult[]; taken: RunResult[] },
  references: RunResults['references'],
  routes: Roads['routes'],
  marginPct: number,
  shared: SharedDraws,
  informed: InformedDifference,
): { reported: ReportPair[]; all: Iterable<ReportPair>; count: number; one: OnePair | null; note: string | null } {
  const compared = taken.filter((r) => !isLeftOut(r.run))
  const sharesOf = sharesAmong(records, references, shared)
  const shares = (pair: ReportPair) => withContributions(pair, sharesOf(pair))
  if (references === null) {
    const reported = [...allPairs(compared, routes, marginPct)].map((pair) => withFuel(shares(pair), informed))
    return { reported, all: reported, count: reported.length, one: null, note: null }
  }
  const withReference = [...pairsWithReferences(compared, references, routes, marginPct)]
  const chosen = withReference.filter((p) => p.difference_pct !== null)
  const { onOneRoad, onTwo } = countPairs(compared)
  return {
    reported: chosen.map(shares),
    all: { [Symbol.iterator]: () => pairsOnOneRoad(compared, routes, marginPct) },
    count: onOneRoad,
    one: {
      ids: compared.map(({ run }) => run.id),
      bases: compared.map((record) => pairBasis(record, routes, marginPct)),
      roads: compared.map(({ route }) => route),
      between: (a, b) => pairOf(compared[a], compared[b], routes, marginPct),
    },
    note: [
      `With ${compared.length} drives, this list holds each drive against the first drive (of the baseline, where there is one) on its road; ${pairsFileName(onOneRoad)} holds all ${onOneRoad} pairs of drives on one road.`,
      ...(onTwo > 0 ? [`The ${onTwo} pairs of drives on different roads are not comparable and not listed.`] : []),
    ].join(' '),
  }
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
