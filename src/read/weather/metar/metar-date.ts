import type { Span } from '../../../base/time.ts'

/** Day of the month and time of day, UTC: all that a report says of its own time. */
export interface DayTime {
  day: number
  hour: number
  minute: number
}

const DAY_S = 86400
/** A report that lies this near to a drive can bear on it. */
const NEAR_S = DAY_S

/**
 * The moment that has this day and time and lies nearest to a date which stands in front of the report.
 * @returns seconds since 1970; NaN where the nearest is more than two days away, that is, where they contradict
 */
export function momentNearDate(dayTime: DayTime, dateSeconds: number): number {
  const nearest = candidates(dayTime, dateSeconds, dateSeconds).reduce(
    (best, next) => (Math.abs(next - dateSeconds) < Math.abs(best - dateSeconds) ? next : best),
    Number.POSITIVE_INFINITY,
  )
  return Math.abs(nearest - dateSeconds) <= 2 * DAY_S ? nearest : Number.NaN
}

/**
 * The moment that has this day and time and lies in, or else nearest to, one of the spans.
 * @returns seconds since 1970, or NaN where several months would do: more than one lies within a day of a span
 */
export function momentNearSpans(dayTime: DayTime, spans: Span[]): number {
  const distance = new Map<number, number>()
  for (const span of spans) {
    for (const moment of candidates(dayTime, span.from, span.to)) {
      const away = Math.max(span.from - moment, moment - span.to, 0)
      distance.set(moment, Math.min(away, distance.get(moment) ?? Number.POSITIVE_INFINITY))
    }
  }
  const byDistance = [...distance].sort(([, a], [, b]) => a - b)
  if (byDistance.length === 0) return Number.NaN
  const several = byDistance.length > 1 && byDistance[1][1] <= NEAR_S
  return several ? Number.NaN : byDistance[0][0]
}

/** All moments with this day and time from the month before a span to the month after it. */
function candidates({ day, hour, minute }: DayTime, from: number, to: number): number[] {
  const first = monthNumber(from) - 1
  const last = monthNumber(to) + 1
  const moments: number[] = []
  for (let month = first; month <= last; month++) {
    const date = new Date(Date.UTC(Math.floor(month / 12), month % 12, day, hour, minute))
    if (date.getUTCMonth() === month % 12) moments.push(date.getTime() / 1000)
  }
  return moments
}

/** Months since the year 0. */
function monthNumber(seconds: number): number {
  const date = new Date(seconds * 1000)
  return date.getUTCFullYear() * 12 + date.getUTCMonth()
}
