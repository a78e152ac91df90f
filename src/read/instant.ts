import { powerOfTen } from '../base/arithmetic.ts'
/** A moment as written: seconds since 1970-01-01T00:00:00Z (NaN when it is not a time) and whether the zone was left out. */
export interface Instant {
  seconds: number
  /** True when no zone was written; `seconds` then reads the clock time as UTC. */
  zoneless: boolean
}

const NOT_A_TIME: Instant = { seconds: Number.NaN, zoneless: false }
const SECONDS_PER_DAY = 86400
const DAYS_IN_MONTH = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]

/**
 * Reads an ISO 8601 date with a time of day: `2021-03-29T11:13:45.25+02:00`, with any number of decimals, `Z`, an offset
 * of up to 14 hours or no zone (read as UTC), a space for the `T`, blanks before the zone, `z`, `UTC` or `GMT` for the
 * `Z`, seconds left out, or the basic form `20210329T111345Z`. Written by hand because it runs once per track point, and because `Date.parse` takes other forms
 * in the computer's own zone. A leap second (`23:59:60` UTC) is the first second of the next day, as in POSIX time.
 * @returns `seconds` is NaN for anything else: a date alone, an impossible day or hour, text
 * @source ISO 8601-1:2019, 4.3 and 5.4; W3C XML Schema 1.1 part 2, 3.3.7 dateTime (offsets to 14:00, hour 24)
 */
export function parseInstant(text: string): Instant {
  const asWritten = isExtendedForm(text) ? extendedInstant(text) : NOT_A_TIME
  if (!Number.isNaN(asWritten.seconds)) return asWritten
  const plain = usualForm(text)
  return plain === null ? NOT_A_TIME : extendedInstant(plain)
}

/** The moment written as `YYYY-MM-DDTHH:MM:SS`, with decimals and zone or without. */
function extendedInstant(plain: string): Instant {
  const second = digits(plain, 17, 2)
  let at = 19
  let fraction = 0
  const mark = plain.charCodeAt(at)
  if (mark === DOT || mark === COMMA) {
    const end = endOfDigits(plain, at + 1)
    if (end === at + 1) return NOT_A_TIME
    fraction = decimals(plain, at + 1, end)
    at = end
  }
  const offset = offsetSeconds(plain, at)
  const days = daysSince1970(digits(plain, 0, 4), digits(plain, 5, 2), digits(plain, 8, 2))
  const clock = secondOfDay(digits(plain, 11, 2), digits(plain, 14, 2), second, fraction)
  const zoneless = offset === null
  const seconds = days * SECONDS_PER_DAY + clock - (offset ?? 0)
  if (second === 60 && !endsADay(seconds, zoneless)) return NOT_A_TIME
  return Number.isNaN(seconds) ? NOT_A_TIME : { seconds: seconds + fraction, zoneless }
}

const DOT = 46
const COMMA = 44
const COLON = 58
const DASH = 45
const ZERO = 48

/** True for `YYYY-MM-DDTHH:MM:SS…` without blanks around it; digits and zone are checked when they are read. */
function isExtendedForm(text: string): boolean {
  return (
    text.length >= 19 &&
    text.charCodeAt(10) === 84 &&
    text.charCodeAt(4) === DASH &&
    text.charCodeAt(7) === DASH &&
    text.charCodeAt(13) === COLON &&
    text.charCodeAt(16) === COLON &&
    text.charCodeAt(text.length - 1) > 32
  )
}

const OTHER_FORMS =
  /^(\d{4})(?:-(\d\d)-(\d\d)[Tt ] *(\d\d):(\d\d)(?::(\d\d))?|(\d\d)(\d\d)[Tt](\d\d)(\d\d)(\d\d)?)([.,]\d+)? *(z|UTC|GMT)?(.*)$/

/** The other accepted spellings, brought to the extended form; null when the text is none of them. */
function usualForm(text: string): string | null {
  const parts = OTHER_FORMS.exec(text.trim())
  if (parts === null) return null
  const [, year, m1, d1, h1, i1, s1, m2, d2, h2, i2, s2, decimals, zuluWord, zone] = parts
  if (decimals !== undefined && (s1 ?? s2) === undefined) return null
  if (zuluWord !== undefined && zone !== '') return null
  const date = `${year}-${m1 ?? m2}-${d1 ?? d2}`
  return `${date}T${h1 ?? h2}:${i1 ?? i2}:${s1 ?? s2 ?? '00'}${decimals ?? ''}${zuluWord === undefined ? zone : 'Z'}`
}

/** The number written in `count` digits at a place; NaN when one of them is no digit. */
function digits(text: string, start: number, count: number): number {
  let value = 0
  for (let i = start; i < start + count; i++) {
    const digit = text.charCodeAt(i) - ZERO
    if (!(digit >= 0 && digit <= 9)) return Number.NaN
    value = value * 10 + digit
  }
  return value
}

function endOfDigits(text: string, start: number): number {
  let i = start
  while (text.charCodeAt(i) >= ZERO && text.charCodeAt(i) <= 57) i++
  return i
}

/** The fraction whose decimals stand between two places; those after the fifteenth are below what a number can hold. */
function decimals(text: string, start: number, end: number): number {
  const count = Math.min(end - start, 15)
  return digits(text, start, count) / powerOfTen(count)
}

/** Seconds east of UTC; null where no zone is written, NaN where it cannot be read. */
function offsetSeconds(text: string, start: number): number | null {
  if (start === text.length) return null
  const sign = text.charCodeAt(start)
  if (sign === 90) return start + 1 === text.length ? 0 : Number.NaN
  if (sign !== 43 && sign !== DASH) return Number.NaN
  const hours = digits(text, start + 1, 2)
  const rest = text.length - start - 3
  const colon = text.charCodeAt(start + 3) === COLON ? 1 : 0
  if (rest !== 0 && rest !== 2 + colon) return Number.NaN
  const minutes = rest === 0 ? 0 : digits(text, start + 3 + colon, 2)
  if (!(minutes <= 59) || !(hours * 60 + minutes <= 14 * 60)) return Number.NaN
  return (sign === DASH ? -1 : 1) * (hours * 3600 + minutes * 60)
}

/** Days from 1970-01-01 in the proleptic Gregorian calendar; NaN for a day that the month does not have. */
export function daysSince1970(year: number, month: number, day: number): number {
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
  const longest = month === 2 && leap ? 29 : DAYS_IN_MONTH[month - 1]
  if (!(month >= 1 && month <= 12 && day >= 1 && day <= longest)) return Number.NaN
  // Counted from 1 March, so that the leap day is the last of its year; 719468 days lie between 0000-03-01 and 1970.
  const y = month <= 2 ? year - 1 : year
  const dayOfYear = Math.floor((153 * ((month + 9) % 12) + 2) / 5) + day - 1
  const leapDays = Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400)
  return y * 365 + leapDays + dayOfYear - 719468
}

function secondOfDay(hour: number, minute: number, second: number, fraction: number): number {
  const midnight = hour === 24 && minute === 0 && second === 0 && fraction === 0
  if (!((hour <= 23 || midnight) && minute <= 59 && second <= 60)) return Number.NaN
  return hour * 3600 + minute * 60 + second
}

/** A leap second ends a day of UTC; where the zone is not known, it can end any hour. */
function endsADay(seconds: number, zoneless: boolean): boolean {
  return seconds % (zoneless ? 3600 : SECONDS_PER_DAY) === 0
}
