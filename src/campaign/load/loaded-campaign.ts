import { roughnessLengthM } from '../../air/profile.ts'
import { type StationSeries, seriesOf } from '../../air/series.ts'
import { present } from '../../base/present.ts'
import type { Problem } from '../../base/problem.ts'
import { forgetful, type Remember } from '../../base/remember.ts'
import type { EnsembleSettings } from '../../demand/shared-draws.ts'
import { asSeen, type Vehicle, vehicleOf } from '../../demand/vehicle.ts'
import { withLogSetups } from '../fuel-log/fuel-log.ts'
import { classEvidence, drivesOfRows, guessedVehicle } from './guessed-vehicle.ts'
import { type CampaignInputs, readInputs } from './inputs.ts'
import type { InputFile, MappedFile } from './map-file.ts'
import { isVehicleDoubtful, vehicleProblems, withOtherVehicles } from './recordings/other-vehicles.ts'
import { type Roads, roadsOf } from './routes.ts'
import { noteSeries } from './rows/driver-notes.ts'
import {
  type DividedRecording,
  type MotionSource,
  type RecordersOfRun,
  type Run,
  type RunsOfRow,
  runsOf,
} from './runs.ts'
import { stationKnowledge } from './station-knowledge.ts'
import { type Terrain, terrainOf } from './terrain.ts'
import { sensorSeries } from './vehicle-sensor.ts'

/** A campaign before any demand: its runs on their roads, all that was said of the air, and the vehicle. */
export interface PreparedCampaign {
  inputs: CampaignInputs
  runs: Run[]
  stints: RunsOfRow[]
  recordings: DividedRecording[]
  recorders: RecordersOfRun[]
  terrain: Terrain
  roads: Roads
  /** Stations alone, and with the drivers' own notes behind them. */
  stations: StationSeries[]
  series: StationSeries[]
  vehicle: Vehicle
  /** Whether most drives move as no vehicle of its mass does. */
  isVehicleDoubtful: boolean
  ensemble: EnsembleSettings
  /** What was found wrong in the order of the steps; the files' own are with the files. */
  problems: Problem[]
}

/** The first half of the reduce step: what a report and every question about a campaign begin with. */
export async function prepareCampaign(
  mapped: MappedFile[],
  files: InputFile[],
  settings: { draws: number; seed: number },
  motions: MotionSource,
  remember: Remember = forgetful,
): Promise<PreparedCampaign> {
  const inputs = await readInputs(mapped, remember)
  const { campaign, runsFile } = inputs
  const { timeZone, gates } = campaign
  const {
    runs: divided,
    stints,
    recordings,
    recorders,
    problems: runProblems,
  } = runsOf(mapped, { ...inputs, gates, timeZone }, motions, remember)
  const named = withLogSetups(divided, inputs.fills, inputs.fillsFile, campaign.battery)
  const terrain = await terrainOf(files, mapped, named)
  const roads = roadsOf(named, terrain.tiles, remember)
  const { runs, kind } = withOtherVehicles(named, roads)
  const alike = runs.filter(({ otherVehicle }) => otherVehicle === null)
  const ofRows = drivesOfRows(alike, stints)
  const seen = guessedVehicle(campaign.vehicle, ofRows, kind, inputs.campaignFile)
  const vehicle = asSeen(vehicleOf(seen.vehicle), classEvidence(seen.vehicle, alike, ofRows))
  const massKg = campaign.vehicle.massKg ?? vehicle.massKg.value
  const stations = seriesOf(inputs.observations, campaign.stations, stationKnowledge(inputs.stationList, terrain.tiles))
  const notes = runs.flatMap((run) => {
    const middle = (run.summary.startTime + run.summary.endTime) / 2
    return (run.row && noteSeries(run.id, run.row, middle, run.row.file ?? present(runsFile))) ?? []
  })
  return {
    inputs: { ...inputs, campaign: { ...campaign, vehicle: seen.vehicle } },
    runs,
    stints,
    recordings,
    recorders,
    terrain,
    roads,
    stations: stations.series,
    series: [...stations.series, ...notes, ...runs.flatMap((run) => sensorSeries(run) ?? [])],
    vehicle,
    isVehicleDoubtful: isVehicleDoubtful(kind, massKg),
    ensemble: { draws: settings.draws, seed: settings.seed, roughnessM: roughnessLengthM[campaign.terrain] },
    problems: [
      ...inputs.problems,
      ...runProblems,
      ...seen.problems,
      ...vehicleProblems(kind, massKg, inputs.campaignFile),
      ...terrain.problems,
      ...roads.problems,
      ...stations.problems,
    ],
  }
}
