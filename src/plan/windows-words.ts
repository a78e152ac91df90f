import { DateTime } from 'luxon'
import { REACH } from '../air/blend.ts'
import { figure, signedFigure } from '../claim/wording.ts'
import type { ConditionsDifference } from '../compare/difference.ts'
import { bestWindows, rankedSlots, type Slot, type Window } from './windows.ts'

/** What the plan is about, for its words. */
export interface WindowsSubject {
  routeName: string
  shape: string
  /** Ids of the runs whose conditions are sought. */
  baseline: string[]
  /** Id of the run whose speeds are driven again. */
  reference: string
  marginPct: number
  /** null: not stated; times are then told in UTC. */
  timeZone: string | null
  /** Of the best slot, one way as the road is driven now, and there and back. */
  thereAndBack: { oneWay: ConditionsDifference; both: ConditionsDifference } | null
  /** The best slot of the same road's other direction, where the baseline was driven there as well. */
  otherDirection: { routeName: string; best: Slot } | null
}

export const local = (timeS: number, zone: string | null): DateTime =>
  DateTime.fromSeconds(timeS, { zone: zone ?? 'UTC' }).setLocale('en-GB')
export const clock = (timeS: number, zone: string | null): string => local(timeS, zone).toFormat('HH:mm')
export const day = (timeS: number, zone: string | null): string => local(timeS, zone).toFormat('ccc d LLL')
const halfWidth = (d: ConditionsDifference): number => (d.high90Pct - d.low90Pct) / 2

const MARKS = { day: '', twilight: 'twilight', night: 'night' }
const LEVELS = '▁▂▃▄▅▆▇█'

/** Breaks a sentence into lines; as it is by default. */
export type Wrap = (text: string) => string[]

/** The plan as text for a terminal. */
export function windowsText(
  slots: Slot[],
  subject: WindowsSubject,
  rows: number,
  wrap: Wrap = (text) => [text],
): string {
  const { timeZone, baseline } = subject
  const like = baseline.length === 1 ? `the run ${baseline[0]}` : `${baseline.length} baseline runs`
  return [
    ...[
      `${subject.routeName}: starts whose conditions should resemble those of ${like}, within ±${subject.marginPct} %`,
      `Speeds are those of ${subject.reference}. Times are ${timeZone ?? 'UTC; campaign.yaml names no time_zone'}.`,
      '',
      ...bestInWords(slots, subject),
      ...adviceInWords(subject),
    ].flatMap(wrap),
    '',
    'rank  start             score  difference (90 % interval)   wind  headwind  temp  sun   remarks',
    ...rankedSlots(slots)
      .slice(0, rows)
      .map((slot, i) => rowOf(slot, i + 1, timeZone)),
    '',
    ...pictureOf(slots, timeZone),
    '',
  ].join('\n')
}

function rowOf(slot: Slot, rank: number, zone: string | null): string {
  const start = `${day(slot.startTime, zone)} ${clock(slot.startTime, zone)}`.padEnd(16)
  const head = `${String(rank).padStart(4)}  ${start}`
  const d = slot.difference
  if (!d) return `${head}      –  ${unknownInWords(slot)}`
  const difference = `${signedFigure(d.meanPct)} (${signedFigure(d.low90Pct)} to ${signedFigure(d.high90Pct)}) %`
  return [
    head,
    String(Math.round(d.score)).padStart(5),
    difference.padEnd(27),
    `${slot.windMps.toFixed(1)} m/s`.padStart(7),
    (Number.isFinite(slot.headwindMps) ? signedFigure(slot.headwindMps) : '–').padStart(7),
    `${Math.round(slot.temperatureK - 273.15)}°`.padStart(5),
    `${Math.round(slot.sunAltitudeDeg)}°`.padStart(4),
    ` ${remarksOf(slot)}`,
  ]
    .join(' ')
    .trimEnd()
}

