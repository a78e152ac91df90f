import { signed } from '../../../base/figures.ts'
import type { Report, ReportClaim } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { type Interval95, rangeWords } from '../../words/claims/changes.ts'
import { CLAIM_VERDICT_WORDS, comparedWords, roadOfClaim } from '../../words/claims/claims.ts'
import { type Used, usedInClaim } from '../../words/used.ts'
import { across, type Scale, scaleFor, ticksOf } from '../road/fluid.ts'
import { marked } from '../sentences.ts'

/** Change of the distance per fuel for a change of the consumption, both in percent. */
export const distancePerFuelPct = (consumptionPct: number): number => 100 * (100 / (100 + consumptionPct) - 1)

/** One scale for all effects of a report, with zero in it; null where there is no effect to draw. */
export function effectScale({ claims, parts, part_groups }: Report): Scale | null {
  const intervals = [
    ...claims.flatMap((c) => [c.raw_consumption_change_pct, c.adjusted_consumption_change_pct]),
    ...parts.map((part) => part.consumption_change_pct),
    ...part_groups.map((group) => group.combined_change_pct),
  ].filter((interval) => interval !== null)
  if (intervals.length === 0) return null
  // An interval that reaches over most of the scale says nothing more by reaching further.
  const held = (pct: number): number => Math.max(-45, Math.min(60, pct))
  return scaleFor(
    intervals.flatMap(({ low95, high95 }) => [held(low95), held(high95)]),
    [0, -1, 1],
  )
}

/** The effects of all claims moving from raw to adjusted, on the axes of both conventions. */
export function effectsFigure(claims: readonly ReportClaim[], scale: Scale): Markup | null {
  const used: Used = claims.every((claim) => usedInClaim(claim) === 'energy') ? 'energy' : 'fuel'
  const drawn = claims.filter((claim) => claim.raw_consumption_change_pct || claim.adjusted_consumption_change_pct)
  if (drawn.length === 0) return null
  const rows = drawn.map((claim) => {
    const { sign } = CLAIM_VERDICT_WORDS[claim.verdict]
    return html`<div class="effect"><p class="effect-name"><span aria-hidden="true">${sign}</span> ${marked(comparedWords(claim))}, ${roadOfClaim(claim)}: ${claim.verdict}</p>${fromRawToAdjusted(claim, scale)}</div>`
  })
  return html`<figure class="effects"><div class="fluid">${axis(scale, 'distance', used)}${rows}${axis(scale, 'consumption', used)}</div>
<figcaption>The open square is the change as measured, the filled dot the change corrected to equal conditions, each on its 95 % interval; the line between them is the correction. Left of the upright line less ${used} was used. Above: change of distance for the same ${used}; below: change of consumption, percent.</figcaption></figure>
`
}

/** Upper row: as measured. Lower row: adjusted. Between them the move from one to the other. */
function fromRawToAdjusted(claim: ReportClaim, scale: Scale): Markup {
  const raw = claim.raw_consumption_change_pct
  const adjusted = claim.adjusted_consumption_change_pct
  const words = [
    raw ? `as measured ${signed(raw.estimate, 1)} %, 95 % interval ${rangeWords(raw)}` : 'not measured',
    adjusted
      ? `corrected to equal conditions ${signed(adjusted.estimate, 1)} %, 95 % interval ${rangeWords(adjusted)}`
      : 'not corrected',
  ].join('; ')
  const move =
    raw && adjusted
      ? html`<line class="move" x1="${across(scale, raw.estimate)}" y1="16" x2="${across(scale, adjusted.estimate)}" y2="35"/>`
      : null
  return html`<svg class="fluid-svg" role="img" aria-label="Consumption: ${words}" width="100%" height="50">${zero(scale, 50)}${raw ? interval(raw, scale, 11, 'raw') : null}${move}${adjusted ? interval(adjusted, scale, 39, 'adjusted') : null}</svg>`
}

/** One effect alone, for a cell or a row of a list. */
export function effectGlyph(change: Interval95 | null, scale: Scale): Markup {
  if (change === null) return html`–`
  const words = `${signed(change.estimate, 1)} %, 95 % interval ${rangeWords(change)}`
  return html`<svg class="fluid-svg effect-glyph" role="img" aria-label="${words}" width="100%" height="24">${zero(scale, 24)}${interval(change, scale, 12, 'adjusted')}</svg>`
}

const zero = (scale: Scale, height: number): Markup =>
  html`<line class="zero" x1="${across(scale, 0)}" x2="${across(scale, 0)}" y1="0" y2="${height}"/>`

function interval({ estimate, low95, high95 }: Interval95, scale: Scale, y: number, kind: 'raw' | 'adjusted'): Markup {
  const [low, mean, high] = [low95, estimate, high95].map((pct) => across(scale, pct))
  const mark =
    kind === 'raw'
      ? html`<svg x="${mean}" y="${y}" overflow="visible"><rect class="open" x="-4.5" y="-4.5" width="9" height="9"/></svg>`
      : html`<circle class="mean" cx="${mean}" cy="${y}" r="5"/>`
  const ends = [low, high].map((x) => html`<line class="bar" x1="${x}" x2="${x}" y1="${y - 5}" y2="${y + 5}"/>`)
  return html`<line class="bar ${kind}" x1="${low}" x2="${high}" y1="${y}" y2="${y}"/>${ends}${mark}`
}

/** The axis of one convention; the ticks of the distance stand where the consumption's change makes them. */
function axis(scale: Scale, convention: 'consumption' | 'distance', used: Used): Markup {
  const below = convention === 'consumption'
  const distances: Scale = { from: distancePerFuelPct(scale.to), to: distancePerFuelPct(scale.from) }
  const ticks = below
    ? ticksOf(scale, 6).map((pct) => ({ pct, at: pct }))
    : ticksOf(distances, 6).map((pct) => ({ pct, at: 100 * (100 / (100 + pct) - 1) }))
  const y = below ? [0, 5, 18] : [22, 17, 13]
  const marks = ticks.map(
    ({ pct, at }) =>
      html`<line class="axis" x1="${across(scale, at)}" x2="${across(scale, at)}" y1="${y[0]}" y2="${y[1]}"/><text x="${across(scale, at)}" y="${y[2]}" text-anchor="middle">${signed(pct, Number.isInteger(pct) ? 0 : 1)}</text>`,
  )
  const name = below ? 'consumption, %' : `distance for the same ${used}, %`
  return html`<p class="axis-name" aria-hidden="true">${below ? null : name}</p><svg class="fluid-svg axis-row" aria-hidden="true" width="100%" height="22"><line class="axis" x1="0" x2="100%" y1="${y[0]}" y2="${y[0]}"/>${marks}</svg>${below ? html`<p class="axis-name" aria-hidden="true">${name}</p>` : null}`
}
