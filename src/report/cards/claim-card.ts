import { signed } from '../../base/figures.ts'
import { cleaned } from '../../base/names.ts'
import { name, plainText, say } from '../../base/sentence.ts'
import type { Report, ReportClaim, ReportPair } from '../contract.ts'
import { changeWords, rangeWords } from '../words/claims/changes.ts'
import { claimReason, doesWords } from '../words/claims/claim-reasons.ts'
import { claimSentences, comparedWords, doubtsOf, drivesWords, roadOfClaim } from '../words/claims/claims.ts'
import { clockTime } from '../words/drives/recordings.ts'
import { usedInClaim } from '../words/used.ts'
import { intervalScale } from './interval-scale.ts'
import {
  type Box,
  type Cell,
  fitted,
  GROUND,
  grid,
  INK,
  LESS,
  line,
  MORE,
  paragraph,
  SOFT,
  tag,
  text,
} from './label.ts'
import type { Card, Mark, TextMark, Typefaces } from './marks.ts'
import { textWidth } from './typeface.ts'
import { vehicleMark } from './vehicle-mark.ts'

/** A claim as a strip along the foot of a film, 1920 × 1080 with a clear ground. */
export function wideClaimCard(claim: ReportClaim, report: Report, typefaces: Typefaces): Card {
  const [left, right] = [700, 1796]
  const marks: Mark[] = [
    ...tag({ x: 96, y: 530, width: 1728, height: 496 }, 'left'),
    fitted(text(204, 576, report.title ?? '', 27, { color: SOFT }), 440, typefaces),
    ...vehicleMark(text(204, 718, '', 27, { color: SOFT }), report, 440, typefaces),
    fitted(text(204, 636, claim.setup, 54, { weight: 600 }), 440, typefaces),
    fitted(text(204, 680, `compared with ${claim.baseline}`, 34), 440, typefaces),
    fitted(text(204, 834, figureOf(claim), 148, { weight: 600, color: colorOf(claim) }), 450, typefaces),
    fitted(text(204, 888, `${changeOf(claim)} for the same distance`, 34), 440, typefaces),
    text(204, 930, conditionsOf(claim), 34),
    fitted(text(204, 984, measuredOf(claim), 30, { color: SOFT }), 440, typefaces),
    line('M672 530V1026'),
    ...stamp(claim, right, 556, 38, typefaces),
    ...headOfScale(claim, left, 602, 560, 44, typefaces),
    ...body(claim, { x: left, y: 634, width: right - left, height: 158 }, 28, typefaces),
    line('M672 810H1824'),
    ...grid(claimCells(claim, report), { x: left, y: 810, width: right - left, height: 116 }, 4, 42, typefaces),
    line('M672 926H1824'),
    ...foot(claim, report, { x: left, y: 926, width: right - left, height: 100 }, typefaces),
  ]
  return { width: 1920, height: 1080, clearAbove: 528, ...alternativeText(claim, report), marks }
}

/** A claim as a square picture, 1080 × 1080, opaque. */
export function squareClaimCard(claim: ReportClaim, report: Report, typefaces: Typefaces): Card {
  const [left, right] = [100, 980]
  const words = 400
  const marks: Mark[] = [
    line('M0 0H1080V1080H0z', { fill: GROUND, stroke: null }),
    ...tag({ x: 48, y: 48, width: 984, height: 984 }, 'top'),
    fitted(
      text(left, 156, report.title ?? '', 30, { color: SOFT }),
      report.settings.vehicle_name === null ? right - left : 540,
      typefaces,
    ),
    ...vehicleMark(text(right, 156, '', 30, { anchor: 'end', color: SOFT }), report, 320, typefaces),
    fitted(text(left, 220, claim.setup, 62, { weight: 600 }), 430, typefaces),
    fitted(text(right, 220, `compared with ${claim.baseline}`, 40, { anchor: 'end' }), 420, typefaces),
    line('M48 250H1032'),
    fitted(text(left, 400, figureOf(claim), 158, { weight: 600, color: colorOf(claim) }), 450, typefaces),
    fitted(text(left, 450, `${changeOf(claim)} for the same`, 36), 450, typefaces),
    text(left, 492, `distance, ${conditionsOf(claim)}`, 36),
    ...stamp(claim, right, 284, 36, typefaces),
    ...headOfScale(claim, right - words, 408, words, 40, typefaces, 'end'),
    fitted(text(right, 492, measuredOf(claim), 28, { anchor: 'end', color: SOFT }), 410, typefaces),
    ...body(claim, { x: left, y: 516, width: right - left, height: 164 }, 30, typefaces),
    line('M48 692H1032'),
    ...grid(claimCells(claim, report), { x: left, y: 692, width: right - left, height: 194 }, 2, 46, typefaces),
    line('M48 886H1032'),
    ...foot(claim, report, { x: left, y: 886, width: right - left, height: 140 }, typefaces),
  ]
  return { width: 1080, height: 1080, clearAbove: 0, ...alternativeText(claim, report), marks }
}

