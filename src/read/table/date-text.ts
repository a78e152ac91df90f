import { daysSince1970 } from '../instant.ts'

/** The orders in which a date's parts are written, and the ways in which spreadsheets and loggers count days. */
export const DATE_ORDERS = ['dmy', 'mdy', 'ymd', 'yymmdd', 'serial1900', 'serial1904', 'epoch'] as const
export type DateOrder = (typeof DATE_ORDERS)[number]

/** What one cell says: the day in each order that fits, and the time of day. */
export interface WrittenDate {
  /** Days since 1970 by the order in which the cell is read; orders that do not fit are left out. */
  days: Partial<Record<DateOrder, number>>
  /** Seconds since midnight; NaN where no time of day is written. */
  secondOfDay: number
  /** Seconds east of UTC; null where no zone is written. */
  offsetS: number | null
}

export interface WrittenClock {
  secondOfDay: number
  offsetS: number | null
}

const DAY_S = 86_400

const DATE = /^(\d{1,4})\s*([./-])\s*(\d{1,2})\s*\2\s*(\d{4}|\d{1,2})(?:\.(?=\s|$))?(?!\d)/
const DAY_FIRST =
  /^(\d{1,2})(?:st|nd|rd|th|\.|er|º)?[\s/.-]*(?:de |of )?(\p{L}{3,})\.?,?[\s/.-]*(?:de |del )?(\d{4}|\d\d)(?!\d)/iu
const MONTH_FIRST = /^(\p{L}{3,})\.?[\s/.-]*(\d{1,2})(?:st|nd|rd|th)?(?:,\s*|[\s/.-]+)(\d{4})(?!\d)/iu
const YEAR_FIRST = /^(\d{4})[\s/.-]+(\p{L}{3,})\.?[\s/.-]+(\d{1,2})(?!\d)/iu
const BASIC = /^(\d{4})(\d\d)(\d\d)(?=$|[\sT_])/
const WEEKDAY = /^\p{L}{2,}\.?,?\s+(?=\d|\p{L}{3,}\.?\s*\d)/u
/** What stands between a date and a time of day. @source Unicode CLDR, date-time patterns (from memory) */
const BEFORE_CLOCK = /^(?:,|T(?=\d)|_|at |um |à |às |a las |alle(?: ore)? |om |klo |kl\. )\s*/i
const NUMBER = /^\d+(?:[.,]\d+)?$/

/**
 * The months in English, German, French, Spanish, Italian, Dutch and Portuguese by as many letters as tell them apart.
 * @source Unicode CLDR, calendar "gregorian", month names, wide and abbreviated (from memory)
 */
const MONTHS: readonly RegExp[] = [
  /^(?:jan|jän|ene|gen|janv)/,
  /^(?:feb|fev|fév)/,
  /^(?:mar|mär|mrz|maa|mrt)/,
  /^(?:apr|avr|abr)/,
  /^(?:may|mai|mag|mei)/,
  /^(?:jun|juin|giu)/,
  /^(?:jul|juil|lug)/,
  /^(?:aug|aoû|aou|ago)/,
  /^(?:sep|set)/,
  /^(?:oct|okt|ott|out)/,
  /^(?:nov)/,
  /^(?:dec|dez|déc|dic)/,
]

const WRITTEN_MONTH =
  /^(?:january|february|march|april|may|june|july|august|september|october|november|december|januar|jänner|februar|märz|mai|juni|juli|oktober|dezember|janvier|février|mars|avril|juin|juillet|août|septembre|octobre|novembre|décembre|enero|febrero|marzo|abril|mayo|junio|julio|agosto|septiembre|octubre|noviembre|diciembre|gennaio|febbraio|aprile|maggio|giugno|luglio|settembre|ottobre|dicembre|januari|februari|maart|mei|augustus|janeiro|fevereiro|março|maio|junho|julho|setembro|outubro|novembro|dezembro)$/

