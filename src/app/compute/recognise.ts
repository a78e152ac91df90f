import { firstRunsCsv } from '../../campaign/first-runs.ts'
import { inputsOf } from '../../campaign/load/inputs.ts'
import { prepareCampaign } from '../../campaign/load/loaded-campaign.ts'
import { reportProblems } from '../../campaign/report/report-problems.ts'
import { recordingsTold } from '../../campaign/report/report-recordings.ts'
import { type RunRow, rowKey } from '../../read/runs/rows.ts'
import type { Loaded } from './campaign-in-memory.ts'
import type { Recognised } from './compute.ts'

/** What the files hold: kinds, problems, recordings and drives, without anything computed of their air or demand. */
export async function recognise({ mapped, input, work }: Loaded): Promise<Recognised> {
  const prepared = await prepareCampaign(mapped, input.files, input.settings, work.motions, work.remember)
  const { runs, recordings, roads, stints } = prepared
  const shared = new Set(stints.filter((stint) => stint.runs.length > 1).map(({ row }) => rowKey(row)))
  const { runsFile } = prepared.inputs
  // A row of the fuel log, or of one of several tables, says its own file; the first table is the one that is edited.
  const ownRow = (row: RunRow | null) =>
    row === null || (row.file ?? runsFile) !== runsFile
      ? null
      : { line: row.line, isItsAlone: !shared.has(rowKey(row)) }
  return {
    inputs: inputsOf(mapped),
    problems: reportProblems([
      ...input.unreadable,
      ...mapped.flatMap(({ path, problems }) => problems.map((problem) => ({ ...problem, file: path }))),
      ...prepared.problems,
    ]),
    recordings: recordingsTold(recordings),
    firstRuns: firstRunsCsv(runs, roads, prepared.inputs.campaign.timeZone),
    courses: recordings.flatMap(({ track, sessions }) =>
      sessions.map(({ drive: { trace } }) => ({
        track,
        time: trace.time,
        latitude: trace.latitude,
        longitude: trace.longitude,
      })),
    ),
    drives: runs.map(({ id, track, row, summary }, i) => ({
      id,
      track,
      route: roads.contexts[i].name,
      setup: row?.setup ?? null,
      row: ownRow(row),
      startTime: summary.startTime,
      endTime: summary.endTime,
      distanceM: summary.distanceM,
    })),
  }
}
