import { momentReader } from '../moments.ts'
import type { DateCell } from '../table/dates.ts'

const DAY_S = 86_400

/** When a fill was made, seconds since 1970 UTC, and whether its clock showed that time twice or never. */
interface TimeSpan {
  from: number
  to: number
  doubtful: boolean
}

/** The moment of a fill, or the day of it where no more is written; null for a cell that could not be read. */
export function timeSpan(date: DateCell, zone: string | null): TimeSpan | null {
  if (Number.isNaN(date.seconds)) return null
  const { seconds, doubtful } = momentReader(zone ?? 'UTC')(date)
  if (date.dateOnly) return { from: seconds, to: seconds + DAY_S, doubtful: false }
  return { from: seconds, to: seconds, doubtful }
}
