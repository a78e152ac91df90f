import { type AirField, prepareField } from '../air/field.ts'
import { roughnessLengthM } from '../air/profile.ts'
import { seriesOf } from '../air/series.ts'
import { type SharedDraws, sharedDraws } from '../demand/shared-draws.ts'
import { vehicleOf } from '../demand/vehicle.ts'
import type { Campaign } from '../read/types.ts'
import { readInputs } from './inputs.ts'
import type { InputFile, MappedFile } from './map-file.ts'
import { type Roads, roadsOf } from './routes.ts'
import { noteSeries } from './run-air.ts'
import { type RunRecord, recordOf } from './run-record.ts'
import { runsOf } from './runs.ts'
import { terrainOf } from './terrain.ts'

/** All that a report is made from, kept so that the same campaign can be asked again under another assumption. */
export interface WorkingState {
  campaign: Campaign
  runsFile: string | null
  campaignFile: string | null
  roads: Roads
  records: RunRecord[]
  /** The air as observed. */
  field: AirField
  shared: SharedDraws
}

/** The reduce step of a campaign up to its runs' demands: the same steps as a report, without its outputs. */
export async function workingStateOf(
  mapped: MappedFile[],
  files: InputFile[],
  settings: { draws: number; seed: number },
): Promise<WorkingState> {
  const inputs = await readInputs(mapped)
  const { campaign, runsFile, campaignFile } = inputs
  const { runs } = runsOf(mapped, inputs.rows, runsFile)
  const roads = roadsOf(runs, (await terrainOf(files, mapped, runs)).tiles)
  const stations = seriesOf(inputs.observations, campaign.stations, inputs.lookUpStation)
  const notes = runs.flatMap((run) => {
    const middle = (run.summary.startTime + run.summary.endTime) / 2
    return (run.row && noteSeries(run.id, run.row, middle, runsFile!)) ?? []
  })
  const field = prepareField([...stations.series, ...notes])
  const roughnessM = roughnessLengthM[campaign.terrain]
  const shared = sharedDraws(vehicleOf(campaign.vehicle), { ...settings, roughnessM })
  const records = runs.map((run, i) => recordOf(run, roads.contexts[i], field, shared))
  return { campaign, runsFile, campaignFile, roads, records, field, shared }
}
