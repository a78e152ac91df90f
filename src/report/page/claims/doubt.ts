import { fixed } from '../../../base/figures.ts'
import { type NextStep, STEP_SHRINKS } from '../../../claim/next-step.ts'
import type { ReportClaim } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { type Used, usedInClaim } from '../../words/used.ts'

/** The sources of a claim's uncertainty in words. */
const SOURCE_WORDS: Record<string, string> = {
  fills: 'refuelling',
  pump_meter: 'pump meter',
  fuel_temperature: 'fuel temperature',
  fuel_batch: 'energy of the fuel filled that day',
  distance: 'distance',
  conditions: 'correction for conditions',
  repeatability: 'run-to-run repeatability',
  other_readings: 'scatter of the other readings',
  between_routes: 'differences from road to road',
}

const STEP_WORDS: Record<string, string> = {
  'more-runs': 'one more drive of each',
  'weigh-the-fuel': 'weighing the fuel',
  'longer-route': 'a road twice as long',
  'nearer-anemometer': 'an anemometer by the road',
}

const SMALLEST_DRAWN = 0.005
const PATTERNS = 6

const shrinks = (step: NextStep['step'], source: string): boolean =>
  STEP_SHRINKS[step].some((shrunk) => shrunk === source)

/** The same where energy is charged instead of fuel filled. */
const CHARGE_WORDS: Record<string, string> = { fills: 'charging', pump_meter: 'charge meter' }

/** A source of a claim's uncertainty in words. */
export const sourceInWords = (source: string, used: Used): string =>
  (used === 'energy' ? CHARGE_WORDS[source] : undefined) ?? SOURCE_WORDS[source] ?? source.replaceAll('_', ' ')

/** Where a claim's doubt comes from: one bar divided by the shares of its variance, with what would shrink each. */
export function doubtFigure(claim: ReportClaim): Markup | null {
  const { uncertainty_shares, next_steps } = claim
  const used = usedInClaim(claim)
  const shares = Object.entries(uncertainty_shares)
    .filter(([, share]) => share >= SMALLEST_DRAWN)
    .sort(([, a], [, b]) => b - a)
  if (shares.length === 0) return null
  let left = 0
  const pieces = shares.map(([, share], i) => {
    const x = left
    left += share
    const letter =
      share >= 0.05 ? html`<text x="${percent(x + share / 2)}" y="19" text-anchor="middle">${letterOf(i)}</text>` : null
    return html`<rect class="piece" fill="url(#hatch-${i % PATTERNS})" x="${percent(x)}" y="1" width="${percent(share)}" height="26"/>${letter}`
  })
  const rows = shares.map(([source, share], i) => {
    const steps = next_steps.filter((next) => shrinks(next.step, source) && narrows(next))
    const told = steps.map(
      ({ step, width_before_pct, width_after_pct }) =>
        html`<li>${STEP_WORDS[step] ?? step}: 95 % interval width ${fixed(width_before_pct, 1)} → ${fixed(width_after_pct, 1)} points</li>`,
    )
    return html`<tr><th scope="row"><svg class="swatch" aria-hidden="true" width="26" height="14"><rect class="piece" fill="url(#hatch-${i % PATTERNS})" width="26" height="14"/></svg> ${letterOf(i)}</th><td>${sourceInWords(source, used)}</td><td class="figure">${fixed(100 * share, 0)}</td><td>${told.length > 0 ? html`<ul class="plain">${told}</ul>` : 'no step among those computed'}</td></tr>\n`
  })
  const words = shares.map(([source, share]) => `${sourceInWords(source, used)} ${fixed(100 * share, 0)} %`).join(', ')
  return html`<figure class="doubt"><svg class="fluid-svg" role="img" aria-label="Shares of the uncertainty: ${words}" width="100%" height="28">${pieces}</svg>
<div class="scroll" role="group" aria-label="Sources of uncertainty" tabindex="0"><table><caption>Sources of uncertainty: shares of the variance of the corrected change, percent, and what would reduce each</caption>
<thead><tr><th scope="col">Piece</th><th scope="col">Source</th><th scope="col" class="figure">Share</th><th scope="col">What would reduce it</th></tr></thead>
<tbody>${rows}</tbody></table></div></figure>
`
}

/** Whether a step gains anything at the decimal that is shown: "6.0 → 6.0" would reduce nothing. */
const narrows = ({ width_before_pct, width_after_pct }: ReportClaim['next_steps'][number]): boolean =>
  Number(width_after_pct.toFixed(1)) < Number(width_before_pct.toFixed(1))

const percent = (share: number): string => `${Math.round(share * 10_000) / 100}%`
const letterOf = (i: number): string => String.fromCharCode(65 + i)

/** The hatchings of divided bars, once in a page. */
export function hatchings(): Markup {
  const lines = [
    null,
    html`<path class="hatch" d="M0 8L8 0M-2 2L2 -2M6 10L10 6"/>`,
    html`<circle class="hatch-dot" cx="4" cy="4" r="1.4"/>`,
    html`<path class="hatch" d="M0 4H8"/>`,
    html`<path class="hatch" d="M4 0V8M0 4H8"/>`,
    html`<path class="hatch" d="M0 0L8 8M-2 6L2 10M6 -2L10 2"/>`,
  ]
  const patterns = lines.map(
    (content, i) =>
      html`<pattern id="hatch-${i}" width="8" height="8" patternUnits="userSpaceOnUse"><rect class="hatch-ground ground-${i}" width="8" height="8"/>${content}</pattern>`,
  )
  return html`<svg class="hidden" aria-hidden="true" focusable="false" width="0" height="0"><defs>${patterns}</defs></svg>`
}
