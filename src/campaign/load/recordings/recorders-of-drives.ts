import { present } from '../../../base/present.ts'
import type { Problem } from '../../../base/problem.ts'
import { lineWords, placeOfRow, type RunRow } from '../../../read/runs/rows.ts'
import { followersAmong, mayBeTwoVehicles, type RecordedDrive, recordersOf } from '../../../road/recorders.ts'
import type { DriveSummary } from '../../../track/types.ts'
import type { MappedDrive } from '../mapped-drive.ts'
import { isControl } from '../rows/control-rows.ts'

interface NamedDrive {
  track: string
  drive: MappedDrive
  summary: DriveSummary
  row: RunRow | null
}

/** Drives that several devices recorded, by their indices, each drive's best recording first; a lead takes the row of another. */
export function recordersOfDrives(drives: NamedDrive[]): {
  groups: number[][]
  problems: Problem[]
  /** With lines of runs.csv. */
  rowProblems: Problem[]
} {
  const recorded = drives.map(({ drive, summary, row }) => ({
    trace: drive.trace,
    startTime: summary.startTime,
    endTime: summary.endTime,
    excluded: Boolean(row?.exclude),
    says: saidOfVehicle(row),
  }))
  const groups = recordersOf(recorded)
  const problems = [...doubtfulRecorders(groups, drives, recorded), ...clocksApart(groups, drives, recorded)]
  return { groups, problems, rowProblems: rowsOfLeads(drives, groups) }
}

/** Recordings taken for two drives that may be one, by devices whose clocks differ. */
function clocksApart(groups: number[][], drives: { track: string }[], recorded: RecordedDrive[]): Problem[] {
  return followersAmong(recorded, groups).map(({ leader, follower, lagS }) => ({
    code: 'recorders-clocks-apart',
    severity: 'warning',
    file: drives[follower].track,
    message: `was at the same places as ${drives[leader].track}, ${lagS.toFixed(1)} s later all the way: two vehicles, or one drive by two devices whose clocks differ; they are taken as two drives`,
    hint: 'one vehicle: leave one of the two out, with a reason in the column exclude of runs.csv. Two vehicles: give each a row with its own setup or fuel',
  }))
}

/** Recordings of one drive that may be of two vehicles, one behind the other. */
function doubtfulRecorders(groups: number[][], drives: { track: string }[], recorded: RecordedDrive[]): Problem[] {
  return groups.flatMap(([lead, ...others]): Problem[] => {
    const doubtful = others.filter((other) => mayBeTwoVehicles(recorded[lead], recorded[other]))
    if (doubtful.length === 0) return []
    const message = `${doubtful.map((i) => drives[i].track).join(', ')} recorded this drive as well; the positions are too coarse to tell one vehicle from two behind each other`
    const hint = 'if they were two vehicles, give each recording a row in runs.csv with its own setup or fuel'
    return [{ code: 'recorders-or-two-vehicles', severity: 'note', file: drives[lead].track, message, hint }]
  })
}

/** A vehicle has one name and one setup at a time, and uses one amount of fuel on a drive. */
function saidOfVehicle(row: RunRow | null): (string | null)[] {
  const amounts = [row?.fuelLitres, row?.fuelKg, row?.energyKwh]
  return [
    row?.vehicle ?? null,
    row && (isControl(row) ? 'control' : 'test'),
    row?.setup ?? null,
    ...amounts.map((amount) => (amount !== undefined && amount > 0 ? String(amount) : null)),
  ]
}

/** A row of runs.csv may name any recording of a drive: the best one takes it. Of two rows the second is not used. */
function rowsOfLeads(drives: { track: string; row: RunRow | null }[], groups: number[][]): Problem[] {
  return groups.flatMap(([lead, ...others]) =>
    others.flatMap((other): Problem[] => {
      const { row } = drives[other]
      if (!row || row.exclude) return []
      if (!drives[lead].row) {
        drives[lead].row = row
        return []
      }
      const [named, led] = [drives[other].track, drives[lead]]
      return [
        {
          code: 'row-of-second-recorder',
          severity: 'warning',
          ...placeOfRow(row),
          message: `"${named}" is a second recording of the drive "${led.track}", which has ${lineWords(present(led.row), row)}; this row is not used`,
          hint: 'give a drive one row, whichever of its recordings it names',
        },
      ]
    }),
  )
}
