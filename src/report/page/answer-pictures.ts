import type { ReportClaim } from '../contract.ts'
import type { Compared, Glance, Helped, Next } from '../glance-answers.ts'
import { html, type Markup } from '../markup.ts'
import { rounded } from '../round.ts'
import { changeAtAGlance } from '../words/glance-claims.ts'
import { type Used, usedInClaim } from '../words/used.ts'
import type { PartsAtMargin } from './margin/part.ts'
import { across, type Scale, scaleFor, ticksOf } from './road/fluid.ts'

/** Ways of drawing how a drive is used: filled, hatched, empty; told apart without colour. */
export function usePatterns(): Markup {
  return html`<svg class="hidden" aria-hidden="true" focusable="false" width="0" height="0"><defs><pattern id="use-corrected" width="6" height="6" patternUnits="userSpaceOnUse"><path class="use-hatch" d="M0 6L6 0M-2 2L2 -2M4 8L8 4"/></pattern></defs></svg>`
}

const BAR_PX = 24

/** How many drives are used as measured, corrected, or not: one bar of three parts. */
export function compareBar({ level, drives, asMeasured, corrected, leftOut }: Compared): Markup {
  const share = (count: number): number => Math.round((10_000 * count) / Math.max(1, drives)) / 100
  const part = (kind: string, from: number, count: number): Markup | null =>
    count === 0
      ? null
      : html`<rect class="use-${kind}"${kind === 'corrected' ? html` fill="url(#use-corrected)"` : null} x="${share(from)}%" y="1" width="${share(count)}%" height="${BAR_PX - 2}"/>`
  // Where nothing can be told of them, no drive is drawn as one that can be used.
  const isKnown = level !== 'not-known' && level !== 'too-few'
  const told = isKnown ? `${asMeasured} as measured, ${corrected} corrected, ${leftOut} excluded` : 'none is judged'
  const parts = isKnown
    ? html`${part('as-measured', 0, asMeasured)}${part('corrected', asMeasured, corrected)}${part('left-out', asMeasured + corrected, leftOut)}`
    : null
  return html`<svg class="picture" role="img" aria-label="Of ${drives} drives: ${told}" width="100%" height="${BAR_PX}">${parts}<rect class="frame" x="0" y="1" width="100%" height="${BAR_PX - 2}"/></svg>`
}

/** How wide the first claim's interval is and would be; a mark alone where that is not known. */
export function nextPicture({ code, widths }: Next): Markup {
  if (widths === null) {
    const d = code === 'publish' ? 'M3 10l5 5L19 3' : 'M2 9h14M10 3l6 6l-6 6'
    return html`<svg class="picture" aria-hidden="true" width="22" height="18"><path class="next-mark" d="${d}"/></svg>`
  }
  const ratio = Math.max(0.02, Math.min(1, widths.after / widths.before))
  const bar = (kind: string, size: number, y: number): Markup => {
    const [from, to] = [`${rounded(50 - 50 * size)}%`, `${rounded(50 + 50 * size)}%`]
    const end = (x: string): Markup => html`<line x1="${x}" x2="${x}" y1="${y - 3}" y2="${y + 3}"/>`
    return html`<g class="${kind}"><line x1="${from}" x2="${to}" y1="${y}" y2="${y}"/>${end(from)}${end(to)}</g>`
  }
  return html`<svg class="picture" role="img" aria-label="The interval now, and above it the narrower one after the step" width="100%" height="18">${bar('after', ratio, 5)}${bar('now', 1, 13)}</svg>`
}

const ROW_PX = 28
/** More claims than these are listed below. */
const MOST_DRAWN = 4

/**
 * Every claim's change on one axis, less to the left: the picture, and its rows by their names.
 * @param used whether the report is about fuel or energy
 */
