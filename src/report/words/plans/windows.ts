import { DateTime } from 'luxon'
import { fixed } from '../../../base/figures.ts'
import { present } from '../../../base/present.ts'
import { figure, joined, name, percent, percentSize, percentSpan, type Sentence, say } from '../../../base/sentence.ts'

/** A difference of conditions, percent. */
export interface DifferenceFacts {
  meanPct: number
  low90Pct: number
  high90Pct: number
  score: number
}

/** What the words of a possible start are told from; filled by plan/. Times in s since 1970, winds in m/s. */
export interface SlotFacts {
  startTime: number
  /** Hours between the times of the forecast about this drive; NaN where it does not reach. */
  stepH: number
  missing: readonly string[]
  difference: DifferenceFacts | null
  phase: 'day' | 'twilight' | 'night' | null
  rain: boolean
  windMps: number
  headwindPartsMps: readonly number[]
  slotClass: 'like' | 'other-light' | 'rain' | 'unknown'
}

/** Starts that follow each other, nearly as good as the best of them. */
export interface WindowFacts {
  first: SlotFacts
  last: SlotFacts
  best: SlotFacts
}

/** What a plan is about; filled by plan/. */
export interface WindowsSubject<S extends SlotFacts = SlotFacts> {
  routeName: string
  shape: string
  /** Ids of the drives whose conditions are sought. */
  baseline: string[]
  /** Id of the drive whose speeds are driven again. */
  reference: string
  marginPct: number
  /** null: not stated; times are then told in UTC. */
  timeZone: string | null
  /** Hours between its times beyond which a forecast is not used, and those beyond which it is told to be coarse. */
  mostStepH: number
  /** Of the best start, one way as the road is driven now, and there and back. */
  thereAndBack: { oneWay: DifferenceFacts; both: DifferenceFacts } | null
  /** The best start of the same road's other direction, where the baseline was driven there as well. */
  otherDirection: { routeName: string; best: S } | null
}

type Zone = Pick<WindowsSubject, 'timeZone'>
type Steps = Pick<WindowsSubject, 'mostStepH'>

export const local = (timeS: number, { timeZone }: Zone): DateTime =>
  DateTime.fromSeconds(timeS, { zone: timeZone ?? 'UTC' }).setLocale('en-GB')
export const clock = (timeS: number, zone: Zone): string => local(timeS, zone).toFormat('HH:mm')
export const day = (timeS: number, zone: Zone): string => local(timeS, zone).toFormat('ccc d LLL')

/** "+0.4 % (−0.2 to +1.0 %)". */
export const differenceWords = (d: DifferenceFacts): string =>
  `${percent(d.meanPct)} (${percentSpan(d.low90Pct, d.high90Pct)})`

/** What is sought, and in which time it is told. */
export function windowsTitle({ routeName, baseline, marginPct, reference, timeZone }: WindowsSubject): Sentence[] {
  const like = baseline.length === 1 ? say`the drive ${name(baseline[0])}` : say`${baseline.length} baseline drives`
  return [
    say`${name(routeName)}: starts with conditions like those of ${like}, within ±${marginPct} %`,
    say`Speeds as driven in ${name(reference)}. Times are ${timeZone ?? 'UTC; campaign.yaml names no time_zone'}.`,
  ]
}

/** The heading of the strips of all starts. */
export const STRIPS_WORDS = 'Score of each start (height); below: n night, t twilight, r rain, ? no forecast'

/** The words of the picture of all starts. */
export const pictureWords = ({ timeZone }: Zone): { title: string; heading: string; key: string } => ({
  title: `Score of each start, ${timeZone ?? 'UTC'}`,
  heading: `Score of each start from 0 to 100 (${timeZone ?? 'UTC'})`,
  key: 'shaded: twilight and night; r: rain; brown: the best start',
})

/** A start in the picture: "14:00: score 83, rain". */
export function slotTitle(slot: SlotFacts, subject: Zone & Steps): Sentence {
  const score = slot.difference ? `score ${Math.round(slot.difference.score)}` : 'no forecast'
  const remarks = slotRemarks(slot, subject)
  return say`${clock(slot.startTime, subject)}: ${score}${remarks === '' ? '' : `, ${remarks}`}`
}

/** Why a start has no figures. */
export function notForecastWords({ stepH, missing }: SlotFacts, { mostStepH }: Steps): Sentence {
  if (stepH > mostStepH) return say`forecast times are ${hours(stepH)} apart here, expected ${mostStepH} h at most`
  return missing.length === 1
    ? say`the forecast has no ${missing[0]} here`
    : say`the forecast does not cover this drive`
}

