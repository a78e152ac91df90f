import { DateTime } from 'luxon'
import { html, type Markup } from '../markup.ts'
import { clockTime } from '../words/drives/recordings.ts'
import { CLOCK_FORMS, type ClockForm, utcText } from './clock-forms.ts'

/**
 * A moment, as the UTC clock shows it: `onLocalClock` puts the whole page on the clock of its zone, and the page's script
 * back where the reader asks for it.
 */
export const clock = (instant: string, form: ClockForm = 'dayAndTime'): Markup =>
  html`<span${atMoment(instant, form)}</span>`

/** The end of an element's first tag and its text, for a moment within a drawing. */
export const atMoment = (instant: string, form: ClockForm): Markup =>
  html` data-clock="${form}" data-time="${instant}">${utcText(instant, form)}`

/** The name of the clock that the page's times stand on. */
export const clockName = (): Markup => html`<span data-clock-name="">UTC</span>`

const MOMENT = /data-clock="(\w+)" data-time="([^"]+)">[^<]*/g
/** What problems write of a moment. */
const WRITTEN = /\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z| UTC)/g

/** Puts all moments of a page on the clock of a zone, and names it; without a zone they stay on UTC. */
export function onLocalClock(page: string, zone: string | null): string {
  if (zone === null) return page
  return page
    .replace(MOMENT, (_, form: ClockForm, instant: string) => {
      return `data-clock="${form}" data-time="${instant}">${clockTime(instant, zone, CLOCK_FORMS[form].local)}`
    })
    .replaceAll(clockName().markup, html`<span data-clock-name="">${zone}</span>`.markup)
}

/** A text with its moments in UTC marked as such. */
export function withMoments(text: string): Markup {
  const found = [...text.matchAll(WRITTEN)]
  const pieces = found.map((match, i) => {
    const from = i === 0 ? 0 : found[i - 1].index + found[i - 1][0].length
    const instant = `${match[0].slice(0, 16).replace(' ', 'T')}:00Z`
    return html`${text.slice(from, match.index)}${clock(instant)} ${clockName()}`
  })
  const last = found.at(-1)
  return html`${pieces}${text.slice(last ? last.index + last[0].length : 0)}`
}

/** By how much a zone's clock is ahead of UTC at a moment, s. @param seconds since 1970 */
export const offsetAt = (seconds: number, zone: string | null): number =>
  60 * DateTime.fromSeconds(seconds, { zone: zone ?? 'UTC' }).offset