export function claimsPicture(
  { helped }: Glance,
  rows: readonly { name: Markup; words: Markup; note: Markup }[],
  used: Used,
): { picture: Markup; items: PartsAtMargin } {
  const drawn = helped.slice(0, MOST_DRAWN)
  const scale = claimsScale(drawn)
  const items = drawn.map((one, i): [string, Markup] => {
    const { name, words, note } = rows[i]
    const part = `claim-row-${i + 1}`
    const item = html`<li data-at-margin="${part}"><p class="claim-name"><a href="#claim-${i + 1}">${name}</a> <strong>${words}</strong> <span class="note">${note}</span></p>${interval(one, scale)}</li>`
    return [part, item]
  })
  const empty = helped.length === 0 ? html`<li>${frame(scale, ROW_PX, null)}</li>` : null
  const rest = helped.length - drawn.length
  const baselines = [...new Set(helped.map(({ claim }) => claim.baseline))]
  const against = baselines.length === 1 ? html`<p class="against-what">Compared with "${baselines[0]}"</p>\n` : null
  const picture = html`<div class="claims-picture">
${against}<ul>${items.map(([, item]) => item)}${empty}</ul>
<div class="scale" aria-hidden="true">${axis(scale)}<p><span>← less ${used}</span> <span>more ${used} →</span></p></div>
${rest > 0 ? html`<p class="note"><a href="#claims">${rest} more</a></p>` : null}</div>`
  return { picture, items: Object.fromEntries(items) }
}

/** The change that is told: corrected, or where that is not known, as measured. */
const drawnChange = (claim: ReportClaim): ReportClaim['raw_consumption_change_pct'] =>
  claim.adjusted_consumption_change_pct ?? claim.raw_consumption_change_pct

/** Zero lies within, and less is always to the left. */
function claimsScale(helped: readonly Helped[]): Scale {
  const held = (pct: number): number => Math.max(-45, Math.min(60, pct))
  const ends = helped.flatMap(({ claim }) => {
    const change = drawnChange(claim)
    return change === null ? [] : [held(change.low95), held(change.high95)]
  })
  return scaleFor(ends.length > 0 ? ends : [-5, 5], [0, -1, 1])
}

function interval({ claim, level }: Helped, scale: Scale): Markup {
  const change = drawnChange(claim)
  if (change === null) return frame(scale, ROW_PX, null)
  const shown = level === 'shown' || level === 'reserved'
  const way = !shown ? 'open' : change.estimate < 0 ? 'less' : 'more'
  const [low, mean, high] = [change.low95, change.estimate, change.high95].map((pct) => across(scale, pct))
  const end = (x: string): Markup => html`<line x1="${x}" x2="${x}" y1="7" y2="21"/>`
  const drawing = html`<g class="way-${way}${level === 'reserved' ? ' reserved' : ''}"><line x1="${low}" x2="${high}" y1="14" y2="14"/>${end(low)}${end(high)}<circle cx="${mean}" cy="14" r="6.5"/></g>`
  const measured = claim.adjusted_consumption_change_pct === null ? ', not corrected' : ''
  return frame(scale, ROW_PX, drawing, `${changeAtAGlance(change, usedInClaim(claim))}, 95 % interval${measured}`)
}

function frame(scale: Scale, height: number, content: Markup | null, label = 'no change is known'): Markup {
  const zero = across(scale, 0)
  return html`<svg class="fluid-svg" role="img" aria-label="${label}" width="100%" height="${height}"><line class="zero" x1="${zero}" x2="${zero}" y1="0" y2="${height}"/>${content}</svg>`
}

function axis(scale: Scale): Markup {
  const ticks = ticksOf(scale, 5).map((pct) => {
    const x = across(scale, pct)
    return html`<line class="axis" x1="${x}" x2="${x}" y1="0" y2="4"/><text x="${x}" y="16" text-anchor="middle">${Math.abs(pct)}${pct === 0 ? ' %' : ''}</text>`
  })
  return html`<svg class="fluid-svg" width="100%" height="18"><line class="axis" x1="0" x2="100%" y1="0.5" y2="0.5"/>${ticks}</svg>`
}
