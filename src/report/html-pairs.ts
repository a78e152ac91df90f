import type { Report, ReportPair } from './contract.ts'
import { glyph, glyphScalePct } from './glyph.ts'
import { verdictTag } from './html-answer.ts'
import { html, type Markup, scrolled } from './markup.ts'
import { FACTOR_WORDS, FACTORS, fixed, largestFactor, signed } from './words.ts'

/** Every pair: the difference that conditions make, drawn and in figures, its verdict, reason, remarks and shares. */
export function pairsSection(report: Report): Markup | null {
  const { pairs, runs, settings } = report
  if (pairs.length === 0) return null
  const numbers = new Map(runs.map((run, i) => [run.id, i + 1]))
  const scale = glyphScalePct(report)
  const rows = pairs.map((pair) => pairRows(pair, numbers, settings.margin_pct, scale))
  return html`<section aria-labelledby="pairs">
<h2 id="pairs">Pairs</h2>
<p>The <em>difference</em> is what the unchanged vehicle would have needed more (+) or less (−) in the drive named first than in the one it is set against, because of the conditions alone, with its 90 % interval. The <em>score</em> is the probability, in percent, that it lies within the margin. The <em>tightest margin</em> is the smallest one at which the pair would pass. In the drawing the shaded band is ± ${settings.margin_pct} %, the upright line is no difference, and the ends of the scale are ± ${fixed(scale, 1)} %.</p>
<table class="pairs" role="table"><caption>Difference made by the conditions</caption>
<thead role="rowgroup"><tr role="row"><th role="columnheader" scope="col">Pair</th><th role="columnheader" scope="col">Verdict</th><th role="columnheader" scope="col">Drawn</th><th role="columnheader" scope="col" class="figure">Difference, %</th><th role="columnheader" scope="col" class="figure">90 % interval</th><th role="columnheader" scope="col" class="figure">Score</th><th role="columnheader" scope="col" class="figure">Tightest margin, %</th></tr></thead>
${rows}</table>
${sharesTable(pairs, numbers)}</section>
`
}

/** "2 b", "against 1 a": two pieces, each of which stays together where there is room. */
function pairName({ a, b }: ReportPair, numbers: Map<string, number>): Markup {
  const run = (id: string): Markup => html`<span class="number">${numbers.get(id) ?? '–'}</span> ${id}`
  return html`<span class="run">${run(b)}</span> <span class="run"><span class="against">against</span> ${run(a)}</span>`
}

function pairRows(pair: ReportPair, numbers: Map<string, number>, marginPct: number, scalePct: number): Markup {
  const { difference_pct: d } = pair
  const figure = (label: string, text: string): Markup =>
    html`<td role="cell" class="figure"><span class="label" aria-hidden="true">${label}</span> ${text}</td>`
  const remarks =
    pair.remarks.length > 0
      ? html`<ul class="remarks">${pair.remarks.map((remark) => html`<li>${remark}</li>`)}</ul>`
      : null
  return html`<tbody role="rowgroup"><tr role="row"><th role="rowheader" scope="row">${pairName(pair, numbers)}</th><td role="cell">${verdictTag(pair.verdict)}</td><td role="cell">${glyph(pair, marginPct, scalePct)}</td>${figure('Difference, %', signed(d?.mean ?? null, 1))}${figure('90 % interval', d ? `${signed(d.low90, 1)} to ${signed(d.high90, 1)}` : '–')}${figure('Score', fixed(pair.score, 0))}${figure('Tightest margin, %', fixed(pair.tightest_margin_pct, 1))}</tr>
<tr role="row" class="why"><td role="cell" colspan="7">${pair.reason}${remarks}</td></tr></tbody>
`
}

function sharesTable(pairs: readonly ReportPair[], numbers: Map<string, number>): Markup | null {
  const known = pairs.filter(({ contributions_pct }) => contributions_pct !== null)
  if (known.length === 0) return null
  const rows = known.map((pair) => {
    const largest = largestFactor(pair)
    const cells = FACTORS.map((factor) => {
      const text = signed(pair.contributions_pct?.[factor] ?? null, 1)
      return html`<td class="figure">${factor === largest ? html`<strong>${text}</strong>` : text}</td>`
    })
    return html`<tr><th scope="row">${pairName(pair, numbers)}</th>${cells}<td class="figure">${signed(pair.difference_pct?.mean ?? null, 1)}</td></tr>\n`
  })
  const head = FACTORS.map((factor) => html`<th scope="col" class="figure">${capital(FACTOR_WORDS[factor])}</th>`)
  return scrolled(
    'Shares of the difference',
    html`<table class="shares"><caption>What made the difference: shares in percent, which add up to the difference; the largest is bold</caption>
<thead><tr><th scope="col">Pair</th>${head}<th scope="col" class="figure">Together</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
