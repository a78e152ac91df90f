import type { Problem } from '../../base/problem.ts'
import type { FuelLog } from '../fuel-log/fuel-log.ts'
import { isOfExchanged } from '../load/exchanged.ts'
import type { PreparedCampaign } from '../load/loaded-campaign.ts'
import { chargeProblems } from './charges.ts'
import { placeProblems } from './places.ts'
import { rowTimeProblems } from './row-times.ts'
import { fuelTemperatureProblems, temperatureProblems } from './temperatures.ts'
import { fillTimeProblems } from './times.ts'
import { classProblems } from './vehicle-class.ts'

/**
 * Slips that show when the tables, the weather and the tracks are held against each other: each says what would fit and
 * which line to write. Nothing is changed.
 */
export function plausibility({ inputs, runs, recordings, stations }: PreparedCampaign, log: FuelLog | null): Problem[] {
  const placed = recordings.flatMap(({ sessions }) =>
    sessions.slice(0, 1).map(({ file, source, drive }) => ({
      file,
      isExchanged: isOfExchanged(source),
      latitude: drive.path.latitude[0],
      longitude: drive.path.longitude[0],
    })),
  )
  const noted = runs.flatMap(({ row, summary, drive }) => {
    if (row === null) return []
    const time = (summary.startTime + summary.endTime) / 2
    return [{ row, time, latitude: drive.path.latitude[0], longitude: drive.path.longitude[0] }]
  })
  return [
    ...classProblems(inputs.campaign.vehicle, inputs.campaignFile),
    ...placeProblems(placed, stations),
    ...temperatureProblems(stations, noted, inputs.runsFile),
    ...rowTimeProblems(
      runs.map(({ row, summary }) => ({ row, startTime: summary.startTime, endTime: summary.endTime })),
      inputs.campaign.timeZone,
    ).map((problem) => ({ file: inputs.runsFile ?? undefined, ...problem })),
    ...fuelTemperatureProblems(inputs.rows, inputs.runsFile),
    ...fuelTemperatureProblems(inputs.fills, inputs.fillsFile),
    ...chargeProblems(inputs.rows, inputs.runsFile, inputs.fills, inputs.fillsFile, inputs.campaign.battery),
    ...(log ? fillTimeProblems(log.fills, log.file, log.driving, log.ends) : []),
  ]
}