/** 1 to 12; 0 for a word that is no month, in any of its languages whole or by three or four letters. */
function monthOf(word: string): number {
  const lower = word.toLowerCase()
  if (lower.length > 4 && !WRITTEN_MONTH.test(lower)) return 0
  return MONTHS.findIndex((month) => month.test(lower)) + 1
}

/** Two digits are a year from 1970 to 2069. @source IEEE 1003.1 (POSIX), strptime %y, moved by one year to the epoch */
const fullYear = (digits: string): number =>
  digits.length > 2 ? Number(digits) : Number(digits) + (Number(digits) < 70 ? 2000 : 1900)

/** Reads the text of one cell in every order that fits it; null where it is no date. */
export function writtenDate(cell: string): WrittenDate | null {
  const text = plain(cell)
  if (NUMBER.test(text)) return countedDate(text)
  const found = datePart(text) ?? datePart(text.replace(WEEKDAY, ''))
  if (found === null || Object.keys(found.days).length === 0) return null
  const { days, rest } = found
  if (rest === '') return { days, secondOfDay: Number.NaN, offsetS: null }
  const clock = writtenClock(rest.replace(BEFORE_CLOCK, ''))
  return clock && { days, ...clock }
}

const plain = (cell: string): string => cell.replace(/[\s\u00a0\u202f\u2009]+/g, ' ').trim()

function datePart(text: string): { days: WrittenDate['days']; rest: string } | null {
  const numbers = DATE.exec(text)
  if (numbers) return { days: daysOfNumbers(numbers), rest: behind(text, numbers) }
  const basic = BASIC.exec(text)
  if (basic) return { days: only('ymd', basic[1], Number(basic[2]), basic[3]), rest: behind(text, basic) }
  const ways: [RegExp, year: number, month: number, day: number][] = [
    [DAY_FIRST, 3, 2, 1],
    [MONTH_FIRST, 3, 1, 2],
    [YEAR_FIRST, 1, 2, 3],
  ]
  for (const [form, year, month, day] of ways) {
    const named = form.exec(text)
    if (!named || monthOf(named[month]) === 0) continue
    const at = daysSince1970(fullYear(named[year]), monthOf(named[month]), Number(named[day]))
    // A month by its name leaves no choice, as a year that comes first does.
    if (!Number.isNaN(at)) return { days: { ymd: at }, rest: behind(text, named) }
  }
  return null
}

const behind = (text: string, found: RegExpExecArray): string => text.slice(found[0].length).trim()

const only = (order: DateOrder, year: string, month: number, day: string): WrittenDate['days'] => {
  const at = daysSince1970(fullYear(year), month, Number(day))
  return Number.isNaN(at) ? {} : { [order]: at }
}

function daysOfNumbers([, a, , b, c]: RegExpExecArray): WrittenDate['days'] {
  if (a.length === 4) return only('ymd', a, Number(b), c)
  if (a.length > 2 || c.length === 3) return {}
  const isShort = c.length <= 2 && a.length === 2
  return {
    ...(c.length === 1 ? {} : { ...only('dmy', c, Number(b), a), ...only('mdy', c, Number(a), b) }),
    ...(isShort ? only('yymmdd', a, Number(b), c) : {}),
  }
}

/** Days from 1970 back to day 0 of a spreadsheet's count. @source ISO/IEC 29500-1:2016, 18.17.4.1, date systems */
const SERIAL_0 = { serial1900: -25_569, serial1904: -24_107 }

