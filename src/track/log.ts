import { upperMedian } from '../base/statistics.ts'
import { LOGGED_QUANTITIES, type LoggedColumns, type TrackColumns } from '../read/types.ts'
import { intervals, takenColumn } from './repair/order.ts'
import type { DriveLog, Fixes } from './types.ts'

/** Rows logged before the first fix and after the last, s: they close the integrals at the ends. */
const BEYOND_ENDS_S = 60
/** Rows closer than this are brought together, s: nothing that is integrated over a drive needs more. */
const CLOSEST_S = 0.5

/**
 * The times of all rows of a track on the clock that its drive has: where a clock that was set while driving was put right,
 * the rows without a position are moved with those around them.
 * @param possible the rows with a possible time and position, in the file's order, before the clock was put right
 * @param steady the same after it
 */
export function timesOnClock(
  { time, latitude, longitude }: TrackColumns,
  possible: Fixes,
  steady: Fixes,
): Float64Array {
  if (steady.time === possible.time) return time
  const moved = time.slice()
  let next = 0
  for (let row = 0; row < time.length; row++) {
    const isNext =
      time[row] === possible.time[next] &&
      latitude[row] === possible.latitude[next] &&
      longitude[row] === possible.longitude[next]
    const of = isNext ? next++ : Math.max(0, next - 1)
    moved[row] += steady.time[of] - possible.time[of]
  }
  return moved
}

/**
 * What was logged beside the positions of a drive, in the order of time; null where nothing was. Rows whose positions were
 * left out keep what else they hold: a held or lost position says nothing against the battery's current.
 * @param time of all rows, on the drive's clock
 */
export function logOf(track: TrackColumns, time: Float64Array, startTime: number, endTime: number): DriveLog | null {
  const quantities = LOGGED_QUANTITIES.filter((quantity) =>
    track.logged[quantity]?.values.some((v) => !Number.isNaN(v)),
  )
  // A speed alone is in the motion.
  if (quantities.every((quantity) => quantity === 'speedMps')) return null
  const rows: number[] = []
  for (let row = 0; row < time.length; row++) {
    if (time[row] >= startTime - BEYOND_ENDS_S && time[row] <= endTime + BEYOND_ENDS_S) rows.push(row)
  }
  rows.sort((a, b) => time[a] - time[b] || a - b)
  const columns: LoggedColumns = {}
  for (const quantity of quantities) {
    const column = track.logged[quantity]
    if (column) columns[quantity] = { ...column, values: takenColumn(column.values, rows) }
  }
  return thinned({ time: takenColumn(time, rows), columns })
}

/** Rows closer than half a second, and rows of one time, are brought together: the mean of what each quantity has there. */
function thinned(log: DriveLog): DriveLog {
  const { time } = log
  const steps = intervals(time)
  if (steps.length === 0 || (upperMedian(steps.slice()) >= CLOSEST_S && steps.every((step) => step > 0))) return log
  const binS = upperMedian(steps) >= CLOSEST_S ? 0 : 2 * CLOSEST_S
  const starts: number[] = []
  for (let i = 0; i < time.length; i++) {
    const begun = time[starts[starts.length - 1]]
    if (starts.length === 0 || (binS === 0 ? time[i] > begun : time[i] - begun >= binS)) starts.push(i)
  }
  const means = (values: Float64Array): Float64Array =>
    Float64Array.from(starts, (from, bin) => {
      let [sum, count] = [0, 0]
      for (let i = from; i < (starts[bin + 1] ?? time.length); i++) {
        if (Number.isNaN(values[i])) continue
        sum += values[i]
        count++
      }
      return count > 0 ? sum / count : Number.NaN
    })
  return { time: means(time), columns: mapped(log.columns, means) }
}

function mapped(columns: LoggedColumns, of: (values: Float64Array) => Float64Array): LoggedColumns {
  const changed: LoggedColumns = {}
  for (const quantity of LOGGED_QUANTITIES) {
    const column = columns[quantity]
    if (column) changed[quantity] = { ...column, values: of(column.values) }
  }
  return changed
}

/** The rows of a log within a stretch, with those up to a minute before and behind it. */
export function cutLog(log: DriveLog, fromTime: number, toTime: number): DriveLog {
  const first = log.time.findIndex((time) => time >= fromTime - BEYOND_ENDS_S)
  const past = log.time.findLastIndex((time) => time <= toTime + BEYOND_ENDS_S) + 1
  const cut = (values: Float64Array): Float64Array =>
    values.slice(Math.max(first, 0), first < 0 ? 0 : Math.max(first, past))
  return { time: cut(log.time), columns: mapped(log.columns, cut) }
}
