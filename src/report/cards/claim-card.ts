import { signed } from '../../base/figures.ts'
import { cleaned } from '../../base/names.ts'
import { name, plainText, say } from '../../base/sentence.ts'
import type { Report, ReportClaim } from '../contract.ts'
import { changeWords, rangeWords } from '../words/changes.ts'
import { claimReason } from '../words/claim-reasons.ts'
import { claimSentences, comparedWords, doubtsOf, drivesWords, roadOfClaim } from '../words/claims.ts'
import { intervalScale } from './interval-scale.ts'
import { ACCENT, type Box, type Cell, fitted, GROUND, grid, INK, line, paragraph, SOFT, tag, text } from './label.ts'
import type { Card, Mark, Typefaces } from './marks.ts'
import { textWidth } from './typeface.ts'

/** A claim as a strip along the foot of a film, 1920 × 1080 with a clear ground. */
export function wideClaimCard(claim: ReportClaim, report: Report, typefaces: Typefaces): Card {
  const [left, right] = [700, 1796]
  const change = claim.adjusted_consumption_change_pct
  const figure = change ? `${signed(change.estimate, 1)} %` : '?'
  const marks: Mark[] = [
    ...tag({ x: 96, y: 530, width: 1728, height: 496 }, 'left'),
    fitted(text(204, 610, claim.setup, 54, { weight: 600 }), 440, typefaces),
    fitted(text(204, 658, `compared with ${claim.baseline}`, 34), 440, typefaces),
    fitted(text(204, 822, figure, 148, { weight: 600, color: colorOf(claim) }), 450, typefaces),
    fitted(text(204, 876, `${fuelOf(claim)} for the same distance`, 34), 440, typefaces),
    text(204, 918, change ? 'at equal conditions' : 'corrected to equal conditions: not known', 34),
    line('M672 530V1026'),
    ...stamp(claim, right, 556, 38, typefaces),
    ...headOfScale(claim, left, 602, 760, 44, typefaces),
    ...body(claim, { x: left, y: 634, width: right - left, height: 158 }, 28, typefaces),
    line('M672 810H1824'),
    ...grid(claimCells(claim, report), { x: left, y: 810, width: right - left, height: 116 }, 4, 42, typefaces),
    line('M672 926H1824'),
    ...foot(claim, report, { x: left, y: 926, width: right - left, height: 100 }, 2, typefaces),
  ]
  return { width: 1920, height: 1080, clearAbove: 528, ...alternativeText(claim), marks }
}

/** A claim as a square picture, 1080 × 1080, opaque. */
export function squareClaimCard(claim: ReportClaim, report: Report, typefaces: Typefaces): Card {
  const [left, right] = [100, 980]
  const change = claim.adjusted_consumption_change_pct
  const figure = change ? `${signed(change.estimate, 1)} %` : '?'
  const words = 460
  const marks: Mark[] = [
    line('M0 0H1080V1080H0z', { fill: GROUND, stroke: null }),
    ...tag({ x: 48, y: 48, width: 984, height: 984 }, 'top'),
    fitted(text(left, 190, claim.setup, 70, { weight: 600 }), right - left, typefaces),
    fitted(text(left, 240, `compared with ${claim.baseline}`, 40), right - left, typefaces),
    line('M48 268H1032'),
    fitted(text(left, 422, figure, 158, { weight: 600, color: colorOf(claim) }), 450, typefaces),
    fitted(text(left, 474, `${fuelOf(claim)} for the same`, 36), 430, typefaces),
    text(left, 516, 'distance, at equal conditions', 36),
    ...stamp(claim, right, 306, 42, typefaces),
    ...headOfScale(claim, right - words, 458, words, 40, typefaces, 'end'),
    ...body(claim, { x: left, y: 540, width: right - left, height: 164 }, 30, typefaces),
    line('M48 716H1032'),
    ...grid(claimCells(claim, report), { x: left, y: 716, width: right - left, height: 194 }, 2, 46, typefaces),
    line('M48 910H1032'),
    ...foot(claim, report, { x: left, y: 910, width: right - left, height: 122 }, 2, typefaces),
  ]
  return { width: 1080, height: 1080, clearAbove: 0, ...alternativeText(claim), marks }
}

/** The colour of the change: only what is supported stands out. */
const colorOf = ({ verdict }: ReportClaim): string => (verdict === 'supported' ? ACCENT : INK)

const fuelOf = ({ measured_per_100_km: measured }: ReportClaim): string =>
  measured?.unit === 'kWh' ? 'energy' : 'fuel'

/** The verdict, framed as if stamped on. */
function stamp(claim: ReportClaim, right: number, top: number, size: number, typefaces: Typefaces): Mark[] {
  const { verdict } = claim
  const words = verdict.toUpperCase()
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

function claimCells(claim: ReportClaim, { runs }: Report): Cell[] {
  const distance = claim.adjusted_distance_per_fuel_change_pct
  const conditions = claim.conditions_change_pct
  const days = runs
    .filter(({ id }) => claim.runs.includes(id) || claim.baseline_runs.includes(id))
    .map(({ start_time }) => start_time.slice(0, 10))
    .sort()
  const [first, last] = [days[0], days[days.length - 1]]
  return [
    {
      caption: `distance for the same ${fuelOf(claim)}`,
      value: distance ? `${signed(distance.estimate, 1)} %` : '–',
      more: distance ? rangeWords(distance) : '',
    },
    {
      caption: 'due to conditions, removed',
      value: conditions ? `${signed(conditions.estimate, 1)} %` : '–',
      more: conditions ? rangeWords(conditions) : '',
    },
    { caption: 'drives', value: `${claim.runs.length}`, more: `against ${claim.baseline_runs.length}` },
    {
      caption: 'driven',
      value: first ?? '–',
      more:
        first === last || last === undefined
          ? ''
          : `to ${last.slice(0, 4) === first.slice(0, 4) ? last.slice(5) : last}`,
    },
  ]
}

/** What asks for care, if anything, over the road and who computed it. */
function foot(claim: ReportClaim, { version }: Report, box: Box, lines: number, typefaces: Typefaces): Mark[] {
  const road = claim.route === null && !claim.pooled ? '' : `${cleaned(roadOfClaim(claim))}. `
  const origin = text(box.x, 0, `${road}An estimate, no certification. ceteris ${version}`, 25, { color: SOFT })
  const doubt = doubtsOf(claim)
    .slice(0, 1)
    .map((words) => text(box.x, 0, plainText(words), 25))
  const rows = [
    ...doubt.flatMap((mark) => paragraph(mark, box.width, lines, typefaces)),
    fitted(origin, box.width, typefaces),
  ]
  const step = 30
  const first = box.y + box.height / 2 + 8 - ((rows.length - 1) * step) / 2
  return rows.map((mark, i) => ({ ...mark, y: first + i * step }))
}

function alternativeText(claim: ReportClaim): { title: string; description: string } {
  const road = claim.route === null ? null : say` on ${name(claim.route)}`
  return {
    title: plainText(say`Claim: ${comparedWords(claim)}${road}`),
    description: `${plainText(claimSentences({ claims: [claim] })[0])} Drives: ${drivesWords(claim)}.`,
  }
}
