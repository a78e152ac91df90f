import { failed, found, type Outcome, type Problem } from '../../../base/problem.ts'
import { parseInstant } from '../../../read/instant.ts'
import { momentReader } from '../../../read/moments.ts'
import { type Trace, timeAtDistance } from '../../../road/division/trace.ts'

/** What a stated time is looked up in. */
interface Span {
  /** Seconds since 1970 UTC. */
  startTime: number
  endTime: number
  trace: Trace
}

const DAY_S = 86_400
/** A stated time may lie this far outside the recording: clocks and notes are rounded to minutes, s. */
const SLACK_S = 60
/** A drive may be noted to begin this long before its recording, or to end so long after it, s. Common practice, no source. */
const NEAR_S = 300
const CLOCK = /^(\d{1,2}):(\d\d)(?::(\d\d))?\s*(Z|UTC)?$/i
const DISTANCE = /^(\d+(?:[.,]\d+)?)\s*(km|mi|m)$/i
const METRES: Record<string, number> = { km: 1000, mi: 1609.344, m: 1 }

/**
 * The moment of a recording that a user means by a clock time (`09:14`, local where the campaign names a time zone, or
 * `09:14Z`), an instant (`2026-05-12T09:14+02:00`) or a distance along the recording (`12.5 km`).
 * @param what the column's name, for messages
 * @returns seconds since 1970 UTC; fails with `stated-time-unreadable`, `-outside` or `-ambiguous`
 */
export function statedTime(text: string, what: string, span: Span, timeZone: string | null): Outcome<number> {
  const written = text.trim()
  const distance = DISTANCE.exec(written)
  if (distance) return atDistance(Number(distance[1].replace(',', '.')) * METRES[distance[2].toLowerCase()], what, span)
  const clock = CLOCK.exec(written)
  const moments = clock ? clockTimes(clock, span, timeZone) : instants(written, timeZone)
  if (moments.length === 0 || moments.some(Number.isNaN)) {
    const message = `${what}: found "${written.slice(0, 40)}", expected a time such as 09:14, 2026-05-12T09:14Z, or a distance such as 12.5 km`
    return failed({ code: 'stated-time-unreadable', message })
  }
  const within = moments.filter((t) => t >= span.startTime - SLACK_S && t <= span.endTime + SLACK_S)
  if (within.length === 1) return found(Math.min(span.endTime, Math.max(span.startTime, within[0])))
  if (within.length > 1) {
    const message = `${what}: "${written}" is in this recording ${within.length} times, on different days`
    return failed({ code: 'stated-time-ambiguous', message, hint: 'write the date as well: 2026-05-12T09:14' })
  }
  const shown = (t: number): string => shownTime(t, timeZone)
  if (what === 'from' && moments.some((t) => t < span.startTime && t >= span.startTime - NEAR_S))
    return found(span.startTime, [
      atItsEnd(`from: ${written} is before the recording; its start, ${shown(span.startTime)}`),
    ])
  if (what === 'to' && moments.some((t) => t > span.endTime && t <= span.endTime + NEAR_S))
    return found(span.endTime, [atItsEnd(`to: ${written} is after the recording; its end, ${shown(span.endTime)}`)])
  const message = `${what}: ${written} is outside the recording, which goes from ${shown(span.startTime)} to ${shown(span.endTime)}${clocksWords(span, timeZone)}`
  return failed({ code: 'stated-time-outside', message, hint: zoneHint(moments, span, timeZone) })
}

const atItsEnd = (words: string): Problem => ({
  code: 'stated-time-near',
  severity: 'note',
  message: `${words}, is taken`,
})

function atDistance(wantedM: number, what: string, { trace }: Span): Outcome<number> {
  const lengthM = trace.distanceM[trace.distanceM.length - 1]
  if (wantedM <= lengthM + trace.spacingM) return found(timeAtDistance(trace, wantedM))
  const message = `${what}: found ${(wantedM / 1000).toFixed(1)} km, expected at most the length of the recording, ${(lengthM / 1000).toFixed(1)} km`
  return failed({ code: 'stated-time-outside', message })
}

/** The clock time on every day that the recording touches. */
function clockTimes(
  [, hours, minutes, seconds = '0', zulu]: RegExpExecArray,
  span: Span,
  zone: string | null,
): number[] {
  const ofDay = 3600 * Number(hours) + 60 * Number(minutes) + Number(seconds)
  if (Number(hours) > 24 || Number(minutes) > 59 || Number(seconds) > 59) return []
  const reader = momentReader(zulu || zone === null ? 'UTC' : zone)
  const first = Math.floor(span.startTime / DAY_S) - 1
  const last = Math.floor(span.endTime / DAY_S) + 1
  const days = Array.from({ length: last - first + 1 }, (_, i) => first + i)
  return days.map((day) => reader({ seconds: day * DAY_S + ofDay, zoneless: true }).seconds)
}

function instants(written: string, zone: string | null): number[] {
  const instant = parseInstant(written)
  return [momentReader(zone ?? 'UTC')(instant).seconds]
}

/** Where a whole number of hours would bring the time into the recording, the zone is the likely slip. */
function zoneHint(moments: number[], { startTime, endTime }: Span, zone: string | null): string | undefined {
  for (let hours = 1; hours <= 14; hours++) {
    for (const shift of [-3600 * hours, 3600 * hours]) {
      if (!moments.some((t) => t + shift >= startTime && t + shift <= endTime)) continue
      return zone === null
        ? `without time_zone in campaign.yaml, times are read as UTC; ${hours} h ${shift > 0 ? 'later' : 'earlier'} would fit`
        : `${hours} h ${shift > 0 ? 'later' : 'earlier'} would fit: is the time written for another zone than ${zone}?`
    }
  }
  return undefined
}

/** Says where clocks went back or forward during a recording: its times may seem to run backwards. */
function clocksWords({ startTime, endTime }: Span, timeZone: string | null): string {
  if (timeZone === null) return ''
  const shiftS = zoneOffsetS(endTime, timeZone) - zoneOffsetS(startTime, timeZone)
  if (shiftS === 0) return ''
  const minutes = Math.round(Math.abs(shiftS) / 60)
  const utc = (t: number): string => shownTime(t, null).slice(11, 16)
  return `; clocks in ${timeZone} went ${shiftS < 0 ? 'back' : 'forward'} by ${minutes} min during it (in UTC it goes from ${utc(startTime)} to ${utc(endTime)})`
}

/** "09:14" with its date, local where there is a zone. */
export function shownTime(seconds: number, timeZone: string | null): string {
  const offsetS = timeZone === null ? 0 : zoneOffsetS(seconds, timeZone)
  const text = new Date(1000 * (seconds + offsetS)).toISOString()
  return `${text.slice(0, 10)} ${text.slice(11, 16)}${timeZone === null ? ' UTC' : ''}`
}

/** How far a clock in the zone is ahead of UTC at a moment, s. */
export function zoneOffsetS(seconds: number, timeZone: string): number {
  // The reader turns shown times into moments: the offset is found from one that it gives back.
  const reader = momentReader(timeZone)
  const guess = seconds - reader({ seconds, zoneless: true }).seconds
  return seconds + guess - reader({ seconds: seconds + guess, zoneless: true }).seconds
}