function unknownInWords({ stepH, missing }: Slot): string {
  if (stepH > MOST_STEP_H)
    return `the forecast’s times are ${hours(stepH)} apart here, expected ${MOST_STEP_H} h at most`
  return missing.length === 1 ? `the forecast has no ${missing[0]} here` : 'the forecast does not reach this drive'
}

const hours = (h: number): string => `${Number(h.toFixed(1))} h`
const MOST_STEP_H = REACH.forecastStepS / 3600
const isCoarse = ({ stepH }: Slot): boolean => stepH > COARSE_STEP_H && stepH <= MOST_STEP_H

/** Above this many hours between its times a forecast says little of what lies between. */
const COARSE_STEP_H = 3

export function remarksOf(slot: Slot): string {
  const marks = [slot.rain ? 'rain' : '', slot.phase ? MARKS[slot.phase] : '']
  if (slot.slotClass === 'rain' && !slot.rain) marks.push('dry, the baseline was wet')
  if (isCoarse(slot)) marks.push(`${hours(slot.stepH)} steps`)
  return marks.filter((m) => m !== '').join(', ')
}

/** The best windows in words. */
export function bestInWords(slots: Slot[], subject: WindowsSubject): string[] {
  const windows = bestWindows(slots)
  if (windows.length === 0) return ['No start can be advised: the forecast does not reach, or it rains all the time.']
  return windows.map((window, i) => `${i + 1}. ${windowInWords(window, subject)}`)
}

function windowInWords({ first, last, best }: Window, { timeZone, marginPct }: WindowsSubject): string {
  const when =
    first === last
      ? `${day(best.startTime, timeZone)}, start at ${clock(best.startTime, timeZone)}`
      : `${day(first.startTime, timeZone)}, start between ${clock(first.startTime, timeZone)} and ${sameDay(first, last, timeZone)}${clock(last.startTime, timeZone)} (best at ${clock(best.startTime, timeZone)})`
  const d = best.difference!
  const light = best.phase === 'day' ? 'by daylight' : best.phase === 'night' ? 'in the dark' : 'at twilight'
  const other = best.slotClass === 'other-light' ? ', unlike the baseline' : ''
  return `${when}, ${light}${other}, dry: the vehicle should use ${signedFigure(d.meanPct)} % by the conditions alone, ${signedFigure(d.low90Pct)} to ${signedFigure(d.high90Pct)} % with nine chances in ten, and be within ±${marginPct} % with ${Math.round(d.score)} in a hundred. ${headwindInWords(best)}${coarseInWords(best)}`
}

const sameDay = (a: Slot, b: Slot, zone: string | null): string =>
  day(a.startTime, zone) === day(b.startTime, zone) ? '' : `${day(b.startTime, zone)} `

const coarseInWords = (slot: Slot): string =>
  isCoarse(slot)
    ? ` The forecast’s times are ${hours(slot.stepH)} apart here: what lies between them is a straight line, and the interval is wider for it.`
    : ''

/** The headwind along the road, quarter by quarter. */
function headwindInWords({ headwindPartsMps: parts, windMps }: Slot): string {
  if (!parts.every(Number.isFinite) || windMps < 0.5) return 'Hardly any wind is expected.'
  return `Headwind by quarters of the road: ${parts.map((h) => signedFigure(h)).join(', ')} m/s.`
}

/** Below this share of the one-way interval a there-and-back is worth its second half. */
const WORTH_TURNING = 0.8

/** What to drive differently, where it helps. */
export function adviceInWords({ thereAndBack, otherDirection }: WindowsSubject): string[] {
  const advice: string[] = []
  if (thereAndBack) {
    const [one, both] = [halfWidth(thereAndBack.oneWay), halfWidth(thereAndBack.both)]
    if (both < WORTH_TURNING * one) {
      advice.push(
        `Driven there and straight back, without and with the change alike, most of the wind would cancel: the best start would be known to ±${figure(both)} % in place of ±${figure(one)} %.`,
      )
    }
  }
  if (otherDirection?.best.difference) {
    const { routeName, best } = otherDirection
    advice.push(
      `The other direction (${routeName}) has baseline runs of its own and a better start: score ${Math.round(best.difference!.score)}; ask for it with --route ${routeName}.`,
    )
  }
  return advice
}

