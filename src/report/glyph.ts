import { signed } from '../base/figures.ts'
import type { Report, ReportPair } from './contract.ts'
import { html, type Markup } from './markup.ts'

const WIDTH = 180
const HEIGHT = 22
const EDGE = 8
const MIDDLE = HEIGHT / 2

/** Percent at the ends of the common scale of all glyphs: wide enough for all intervals, at most six margins. */
export function glyphScalePct(report: Report): number {
  const margin = report.settings.margin_pct
  const ends = report.pairs.flatMap(({ difference_pct: d }) => (d ? [Math.abs(d.low90), Math.abs(d.high90)] : []))
  return Math.min(Math.max(2.5 * margin, ...ends), 6 * margin)
}

/** Place of a difference in a glyph, px, held within its scale. */
function placeIn(scalePct: number, pct: number): number {
  const share = Math.max(-1, Math.min(1, pct / scalePct))
  return Math.round((WIDTH / 2 + share * (WIDTH / 2 - EDGE)) * 10) / 10
}

/** Where the band of the margin lies in a glyph, px. */
export function bandPlace(marginPct: number, scalePct: number): { x: number; width: number } {
  const [low, high] = [placeIn(scalePct, -marginPct), placeIn(scalePct, marginPct)]
  return { x: low, width: Math.round((high - low) * 10) / 10 }
}

/** What a glyph shows, in words. */
export const glyphLabel = (d: ReportPair['difference_pct'], marginPct: number): string =>
  d
    ? `${signed(d.mean, 1)} %, 90 % interval ${signed(d.low90, 1)} to ${signed(d.high90, 1)} %, margin ± ${marginPct} %`
    : 'no difference could be computed'

/**
 * A pair's difference drawn to scale: the shaded band is ±margin, the upright line is no difference, the bar is the
 * 90 % interval with the mean on it; an arrow says that it goes on beyond the scale.
 */
export function glyph({ difference_pct: d }: ReportPair, marginPct: number, scalePct: number): Markup {
  const x = (pct: number): number => placeIn(scalePct, pct)
  const { x: from, width } = bandPlace(marginPct, scalePct)
  const band = html`<rect class="band" x="${from}" y="1" width="${width}" height="${HEIGHT - 2}"/>`
  const axis = html`<path class="axis" d="M${EDGE} ${MIDDLE - 3}v6M${WIDTH - EDGE} ${MIDDLE - 3}v6M${EDGE} ${MIDDLE}h${WIDTH - 2 * EDGE}"/>`
  const frame = html`${band}${axis}<line class="zero" x1="${WIDTH / 2}" x2="${WIDTH / 2}" y1="1" y2="${HEIGHT - 1}"/>`
  const label = glyphLabel(d, marginPct)
  const open = html`<svg class="glyph" role="img" aria-label="${label}" viewBox="0 0 ${WIDTH} ${HEIGHT}" width="${WIDTH}" height="${HEIGHT}">`
  if (!d) return html`${open}${frame}<text class="none" x="${WIDTH / 2 + 6}" y="${MIDDLE + 4}">?</text></svg>`
  const [low, mean, high] = [x(d.low90), x(d.mean), x(d.high90)]
  const bar = html`<line class="bar" x1="${low}" x2="${high}" y1="${MIDDLE}" y2="${MIDDLE}"/>`
  const lowEnd = d.low90 < -scalePct ? arrow(low, -1) : tick(low)
  const highEnd = d.high90 > scalePct ? arrow(high, 1) : tick(high)
  const dot = Math.abs(d.mean) > scalePct ? null : html`<circle class="mean" cx="${mean}" cy="${MIDDLE}" r="3.2"/>`
  return html`${open}${frame}${bar}${lowEnd}${highEnd}${dot}</svg>`
}

const tick = (at: number): Markup =>
  html`<line class="bar" x1="${at}" x2="${at}" y1="${MIDDLE - 4}" y2="${MIDDLE + 4}"/>`
const arrow = (at: number, way: 1 | -1): Markup =>
  html`<path class="arrow" d="M${at + way * 6} ${MIDDLE}l${-way * 7} -4v8z"/>`
