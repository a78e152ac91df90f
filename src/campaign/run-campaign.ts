import { byCodeUnits } from '../base/arithmetic.ts'
import type { Problem } from '../base/problem.ts'
import type { RunPoints } from '../report/points/points.ts'
import { type CampaignInput, type CampaignWork, workHere } from './campaign-input.ts'
import type { CampaignResult } from './campaign-result.ts'
import { claimsForReport } from './claims/claims.ts'
import type { ClaimOptions } from './claims/fuel-runs.ts'
import { lapStints, stintsInPairs } from './claims/stint-pairs.ts'
import { type ReadySetting, type RunResult, type RunSetting, readySetting } from './drive/run-result.ts'
import { resultsOfRuns } from './drive/run-results.ts'
import { fuelLogOf } from './fuel-log/fuel-log.ts'
import { type DriveSource, drivesFrom } from './load/drive-source.ts'
import { withExchanged } from './load/exchanged.ts'
import { type PreparedCampaign, prepareCampaign } from './load/loaded-campaign.ts'
import { onCampaignClock } from './load/log-clock.ts'
import type { InputFile, MappedFile, WholeFile } from './load/map-file.ts'
import { mapParts } from './load/map-parts.ts'
import { pairsAlong } from './pairs/along-pairs.ts'
import { alongOf } from './pairs/along-roads.ts'
import { pairsForReport, scoresAmong } from './pairs/pairs-for-report.ts'
import { pointsOf } from './pairs/points.ts'
import { withTrueMotion } from './pairs/true-motion.ts'
import { recorderDifferences } from './recorders.ts'
import { type Hidden, hiddenWithin, privateEnds, shownAlong, shownPoints } from './report/privacy.ts'
import { reportOf } from './report/report-of.ts'

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
  const mapped = onCampaignClock(await withExchanged(await mapAll(files), exchangedFrom(files)))
  return reduceCampaign(mapped, input, workHere(mapped))
}

/** Maps one of the files with its positions exchanged. */
const exchangedFrom =
  (files: readonly InputFile[]) =>
  async (path: string): Promise<WholeFile[] | null> => {
    const file = files.find((one) => one.path === path)
    return file ? mapParts({ ...file, isExchanged: true }) : null
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
  const { inputs, runs, roads, recordings } = prepared
  const { campaign } = inputs
  const drives = drivesFrom(motions)
  const setting = settingOf(prepared, input)
  const ready = readySetting(setting)
  const marginPct = input.settings.marginPct ?? campaign.marginPct
  const ends = privateEnds(recordings, campaign.privateEndsRadiusM)
  const hidden = hiddenWithin([...campaign.private, ...ends])
  const { results: records, references } = await resultsOfRuns(runs, roads, campaign.baseline, setting, computeRuns)
  const taken = withTrueMotion(records, ready.shared)
  const stints = lapStints(taken, prepared.stints)
  const log = fuelLogOf(inputs.fills, inputs.fillsFile, campaign.battery, runs, recordings, ready, motions)
  const claims = claimsForReport(
    taken,
    prepared.stints,
    roads.names,
    campaign,
    { ...claimOptions(input), isVehicleDoubtful: prepared.isVehicleDoubtful },
    log,
    inputs.fuelAlone,
  )
  const pairs = pairsForReport({ records, taken }, references, roads.routes, marginPct, ready.shared, claims.informed)
  const recorders = recorderDifferences(prepared.recorders, drives, ready.shared)
  const told = {
    input,
    mapped,
    prepared,
    ready,
    limits: setting.limits,
    marginPct,
    records,
    stints,
    claims,
    log,
    pairs,
    recorders,
    hidden,
  }
  const plottedPairs = references === null ? pairsAlong(records, pairs.reported, ready.shared) : []
  return {
    report: await reportOf({ ...told, privateEnds: ends.length }),
    allPairs: pairs.all,
    pairCount: pairs.count,
    onePair: pairs.one,
    scoresAt: scoresAmong(taken, stintsInPairs(stints)),
    along: shownAlong(alongOf(roads, records, plottedPairs), hidden),
    points: pointsOfRuns(prepared, ready, drives, hidden),
  }
}

/** Each run's points, made as they are asked for, as often as they are. */
const pointsOfRuns = (
  { runs, roads }: PreparedCampaign,
  ready: ReadySetting,
  drives: DriveSource,
  hidden: Hidden | null,
): Iterable<RunPoints> => ({
  *[Symbol.iterator]() {
    for (const [i, run] of runs.entries())
      yield shownPoints(pointsOf(run, drives(run), roads.contexts[i], ready), hidden)
  },
})

const claimOptions = ({ settings }: CampaignInput): ClaimOptions => ({
  draws: settings.draws,
  seed: settings.seed,
  correctDrift: settings.correctDrift ?? false,
  poolRoutes: settings.poolRoutes ?? false,
  worth: settings.worth ?? null,
})
