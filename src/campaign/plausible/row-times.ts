import type { Problem } from '../../base/problem.ts'
import { lineWords, placeOfRow, type RunRow, rowKey } from '../../read/runs/rows.ts'
import { shownTime } from '../load/rows/stated-times.ts'

const HOUR_S = 3600
/** A start that was noted is nearer than this to the recording's, but for whole hours, s. Common practice, no source. */
const NEAR_S = 10 * 60
/** So many rows are named. */
const MOST_NAMED = 3

/** A drive with the row that names its track. */
interface RowDrive {
  row: RunRow | null
  startTime: number
  endTime: number
}

/**
 * Rows that name their track and say when the drive began, whole hours before or after the recording does: the table or
 * the logger is on the clock of another zone, or without summer time.
 * @param timeZone null: none is named, and the times are read as UTC
 */
export function rowTimeProblems(drives: readonly RowDrive[], timeZone: string | null): Problem[] {
  const stated = firstOfRows(drives).flatMap(({ row, startTime, endTime }) => {
    const { when } = row
    // A day alone says nothing of the clock.
    if (when === null || when.toTime > when.fromTime) return []
    const time = when.fromTime
    const hours = Math.round((startTime - time) / HOUR_S)
    const isOff = hours !== 0 && Math.abs(hours) <= 14 && Math.abs(startTime - time - hours * HOUR_S) <= NEAR_S
    // Who noted the end of an hour's drive has no clock that is an hour off.
    return [{ row, time, startTime, hours: isOff && Math.abs(endTime - time) > NEAR_S ? hours : 0 }]
  })
  return [...new Set(stated.map(({ hours }) => hours))]
    .filter((hours) => hours !== 0)
    .map((hours) => {
      const own = stated.filter((one) => one.hours === hours)
      return shiftedProblem(own, stated.length, hours, timeZone)
    })
}

interface Stated {
  row: RunRow
  time: number
  startTime: number
}

function shiftedProblem(own: readonly Stated[], count: number, hours: number, timeZone: string | null): Problem {
  const [first] = own
  const shown = (seconds: number): string => shownTime(seconds, timeZone)
  const size = Math.abs(hours) === 1 ? 'an hour' : `${Math.abs(hours)} hours`
  const others = own.slice(1, MOST_NAMED).map(({ row }) => lineWords(row, first.row))
  const more = own.length - 1 - others.length
  const alike =
    own.length === 1
      ? ''
      : `; so it is in ${own.length} of ${count} rows with a start (${[...others, ...(more > 0 ? [`${more} more`] : [])].join(', ')})`
  const message = `the drive of ${first.row.track.slice(0, 100)} began at ${shown(first.time)} by this row, and at ${shown(first.startTime)} by its recording, ${size} ${hours > 0 ? 'later' : 'earlier'}${alike}`
  const zone =
    timeZone === null && first.row.when?.isZoned !== true
      ? 'The table’s times were read as UTC, because campaign.yaml names no time_zone: name it there.'
      : `Likely another time zone${Math.abs(hours) === 1 ? ' or summer time' : ''}: of the table (correct it, or time_zone in campaign.yaml), or of the logger’s clock.`
  const hint = `${zone} The recording’s time counts: if the logger is wrong, the drive has the weather of another hour.`
  return { code: 'row-time-shifted', severity: 'warning', message, hint, ...placeOfRow(first.row) }
}

/** The first drive of each row. */
function firstOfRows(drives: readonly RowDrive[]): (RowDrive & { row: RunRow })[] {
  const found = new Map<string, RowDrive & { row: RunRow }>()
  for (const drive of drives) {
    const { row } = drive
    if (row === null) continue
    const before = found.get(rowKey(row))
    if (before === undefined || drive.startTime < before.startTime) found.set(rowKey(row), { ...drive, row })
  }
  return [...found.values()]
}
