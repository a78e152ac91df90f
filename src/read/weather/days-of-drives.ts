import type { Span } from '../../base/time.ts'

/** How a row of a long table begins, up to its day. */
const FORMS: { pattern: RegExp; isDayFirst?: boolean }[] = [
  // German weather service: `4911;2018091500;`
  { pattern: /^ *\d+; *(\d{4})(\d\d)(\d\d)\d{2,4};/ },
  // GHCNh by year (`id|name|2024-05-03T08:00:00|`) and by station (`id|name|2024|05|03|`)
  { pattern: /^[^|\n]{0,40}\|[^|\n]{0,80}\|"?(\d{4})[-|](\d\d)[-|](\d\d)/ },
  // SMHI `2024-05-03;08:00:00;`, loggers `2024-05-03 08:00:00,`
  { pattern: /^"?(\d{4})-(\d\d)-(\d\d)[T ;,"]/ },
  // Iowa Environmental Mesonet `CVG,2024-05-03 08:52,`, Global Hourly `"72421093814","2024-05-03T08:52:00",`
  { pattern: /^"?\w{3,11}"?[,\t]"?(\d{4})-(\d\d)-(\d\d)[T ]/ },
  // MeteoSwiss `BER;03.05.2024 08:00;`
  { pattern: /^[A-Z]{3};(\d\d)\.(\d\d)\.(\d{4}) /, isDayFirst: true },
]
const LONGEST_START = 200
const DAY_S = 86_400
/** A local clock is up to 14 hours off, and an observation speaks for hours. */
const DAYS_AROUND = 2
/** Rows in a row that are looked at to tell the form. */
const LOOKED_AT = 5

type Form = (typeof FORMS)[number]

/** How the rows in the middle of a text begin; null where none of the forms fits them all. */
function formOf(text: string): Form | null {
  const lines: string[] = []
  let at = text.indexOf('\n', text.length >> 1) + 1
  while (lines.length < LOOKED_AT && at > 0 && at < text.length) {
    lines.push(text.slice(at, at + LONGEST_START))
    at = text.indexOf('\n', at) + 1
  }
  return lines.length === 0 ? null : (FORMS.find(({ pattern }) => lines.every((line) => pattern.test(line))) ?? null)
}

/** Whether a text is a table whose rows say their day at the begin, so that those of other days can be left unread. */
export const hasDatedRows = (text: string): boolean => formOf(text) !== null

/**
 * A long table without the rows of days on which, two days before and two after them included, nobody drove. Lines keep
 * their numbers: a row that is left out becomes an empty line. Lines without a day, as the header's, stay.
 * @param spans when somebody drove; without any, and in a text of another form, nothing is left out
 */
export function daysOfDrives(text: string, spans: readonly Span[]): string {
  const form = formOf(text)
  if (form === null || spans.length === 0) return text
  const days = daysAround(spans)
  const kept: string[] = []
  for (let at = 0; at < text.length; ) {
    const end = text.indexOf('\n', at)
    const stop = end < 0 ? text.length : end
    const day = dayOf(text.slice(at, Math.min(stop, at + LONGEST_START)), form)
    kept.push(day === null || days.has(day) ? text.slice(at, stop) : '')
    at = stop + 1
  }
  return kept.join('\n')
}

function dayOf(start: string, { pattern, isDayFirst }: Form): string | null {
  const [, first, month, last] = pattern.exec(start) ?? []
  if (first === undefined) return null
  return isDayFirst ? last + month + first : first + month + last
}

function daysAround(spans: readonly Span[]): Set<string> {
  const days = new Set<string>()
  for (const { from, to } of spans) {
    for (let time = from - DAYS_AROUND * DAY_S; time <= to + DAYS_AROUND * DAY_S; time += DAY_S / 2) {
      days.add(new Date(time * 1000).toISOString().slice(0, 10).replaceAll('-', ''))
    }
  }
  return days
}