const figureOf = ({ adjusted_consumption_change_pct: change }: ReportClaim): string =>
  change ? `${Math.abs(change.estimate).toFixed(1)} %` : '?'

/** "less fuel": the sign of the change in words, which the figure above it does not repeat. */
function changeOf(claim: ReportClaim): string {
  const change = claim.adjusted_consumption_change_pct
  if (change === null) return usedInClaim(claim)
  return `${change.estimate < 0 ? 'less' : 'more'} ${usedInClaim(claim)}`
}

const conditionsOf = ({ adjusted_consumption_change_pct: change }: ReportClaim): string =>
  change ? 'at equal conditions' : 'at equal conditions: not known'

/** "6.65 against 6.97 l/100 km, as measured". */
const measuredOf = ({ measured_per_100_km: measured }: ReportClaim): string =>
  measured
    ? `${measured.setup.toFixed(2)} against ${measured.baseline.toFixed(2)} ${measured.unit}/100 km, as measured`
    : ''

/** The colour of the change: only what is supported stands out, less fuel in another colour than more. */
function colorOf({ verdict, adjusted_consumption_change_pct: change }: ReportClaim): string {
  if (verdict !== 'supported' || change === null) return INK
  return change.estimate < 0 ? LESS : MORE
}

const restsOnOneDrive = ({ runs, baseline_runs, stints }: ReportClaim): boolean =>
  stints === null && Math.min(runs.length, baseline_runs.length) === 1

/** The verdict, framed as if stamped on; what rests on one drive does not look as strong as what rests on several. */
function stamp(claim: ReportClaim, right: number, top: number, size: number, typefaces: Typefaces): Mark[] {
  const { verdict } = claim
  const words = `${verdict}${verdict === 'supported' && restsOnOneDrive(claim) ? ' by one drive' : ''}`.toUpperCase()
  const width = textWidth(words, size, typefaces[600]) + 1.1 * size
  const x = Math.round(right - width)
  const color = colorOf(claim)
  return [
    line(`M${x} ${top}H${right}V${Math.round(top + 1.6 * size)}H${x}z`, {
      stroke: color,
      width: 4,
      dash: verdict === 'supported' ? [] : [12, 8],
    }),
    text(x + 0.55 * size, top + 1.14 * size, words, size, { weight: 600, color }),
  ]
}

function headOfScale(
  { adjusted_consumption_change_pct: change }: ReportClaim,
  x: number,
  y: number,
  width: number,
  size: number,
  typefaces: Typefaces,
  anchor: 'start' | 'end' = 'start',
): Mark[] {
  if (change === null) return []
  const [at, wide] = [anchor === 'start' ? x : x + width, anchor === 'start']
  const range = rangeWords(change)
  if (wide) return [fitted(text(at, y, `95 % interval ${range}`, size, { weight: 600 }), width, typefaces)]
  return [
    text(at, y, '95 % interval', 0.85 * size, { anchor, color: SOFT }),
    fitted(text(at, y + 1.3 * size, range, 1.1 * size, { weight: 600, anchor }), width, typefaces),
  ]
}

/** The scale, or why there is none. */
function body(claim: ReportClaim, box: Box, size: number, typefaces: Typefaces): Mark[] {
  const { raw_consumption_change_pct: raw, adjusted_consumption_change_pct: adjusted } = claim
  if (adjusted) return intervalScale(raw, adjusted, box, size, colorOf(claim))
  const measured = raw ? ` As measured, without correction: ${changeWords(raw)}.` : ''
  const words = text(box.x, box.y + 1.2 * size, `${plainText(claimReason(claim))}${measured}`, size)
  return paragraph(words, box.width, 4, typefaces)
}

