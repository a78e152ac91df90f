import { type AirField, prepareField } from '../air/field.ts'
import { type SharedDraws, sharedDraws } from '../demand/shared-draws.ts'
import type { Campaign } from '../read/campaign/settings.ts'
import { type RunRecord, recordOf } from './drive/run-record.ts'
import { type FuelLog, fuelLogOf } from './fuel-log/fuel-log.ts'
import { drivesFrom, motionsIn } from './load/drive-source.ts'
import { type PreparedCampaign, prepareCampaign } from './load/loaded-campaign.ts'
import type { InputFile, WholeFile } from './load/map-file.ts'
import type { Roads } from './load/routes.ts'
import type { RunsOfRow } from './load/runs.ts'

/** All that a report is made from, kept so that the same campaign can be asked again under another assumption. */
export interface WorkingState {
  campaign: Campaign
  runsFile: string | null
  campaignFile: string | null
  /** Rows of runs.csv that belong to several drives. */
  stints: RunsOfRow[]
  /** The fuel log held against the recordings; null without one. */
  log: FuelLog | null
  roads: Roads
  records: RunRecord[]
  /** The air as observed. */
  field: AirField
  shared: SharedDraws
}

/** The reduce step of a campaign up to its runs' demands: the same steps as a report, without its outputs. */
export async function workingStateOf(
  mapped: WholeFile[],
  files: InputFile[],
  settings: { draws: number; seed: number },
): Promise<WorkingState> {
  return workingStateFrom(await prepareCampaign(mapped, files, settings, motionsIn(mapped)), mapped)
}

/** The same of a campaign that is prepared already. */
export function workingStateFrom(
  { inputs, runs, stints, recordings, roads, series, vehicle, ensemble }: PreparedCampaign,
  mapped: WholeFile[],
): WorkingState {
  const { campaign, runsFile, campaignFile } = inputs
  const field = prepareField(series)
  const shared = sharedDraws(vehicle, ensemble)
  const motions = motionsIn(mapped)
  const { fills, fillsFile } = inputs
  const log = fuelLogOf(fills, fillsFile, campaign.battery, runs, recordings, { field, shared }, motions)
  const drives = drivesFrom(motions)
  const records = runs.map((run, i) => recordOf(run, drives(run), roads.contexts[i], field, shared))
  return { campaign, runsFile, campaignFile, stints, log, roads, records, field, shared }
}