/** A serial number of a spreadsheet (1990 to 2100), or seconds or milliseconds since 1970 (2001 to 2100). */
function countedDate(text: string): WrittenDate | null {
  const value = Number(text.replace(',', '.'))
  if (value >= 31_000 && value < 73_100) {
    const day = Math.floor(value)
    // To the millisecond: a day's fraction has its last digits rounded.
    const secondOfDay = Math.round((value - day) * DAY_S * 1000) / 1000
    const days = { serial1900: day + SERIAL_0.serial1900, serial1904: day + SERIAL_0.serial1904 }
    return { days, secondOfDay: text.length > 5 ? secondOfDay : Number.NaN, offsetS: null }
  }
  const digits = /^\d+/.exec(text)?.[0].length
  const seconds = digits === 10 ? value : digits === 13 ? value / 1000 : Number.NaN
  if (!(seconds >= 1e9 && seconds < 4.1025e9)) return basicDate(text)
  const day = Math.floor(seconds / DAY_S)
  return { days: { epoch: day }, secondOfDay: seconds - day * DAY_S, offsetS: 0 }
}

/** `20260504`, or with the time behind it, `202605040914`. */
function basicDate(text: string): WrittenDate | null {
  const found = /^((?:19|20)\d\d)(\d\d)(\d\d)(?:(\d\d)(\d\d)(\d\d)?)?$/.exec(text)
  if (!found) return null
  const days = only('ymd', found[1], Number(found[2]), found[3])
  if (days.ymd === undefined) return null
  if (found[4] === undefined) return { days, secondOfDay: Number.NaN, offsetS: null }
  const clock = writtenClock(`${found[4]}:${found[5]}:${found[6] ?? '00'}`)
  return clock && { days, ...clock }
}

const CLOCK =
  /^(\d{1,2})(?:(?:[:.h]| h )(\d\d)(?:[:.](\d\d)(?:[.,](\d+))?)?)?(?:\s?([ap])\.?\s?m\.?)?(?:\s?(?:uhr|h|hrs|o'clock))?\s?(z|(?:utc|gmt)?\s?[+\u2212-]\d{1,2}(?::?\d\d)?|utc|gmt)?$/i

/**
 * A time of day as people write it: `09:14`, `9.14`, `9:14:05 PM`, `9 a.m.`, `9h14`, with or without a zone behind it; also
 * `0914`, and a spreadsheet's fraction of a day, `0.3847`. null for anything else.
 */
export function writtenClock(cell: string): WrittenClock | null {
  const text = plain(cell)
  if (/^0?[.,]\d+$/.test(text) || text === '0') {
    return { secondOfDay: Math.round(Number(text.replace(',', '.')) * DAY_S * 1000) / 1000, offsetS: null }
  }
  const bare = /^(\d{1,2})(\d\d)$/.exec(text)
  const found = CLOCK.exec(bare ? `${bare[1]}:${bare[2]}` : text)
  if (!found) return null
  const [, hours, minutes, seconds = '0', decimals = '0', half, zone] = found
  if (minutes === undefined && half === undefined) return null
  const hour = hourOf(Number(hours), half)
  const midnight = hour === 24 && Number(minutes ?? 0) === 0 && Number(seconds) === 0
  if (Number.isNaN(hour) || (hour > 23 && !midnight) || Number(minutes ?? 0) > 59 || Number(seconds) > 59) return null
  const secondOfDay = 3600 * hour + 60 * Number(minutes ?? 0) + Number(`${seconds}.${decimals}`)
  return { secondOfDay, offsetS: zone === undefined ? null : offsetOf(zone) }
}

/** 12 AM is midnight and 12 PM noon, as the trade's clocks show them. Common practice, no source. */
function hourOf(written: number, half: string | undefined): number {
  if (half === undefined) return written
  // 14:30 PM is written by clocks that were switched over: it can mean but one hour.
  if (written > 12 && /p/i.test(half)) return written
  if (written < 1 || written > 12) return Number.NaN
  return (written % 12) + (/p/i.test(half) ? 12 : 0)
}

function offsetOf(zone: string): number {
  const found = /([+\u2212-])(\d{1,2}):?(\d\d)?$/.exec(zone)
  if (!found) return 0
  return (found[1] === '+' ? 1 : -1) * (3600 * Number(found[2]) + 60 * Number(found[3] ?? 0))
}
