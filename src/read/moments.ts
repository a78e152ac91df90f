import { DateTime } from 'luxon'
import type { Instant } from './instant.ts'

/** Where the times of a table without a zone belong, and how that is known. */
export interface Clock {
  /** IANA name; null when nobody says. */
  zone: string | null
  from: 'column name' | 'comment' | 'METAR column' | 'campaign' | 'nothing'
}

/** A moment; `doubtful` where the clock showed this time twice or never (summer time). */
export interface Moment {
  seconds: number
  doubtful: boolean
}

/** Clocks change on the quarter of an hour. */
const QUARTER_S = 900

/**
 * Gives the function that turns a time without a zone, read as if it were UTC, into the moment at which a clock in `zone`
 * showed it. Of a time that the clock showed twice the earlier is taken; a time that it skipped is moved forward by the
 * hour skipped. luxon is asked once for each quarter of an hour, because a table of a logger has a row every few seconds.
 */
export function momentReader(zone: string): (instant: Instant) => Moment {
  const isUtc = /^(Etc\/)?(UTC|GMT)$/i.test(zone)
  const quarters = new Map<number, { offsetS: number; doubtful: boolean }>()
  return ({ seconds, zoneless }) => {
    if (isUtc || !zoneless) return { seconds, doubtful: false }
    const start = Math.floor(seconds / QUARTER_S) * QUARTER_S
    const { offsetS, doubtful } = quarters.get(start) ?? offsetAt(start, zone)
    quarters.set(start, { offsetS, doubtful })
    return { seconds: seconds - offsetS, doubtful }
  }
}

/** How far a clock in the zone is ahead of UTC when it shows this time. */
function offsetAt(shownSeconds: number, zone: string): { offsetS: number; doubtful: boolean } {
  const shown = DateTime.fromSeconds(shownSeconds, { zone: 'utc' })
  const local = shown.setZone(zone, { keepLocalTime: true })
  const skipped = local.hour !== shown.hour || local.minute !== shown.minute
  // Which of the two luxon takes by itself depends on the zone.
  const possible = local.getPossibleOffsets().map((moment) => moment.toSeconds())
  return { offsetS: shownSeconds - Math.min(...possible), doubtful: skipped || possible.length > 1 }
}

/**
 * How far the standard time of a zone is ahead of UTC, s: what its clocks show outside summer time, as of 2020. Of a zone's
 * two offsets it is the smaller one.
 */
export function standardOffsetS(zone: string): number {
  const offsets = [1, 7].map((month) => DateTime.fromObject({ year: 2020, month }, { zone }).offset)
  return Math.min(...offsets) * 60
}