const hours = (h: number): string => `${Number(h.toFixed(1))} h`

/** Above this many hours between its times a forecast says little of what lies between. */
const COARSE_STEP_H = 3
const isCoarse = ({ stepH }: SlotFacts, { mostStepH }: Steps): boolean => stepH > COARSE_STEP_H && stepH <= mostStepH

const PHASE_REMARKS = { day: '', twilight: 'twilight', night: 'night' }

/** Rain, light and steps of the forecast, in a few words. */
export function slotRemarks(slot: SlotFacts, subject: Steps): string {
  const marks = [slot.rain ? 'rain' : '', slot.phase ? PHASE_REMARKS[slot.phase] : '']
  if (slot.slotClass === 'rain' && !slot.rain) marks.push('dry, the baseline was wet')
  if (isCoarse(slot, subject)) marks.push(`${hours(slot.stepH)} steps`)
  return marks.filter((mark) => mark !== '').join(', ')
}

/** The best windows, a sentence or two each. */
export function windowsWords(windows: readonly WindowFacts[], subject: WindowsSubject): Sentence[] {
  if (windows.length === 0)
    return [say`No start can be recommended: it rains, or the forecast does not cover the drive.`]
  return windows.map((window, i) => say`${i + 1}. ${windowWords(window, subject)}`)
}

function windowWords({ first, last, best }: WindowFacts, subject: WindowsSubject): Sentence {
  const start = `${day(first === last ? best.startTime : first.startTime, subject)}, start`
  const otherDay =
    day(first.startTime, subject) === day(last.startTime, subject) ? '' : `${day(last.startTime, subject)} `
  const when =
    first === last
      ? `${start} at ${clock(best.startTime, subject)}`
      : `${start} between ${clock(first.startTime, subject)} and ${otherDay}${clock(last.startTime, subject)} (best at ${clock(best.startTime, subject)})`
  const d = present(best.difference)
  const other = best.slotClass === 'other-light' ? ', unlike the baseline' : ''
  return joined([
    say`${when}, ${lightWords(best)}${other}, dry: conditions account for ${percent(d.meanPct)} (90 % interval ${percentSpan(d.low90Pct, d.high90Pct)}); probability of being within ±${subject.marginPct} %: ${percentSize(d.score)}. `,
    headwindWords(best),
    isCoarse(best, subject)
      ? say` Forecast times are ${hours(best.stepH)} apart here: the air between them is interpolated, and the interval is wider for it.`
      : null,
  ])
}

const lightWords = ({ phase }: SlotFacts): string =>
  phase === 'day' ? 'by daylight' : phase === 'night' ? 'in the dark' : 'at twilight'

/** The headwind along the road, quarter by quarter. */
function headwindWords({ headwindPartsMps: parts, windMps }: SlotFacts): Sentence {
  if (!parts.every(Number.isFinite) || windMps < 0.5) return say`Hardly any wind is forecast.`
  const told = parts.map((mps) => ({ ...figure(mps, 'wind', 1, { sign: true }), bare: true }))
  return joined([
    'Headwind by quarters of the road: ',
    ...told.flatMap((piece, i) => (i === 0 ? [piece] : [', ', piece])),
    ' ',
    { unit: 'wind' },
    '.',
  ])
}

/** Below this share of the one-way interval a there-and-back is worth its second half. */
const WORTH_TURNING = 0.8
const halfWidth = (d: DifferenceFacts): number => (d.high90Pct - d.low90Pct) / 2

/** What to drive differently, where it helps. */
export function windowsAdvice({ thereAndBack, otherDirection }: WindowsSubject): Sentence[] {
  const advice: Sentence[] = []
  if (thereAndBack) {
    const [one, both] = [halfWidth(thereAndBack.oneWay), halfWidth(thereAndBack.both)]
    if (both < WORTH_TURNING * one) {
      advice.push(
        say`Drive there and straight back, without and with the change: most of the wind cancels, and the best start is known to ±${fixed(both, 1)} % instead of ±${fixed(one, 1)} %.`,
      )
    }
  }
  if (otherDirection?.best.difference) {
    const { routeName, best } = otherDirection
    advice.push(
      say`The other direction (${name(routeName)}) has baseline drives of its own and a better start: score ${Math.round(present(best.difference).score)}; ask for it with --road ${name(routeName)}.`,
    )
  }
  return advice
}
