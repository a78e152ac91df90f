import { fixed, signed } from '../../../base/figures.ts'
import type { ReportPair, ReportRun } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import type { Used } from '../../words/used.ts'
import { ends, FACTOR_WORDS, FACTORS, type Factor, largestFactor, plural, sharesOf } from '../../words.ts'
import { amount, unitOf } from '../units.ts'

const WIDTH = 130
const HALF = 62

/** Percent at the ends of the common scale of all shares. */
export function sharesScalePct(pairs: readonly ReportPair[]): number {
  const sizes = pairs.flatMap(({ contributions_interval90_pct: intervals }) =>
    intervals ? Object.values(intervals).flatMap(({ low90, high90 }) => [Math.abs(low90), Math.abs(high90)]) : [],
  )
  return Math.max(1, ...sizes)
}

/** What a pair's difference is made of: each condition in both drives, and what its difference is worth. */
export function pairDetails(
  pair: ReportPair,
  a: ReportRun | null,
  b: ReportRun | null,
  scalePct: number,
  road: Markup | null,
  used: Used,
): Markup | null {
  const shares = sharesOf(pair)
  if (shares === null || a === null || b === null) return null
  const largest = largestFactor(pair)
  const rows = FACTORS.map((factor) => {
    const share = shares[factor]
    const text = signed(share.mean, 1)
    const worth = html`${factor === largest ? html`<strong>${text}</strong>` : text} <span class="range">(${ends(share)})</span>`
    return html`<tr><th scope="row">${FACTOR_WORDS[factor]}</th><td class="figure">${worth}</td><td>${shareBar(share, scalePct)}</td><td class="figure">${condition(factor, b)}</td><td class="figure">${condition(factor, a)}</td></tr>`
  })
  const total = pair.difference_pct
    ? html`<tr><th scope="row">together</th><td class="figure">${signed(pair.difference_pct.mean, 1)} <span class="range">(${ends(pair.difference_pct)})</span></td><td>${shareBar(pair.difference_pct, scalePct)}</td><td></td><td></td></tr>`
    : null
  const informed = pair.fuel_informed_difference_pct
  const withFuel = informed
    ? html`<tr><th scope="row">together, the ${used} known</th><td class="figure">${signed(informed.mean, 1)} <span class="range">(${ends(informed)})</span></td><td>${shareBar(informed, scalePct)}</td><td colspan="2">no longer independent of the ${used}: not for correcting it</td></tr>`
    : null
  return html`<div class="scroll" role="group" aria-label="What makes ${b.id} differ from ${a.id}" tabindex="0"><table class="shares"><caption>Contributions of the conditions to the difference, percent of the energy demand, with 90 % intervals; the contributions add up to the difference, their intervals do not</caption><thead><tr><th scope="col">Condition</th><th scope="col" class="figure">Contribution, %</th><th scope="col">Plot</th><th scope="col" class="figure">${b.id}</th><th scope="col" class="figure">${a.id}</th></tr></thead><tbody>${rows}${total}${withFuel}</tbody></table></div>${road}`
}

function condition(factor: Factor, { air, wind, ...run }: ReportRun): Markup {
  switch (factor) {
    case 'air_density':
      return html`${amount(air.density_kgm3, 'density', 3)}${air.density_kgm3_sd === null ? null : html` ± ${amount(air.density_kgm3_sd, 'density', 3)}`} ${unitOf('density')}`
    case 'wind':
      return html`${windMet(wind)}headwind ${amount(wind.headwind_mps, 'wind', 1, { sign: true })}${wind.headwind_mps_sd === null ? null : html` ± ${amount(wind.headwind_mps_sd, 'wind', 1)}`}, crosswind ${amount(wind.crosswind_abs_mps, 'wind', 1)} ${unitOf('wind')}`
    case 'rolling_temperature':
      return html`air ${amount(air.temperature_c, 'temperature', 1)} ${unitOf('temperature')}`
    case 'speed':
      return html`${amount(run.moving_speed_mps, 'speed', 1)} ${unitOf('speed')} moving, ${plural(run.stop_count, 'stop')}`
    case 'route':
      return html`${amount(run.distance_m, 'distance', 2)} ${unitOf('distance')}, climb ${amount(run.elevation_gain_m, 'height', 0)} ${unitOf('height')}`
  }
}

/** "8.0 m/s from 263°, ": on a loop the headwind alone says little. */
function windMet({ speed_mps, from_deg }: ReportRun['wind']): Markup | null {
  if (speed_mps === null) return null
  return html`${amount(speed_mps, 'wind', 1)} ${unitOf('wind')}${from_deg === null ? null : ` from ${fixed(from_deg, 0)}°`}, `
}

function shareBar({ mean, low90, high90 }: NonNullable<ReportPair['difference_pct']>, scalePct: number): Markup {
  const x = (pct: number): number =>
    Math.round((WIDTH / 2 + Math.max(-1, Math.min(1, pct / scalePct)) * HALF) * 10) / 10
  return html`<svg class="share-bar" aria-hidden="true" viewBox="0 0 ${WIDTH} 12" width="${WIDTH}" height="12"><path class="${mean < 0 ? 'less' : 'more'}" d="M${WIDTH / 2} 6H${x(mean)}"/><path class="axis" d="M${WIDTH / 2} 0V12"/><path class="bar" d="M${x(low90)} 6H${x(high90)}M${x(low90)} 3v6M${x(high90)} 3v6"/></svg>`
}
