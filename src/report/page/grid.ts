import { signed } from '../../base/figures.ts'
import type { Report, ReportPair, Verdict } from '../contract.ts'
import { glyphScalePct, tinyGlyph } from '../glyph.ts'
import { html, type Markup, scrolled } from '../markup.ts'
import { onOneRoad } from '../words/answer.ts'
import { VERDICT_WORDS } from '../words.ts'
import { linkTo, pairAnchor } from './anchors.ts'
import { pairsPicture } from './pairs-picture.ts'

/** Up to so many drives each pair has a cell that leads to it; up to so many more all are one picture. */
const MOST_RUNS_IN_GRID = 40
const MOST_RUNS_IN_PICTURE = 100
const MOST_RUNS_ON_PAPER = 9

/** A verdict with its sign; the sign alone is never the only carrier. */
export function verdictTag(verdict: Verdict): Markup {
  const { sign, word } = VERDICT_WORDS[verdict]
  return html`<span class="verdict ${verdict}"><span aria-hidden="true">${sign}</span> ${word}</span>`
}

/** All pairs at one glance; null where there are none, or too many. */
export function pairsGrid(report: Report, every: Iterable<ReportPair>): Markup | null {
  const { runs, pairs } = report
  if (pairs.length === 0 || runs.length > MOST_RUNS_IN_PICTURE) return null
  if (runs.length <= MOST_RUNS_IN_GRID) return grid(report)
  const picture = scrolled('Every pair', pairsPicture(report, [...every], gridScale(report)))
  return html`<div class="screen-only">${picture}</div>${tooBroad(runs.length)}`
}

/** In so little room the band must be wide enough to be seen; what goes beyond ends at the cell's edge. */
const gridScale = (report: Report): number => Math.min(glyphScalePct(report), 3 * report.settings.margin_pct)

const tooBroad = (count: number): Markup =>
  html`<p class="paper-only">The grid of ${count} drives is too broad for paper; the pairs are listed below.</p>\n`

/** Each pair as a tiny drawing of its difference against the band, with its verdict's sign; it leads to the pair. */
function grid(report: Report): Markup {
  const { runs, pairs, settings } = report
  const found = new Map(pairs.map((pair) => [`${pair.b}\n${pair.a}`, pair]))
  const scale = gridScale(report)
  const cell = (row: number, column: number): Markup => {
    if (row === column) return html`<td class="self"><span aria-hidden="true">·</span></td>`
    const pair = found.get(`${runs[row].id}\n${runs[column].id}`)
    // Drives of two roads are no pair to look at.
    if (pair === undefined || !onOneRoad(pair)) return html`<td></td>`
    const { sign, word } = VERDICT_WORDS[pair.verdict]
    const figures = pair.difference_pct ? `, ${signed(pair.difference_pct.mean, 1)} %` : ''
    return html`<td class="${pair.verdict}"><a href="${linkTo(pairAnchor(runs[column].id, runs[row].id))}"><span aria-hidden="true">${sign}</span>${tinyGlyph(pair, settings.margin_pct, scale)}<span class="hidden">${row + 1} against ${column + 1}: ${word}${figures}</span></a></td>`
  }
  const head = runs.map((run, i) => html`<th scope="col"><abbr title="${run.id}">${i + 1}</abbr></th>`)
  const rows = runs.map(
    (row, i) =>
      html`<tr><th scope="row"><span class="number">${i + 1}</span> ${row.id}</th>${runs.map((_, column) => cell(i, column))}</tr>\n`,
  )
  const legend = (Object.keys(VERDICT_WORDS) as Verdict[])
    .filter((verdict) => pairs.some((pair: ReportPair) => onOneRoad(pair) && pair.verdict === verdict))
    .map((verdict) => html`<div>${verdictTag(verdict)}<span>${VERDICT_WORDS[verdict].means}</span></div>`)
  const table = html`<table class="grid"><caption>Every pair, the drive of the row against that of the column: its difference as a point on its 90 % interval, the shaded band is the margin; the numbers stand for the drives, here and below</caption>
<thead><tr><td></td>${head}</tr></thead>
<tbody>${rows}</tbody></table>`
  const drawn = scrolled('Every pair', table)
  const broad = runs.length > MOST_RUNS_ON_PAPER
  return html`${broad ? html`<div class="screen-only">${drawn}</div>${tooBroad(runs.length)}` : drawn}<div class="legend">${legend}</div>\n`
}