/** A strip for each day under a scale of its hours: the score as a bar, and the light and rain below it. */
function pictureOf(slots: Slot[], zone: string | null): string[] {
  const days = new Map<string, Slot[]>()
  for (const slot of slots) {
    const key = day(slot.startTime, zone)
    days.set(key, [...(days.get(key) ?? []), slot])
  }
  const bar = ({ difference }: Slot): string =>
    difference ? LEVELS[Math.min(LEVELS.length - 1, Math.floor((difference.score / 100) * LEVELS.length))] : '?'
  const light = ({ rain, phase }: Slot): string =>
    rain ? 'r' : phase === 'night' ? 'n' : phase === 'twilight' ? 't' : '·'
  const stepS = slots.length > 1 ? slots[1].startTime - slots[0].startTime : 3600
  // Where the clocks change, a day has 23 or 25 hours: the place in the strip is the time gone by since its midnight.
  const place = (timeS: number): number => (timeS - local(timeS, zone).startOf('day').toSeconds()) / stepS
  const scale = [0, 6, 12, 18]
    .map((hour) =>
      String(hour)
        .padStart(2, '0')
        .padEnd((6 * 3600) / stepS),
    )
    .join('')
    .trimEnd()
  const head = ' '.repeat(DAY_WIDTH)
  const lines = [...days].flatMap(([name, of]) => {
    const before = ' '.repeat(Math.round(place(of[0].startTime)))
    return [`${name.padEnd(DAY_WIDTH)}${before}${of.map(bar).join('')}`, `${head}${before}${of.map(light).join('')}`]
  })
  return [
    'Score of each start (height), light below: n night, t twilight, r rain, ? not forecast',
    `${head}${scale}`,
    ...lines,
  ]
}
const DAY_WIDTH = 12

/** The plan as data. */
export function windowsRecord(slots: Slot[], subject: WindowsSubject): Record<string, unknown> {
  const number = (value: number): number | null => (Number.isFinite(value) ? Number(value.toPrecision(5)) : null)
  const interval = (d: ConditionsDifference | null) =>
    d && { mean: number(d.meanPct), low90: number(d.low90Pct), high90: number(d.high90Pct) }
  const iso = (timeS: number): string => new Date(timeS * 1000).toISOString().replace('.000Z', 'Z')
  const record = (slot: Slot) => ({
    start_time: iso(slot.startTime),
    local_start: local(slot.startTime, subject.timeZone).toISO({ suppressMilliseconds: true }),
    lead_hours: number(slot.leadH),
    forecast_step_hours: number(slot.stepH),
    not_forecast: slot.missing,
    difference_pct: interval(slot.difference),
    score: slot.difference ? number(slot.difference.score) : null,
    tightest_margin_pct: slot.difference ? number(slot.difference.tightestMarginPct) : null,
    sun_altitude_deg: number(slot.sunAltitudeDeg),
    phase: slot.phase,
    rain: slot.rain,
    precipitation_mm: number(slot.precipitationMm),
    wind_mps: number(slot.windMps),
    wind_from_deg: number(slot.windFromDeg),
    headwind_mps: number(slot.headwindMps),
    headwind_by_quarter_mps: slot.headwindPartsMps.map(number),
    temperature_c: number(slot.temperatureK - 273.15),
    class: slot.slotClass,
  })
  return {
    schema: 'ceteris-plan-windows/1',
    route: subject.routeName,
    shape: subject.shape,
    reference: subject.reference,
    baseline: subject.baseline,
    margin_pct: subject.marginPct,
    time_zone: subject.timeZone,
    best: bestInWords(slots, subject),
    advice: adviceInWords(subject),
    there_and_back_pct: subject.thereAndBack && interval(subject.thereAndBack.both),
    slots: rankedSlots(slots).map((slot, i) => ({ rank: i + 1, ...record(slot) })),
  }
}