function claimCells(claim: ReportClaim, report: Report): Cell[] {
  const distance = claim.adjusted_distance_per_fuel_change_pct
  const conditions = claim.conditions_change_pct
  return [
    {
      caption: `distance for the same ${usedInClaim(claim)}`,
      value: distance ? `${signed(distance.estimate, 1)} %` : '–',
      more: distance ? rangeWords(distance) : '',
    },
    {
      caption: 'due to conditions, removed',
      value: conditions ? `${signed(conditions.estimate, 1)} %` : '–',
      more: conditions ? rangeWords(conditions) : '',
    },
    { caption: 'drives', value: `${claim.runs.length}`, more: `against ${claim.baseline_runs.length}` },
    comparabilityCell(claim, report),
  ]
}

/** How many pairs of a drive with the setup and one of the baseline can be used. */
function comparabilityCell({ runs, baseline_runs }: ReportClaim, { pairs }: Report): Cell {
  const across = pairs.filter(
    ({ a, b }) => (runs.includes(a) && baseline_runs.includes(b)) || (runs.includes(b) && baseline_runs.includes(a)),
  )
  const count = (verdict: ReportPair['verdict']): number => across.filter((pair) => pair.verdict === verdict).length
  const [asMeasured, corrected] = [count('comparable'), count('adjustable')]
  return {
    caption: 'pairs that can be compared',
    value: across.length === 0 ? '–' : `${asMeasured + corrected}`,
    more: across.length === 0 ? '' : `of ${across.length}${corrected > 0 ? `, ${corrected} corrected` : ''}`,
  }
}

/** "2026-04-14 to 04-21": the days on which a claim's drives were made. */
function daysOf(claim: ReportClaim, { runs, settings }: Report): string {
  const days = runs
    .filter(({ id }) => claim.runs.includes(id) || claim.baseline_runs.includes(id))
    .map(({ start_time }) => clockTime(start_time, settings.time_zone, 'yyyy-MM-dd'))
    .sort()
  const [first, last] = [days[0], days[days.length - 1]]
  if (first === last || first === undefined) return first ?? ''
  return `${first} to ${last.slice(0, 4) === first.slice(0, 4) ? last.slice(5) : last}`
}

/** What asks for care and what to do next, over where and when it was driven and who computed it. */
function foot(claim: ReportClaim, report: Report, box: Box, typefaces: Typefaces): Mark[] {
  const [doubt] = doubtsOf(claim)
  const [next] = claim.next_steps
  const words = (told: string): TextMark => text(box.x, 0, told, 25)
  const reservation = doubt ? paragraph(words(plainText(doubt)), box.width, 3, typefaces) : []
  const step = next ? `Next: ${plainText(doesWords(next.step, claim)).replace(/,$/, '')}.` : null
  // A long reservation is told in full, and the next step gives way to it.
  const advice =
    step === null || reservation.length > 2 ? [] : paragraph(words(step), box.width, doubt ? 1 : 2, typefaces)
  const place = claim.route === null && !claim.pooled ? '' : cleaned(roadOfClaim(claim))
  const origin = [place, daysOf(claim, report)].filter((part) => part !== '').join(', ')
  const rows = [
    ...reservation,
    ...advice,
    fitted(
      {
        ...words(`${origin === '' ? '' : `${origin}. `}An estimate, no certification. ceteris ${report.version}`),
        color: SOFT,
      },
      box.width,
      typefaces,
    ),
  ]
  const rowHeight = Math.min(31, (box.height - 4) / rows.length)
  const first = box.y + box.height / 2 + 0.26 * rowHeight - ((rows.length - 1) * rowHeight) / 2
  return rows.map((mark, i) => ({ ...mark, size: (mark.size * rowHeight) / 31, y: first + i * rowHeight }))
}

function alternativeText(claim: ReportClaim, { title, settings }: Report): { title: string; description: string } {
  const road = claim.route === null ? null : say` on ${name(claim.route)}`
  const [doubt] = doubtsOf(claim)
  return {
    title: plainText(say`Claim: ${comparedWords(claim)}${road}`),
    description: `${[title, settings.vehicle_name].map((text) => (text === null ? '' : `${cleaned(text)}. `)).join('')}${plainText(claimSentences({ claims: [claim] })[0])} Drives: ${drivesWords(claim)}.${doubt ? ` ${plainText(doubt)}` : ''}`,
  }
}
