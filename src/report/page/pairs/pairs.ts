import { atLeast, fixed, signed } from '../../../base/figures.ts'
import type { Sentence } from '../../../base/sentence.ts'
import type { Report, ReportPair, ReportRun, Verdict } from '../../contract.ts'
import { glyph, glyphScalePct } from '../../glyph.ts'
import { marginsFor, scoresText } from '../../margin/margins.ts'
import { copyButton, html, type Markup } from '../../markup.ts'
import { onOneRoad } from '../../one-road.ts'
import { pairSentences, headlineOf as pairsHeadline } from '../../words/answer.ts'
import { endsAtMargin, pairReason, pairRemark } from '../../words/pairs.ts'
import { type Used, usedIn } from '../../words/used.ts'
import { ends, FACTOR_WORDS, FACTORS, plural, sharesOf, VERDICT_WORDS } from '../../words.ts'
import { pairAnchor } from '../anchors.ts'
import type { PartsAtMargin } from '../margin/part.ts'
import type { PairRoad } from '../road/pair-road.ts'
import { marked } from '../sentences.ts'
import { pairsGrid, verdictsLegend } from './grid.ts'
import { type PairBetween, verdictTag } from './matrix-cells.ts'
import { pairDetails, sharesScalePct } from './pair-details.ts'

/** Each of so many pairs has a cell of its own in the matrix, which leads to it: all are listed. */
const ALL_PAIRS = 780
/** Of more, as many: the page must open anywhere, and pairs.csv holds them all. */
const MOST_PAIRS = 200
/** Of more than this the shares are told in a line each, without the drives' conditions beside them. */
const MOST_WITH_DETAILS = 150

/** The scores of a pair, or of two stints, at several margins; null where they are not known. */
export type ScoresAt = (pair: Pick<ReportPair, 'a' | 'b'>, marginsPct: readonly number[]) => number[] | null

export interface PairsMore {
  between?: PairBetween
  scoresAt?: ScoresAt
  roadOf?: PairRoad
}

type Numbered = Map<string, { number: number; run: ReportRun }>

/**
 * The matrix of all pairs, then each: the difference that conditions make, drawn and in figures, its verdict, and on demand what it is made of.
 * @param more between finds a pair, also one that the report does not tell of; without scoresAt the margin cannot be
 * chosen; roadOf draws a pair along its road
 */
export function pairsSection(
  report: Report,
  { between, scoresAt = () => null, roadOf = () => null }: PairsMore = {},
): Markup | null {
  const { runs, settings } = report
  if (report.pairs.length === 0)
    return runs.length > 1
      ? html`<section aria-labelledby="pairs">\n<h2 id="pairs">Pairs</h2>\n<p>${marked(pairsHeadline(report))}</p></section>\n`
      : null
  const pairs = report.pairs.filter(onOneRoad)
  const apart = apartList(report)
  if (pairs.length === 0)
    return apart && html`<section aria-labelledby="pairs">\n<h2 id="pairs">Pairs</h2>\n${apart}</section>\n`
  const marginPct = settings.margin_pct
  const margins = marginsFor(marginPct)
  const scale = glyphScalePct(report)
  const listed = pairs.length > ALL_PAIRS ? pairs.slice(0, MOST_PAIRS) : pairs
  const setting: RowSetting = {
    marginPct,
    scale,
    sharesPct: listed.length > MOST_WITH_DETAILS ? null : sharesScalePct(pairs),
    numbered: new Map(runs.map((run, i) => [run.id, { number: i + 1, run }])),
    scoresOf: (pair) => scoresAt(pair, margins),
    roadOf,
    used: usedIn(report),
  }
  const thinned = [
    listed.length < pairs.length
      ? `The first ${listed.length} of ${pairs.length} pairs are listed; pairs.csv holds them all.`
      : '',
    listed.length > MOST_WITH_DETAILS ? 'With so many pairs, the contributions of each stand in one line.' : '',
  ].filter((sentence) => sentence !== '')
  const head = (key: string, text: string, kind = ''): Markup =>
    html`<th role="columnheader" scope="col" data-sort="${key}" class="${kind}">${text}</th>`
  const canChoose = canChooseMargin(report, scoresAt)
  return html`<section aria-labelledby="pairs">
<h2 id="pairs">Pairs</h2>
${pairsTold(report)}${controls(pairs, marginPct, canChoose ? margins : [])}${pairsGrid(report, between)}<p>The <em>difference</em> is what the unchanged vehicle would have needed more (+) or less (−) in the drive named first than in the one it is compared with, because of conditions, with its 90 % interval. <em>Probability within margin</em> is that of the difference lying within the margin. The <em>smallest passing margin</em>, rounded up, is the smallest one at which the pair would be comparable as measured. In the plot the shaded band is ± <span class="margin">${marginPct}</span> %, the upright line is zero, and the ends of the scale are ± ${fixed(scale, 1)} %.${thinned.map((sentence) => html` ${sentence}`)}</p>
${copyButton('Pairs')}<table class="pairs" role="table" data-scale="${scale}"><caption>Difference due to conditions<span class="screen-only">; open a reason to see what it is made of</span></caption>
<thead role="rowgroup"><tr role="row">${head('order', 'Pair')}${head('rank', 'Verdict')}<th role="columnheader" scope="col">Plot</th>${head('mean', 'Difference, %', 'figure')}${head('width', '90 % interval', 'figure')}${head('score', 'Probability within margin, %', 'figure')}${head('margin', 'Smallest passing margin, %', 'figure')}</tr></thead>
${listed.map((pair, i) => pairRows(pair, i, setting))}</table>
${apart}</section>
`
}

/** Whether the page can show the report at other margins: where some pair is judged by its figures and these are known. */
export const canChooseMargin = ({ pairs }: Report, scoresAt: ScoresAt): boolean =>
  pairs.some((pair) => onOneRoad(pair) && pair.score !== null && scoresAt(pair, [1]) !== null)

/** What is said of all pairs together. */
function pairsTold(report: Report): Markup {
  const { apart, counts, differences } = pairSentences(report)
  const told = (sentences: readonly Sentence[]): Markup[] =>
    sentences.map((sentence) => html`<p>${marked(sentence)}</p>\n`)
  return html`<div data-at-margin="pairs-told">${told(apart)}<p><strong>${marked(pairsHeadline(report))}</strong></p>
${told(counts)}${told(differences)}</div>`
}

/** What of the pairs depends on the margin, but for the table and the matrix, which the page's script judges anew. */
export const pairsAtMargin = (report: Report): PartsAtMargin =>
  report.pairs.some(onOneRoad) ? { 'pairs-told': pairsTold(report), legend: verdictsLegend(report) } : {}

/** So many pairs of roads are named. */
const MOST_ROADS_NAMED = 6

/** The pairs of drives on two roads, by their roads; null where there are none. */
function apartList({ pairs, runs }: Report): Markup | null {
  const roadOf = new Map(runs.map(({ id, route }) => [id, route ?? '–']))
  const counts = new Map<string, number>()
  for (const pair of pairs) {
    if (onOneRoad(pair)) continue
    const roads = [roadOf.get(pair.a) ?? '–', roadOf.get(pair.b) ?? '–'].sort().join(' and ')
    counts.set(roads, (counts.get(roads) ?? 0) + 1)
  }
  if (counts.size === 0) return null
  const named = [...counts].slice(0, MOST_ROADS_NAMED).map(([roads, count]) => `${roads} (${plural(count, 'pair')})`)
  const more = counts.size > named.length ? ', …' : ''
  return html`<p class="apart">Never compared, since they are on different roads or in opposite directions: ${named.join(', ')}${more}. pairs.csv holds them.</p>
`
}

/**
 * Filtering, a drive to sort by and the margin; shown by the script that does them.
 * @param margins that can be chosen
 */
function controls(pairs: readonly ReportPair[], marginPct: number, margins: readonly number[]): Markup {
  const options = (Object.keys(VERDICT_WORDS) as Verdict[])
    .filter((verdict) => margins.length > 0 || pairs.some((pair) => pair.verdict === verdict))
    .map((verdict) => html`<option value="${verdict}">${VERDICT_WORDS[verdict].word}</option>`)
  const slider =
    margins.length === 0
      ? null
      : html`<label class="margin-label" for="pairs-margin">Margin, ± <output class="margin" for="pairs-margin">${marginPct}</output> % <input id="pairs-margin" type="range" min="0" max="${margins.length - 1}" value="${margins.indexOf(marginPct)}" data-margins="${margins.join(' ')}" aria-valuetext="± ${marginPct} %"/></label> <button type="button" id="pairs-own-margin" hidden="">Back to ± ${marginPct} %</button><p class="at-other-margin" hidden="">The page is shown at this margin; cards and the files beside it hold ± ${marginPct} %.</p> `
  return html`<div class="controls script-only">${slider}<label for="pairs-search">Drive or setup <input id="pairs-search" type="search"/></label> <label for="pairs-verdict">Verdict <select id="pairs-verdict"><option value="">all</option>${options}</select></label> <label for="pairs-reference">Reference drive <select id="pairs-reference"><option value="">none</option></select></label> <label for="pairs-across"><input id="pairs-across" type="checkbox"/> different setups only</label> <span class="pairs-count" role="status"></span></div>\n`
}

/** "2 b", "against 1 a": two pieces, each of which stays together where there is room. */
function pairName({ a, b }: ReportPair, numbered: Numbered): Markup {
  const run = (id: string): Markup => html`<span class="number">${numbered.get(id)?.number ?? '–'}</span> ${id}`
  return html`<span class="run">${run(b)}</span> <span class="run"><span class="against">against</span> ${run(a)}</span>`
}

interface RowSetting {
  marginPct: number
  scale: number
  /** null: no details. */
  sharesPct: number | null
  numbered: Numbered
  /** A pair's scores at the margins that can be chosen. */
  scoresOf: (pair: ReportPair) => number[] | null
  roadOf: PairRoad
  used: Used
}

function pairRows(
  pair: ReportPair,
  order: number,
  { marginPct, scale, sharesPct, numbered, scoresOf, roadOf, used }: RowSetting,
): Markup {
  const { difference_pct: d } = pair
  const [a, b] = [numbered.get(pair.a), numbered.get(pair.b)]
  const figure = (label: string, text: string, kind = ''): Markup =>
    html`<td role="cell" class="figure"><span class="label" aria-hidden="true">${label}</span> ${kind === '' ? text : html`<span class="${kind}">${text}</span>`}</td>`
  const across = a?.run.setup && b?.run.setup && a.run.setup !== b.run.setup ? 'yes' : 'no'
  const keys = html`data-order="${order}" data-mean="${key(d?.mean)}" data-width="${key(d && d.high90 - d.low90)}"${judged(pair, scoresOf)} data-score="${key(pair.score)}" data-margin="${key(pair.tightest_margin_pct)}" data-verdict="${pair.verdict}" data-across="${across}" data-names="${[pair.a, pair.b, a?.run.setup ?? '', b?.run.setup ?? ''].join(' ')}"`
  const remarks =
    pair.remark_codes.length > 0
      ? html`<ul class="remarks">${pair.remark_codes.map((remark) => html`<li>${marked(pairRemark(remark))}</li>`)}</ul>`
      : null
  const made =
    sharesPct === null
      ? null
      : pairDetails(pair, a?.run ?? null, b?.run ?? null, sharesPct, roadOf(pair.a, pair.b), used)
  const reason = html`<span class="reason">${marked(pairReason(pair, { marginPct, roads: [a?.run.route ?? '–', b?.run.route ?? '–'] }))}</span>`
  const why =
    made === null
      ? html`${reason}${sharesPct === null ? sharesLine(pair) : null}${remarks}`
      : html`<details><summary>${reason}${remarks ? html` <span class="against">${plural(pair.remarks.length, 'remark')}</span>` : null}</summary>${made}${remarks}</details>`
  return html`<tbody role="rowgroup" id="${pairAnchor(pair.a, pair.b)}" ${keys}><tr role="row"><th role="rowheader" scope="row">${pairName(pair, numbered)}</th><td role="cell">${verdictTag(pair.verdict)}</td><td role="cell">${glyph(pair, marginPct, scale)}</td>${figure('Difference, %', signed(d?.mean ?? null, 1))}${figure('90 % interval', d ? endsAtMargin(d, marginPct) : '–', 'interval')}${figure('Probability within margin, %', fixed(pair.score, 0), 'score')}${figure('Smallest passing margin, %', atLeast(pair.tightest_margin_pct, 1))}</tr>
<tr role="row" class="why"><td role="cell" colspan="7">${why}</td></tr></tbody>
`
}

/** "air density −0.3 (−0.4 to −0.2), wind +0.1 (−1.2 to +1.3), …, percent." */
function sharesLine(pair: ReportPair): Markup | null {
  const shares = sharesOf(pair)
  if (shares === null) return null
  const parts = FACTORS.map(
    (factor) => `${FACTOR_WORDS[factor]} ${signed(shares[factor].mean, 1)} (${ends(shares[factor])})`,
  )
  return html` <span class="against">Contributions, percent, with 90 % intervals: ${parts.join(', ')}.</span>`
}

/**
 * What the script needs to judge a pair anew at another margin: its difference, and where that decides, its scores. Nine
 * digits: the last ones of all differ from one engine to the next.
 */
function judged(pair: ReportPair, scoresOf: RowSetting['scoresOf']): Markup | null {
  if (pair.difference_pct === null) return null
  const { mean, low90, high90 } = pair.difference_pct
  const scores = pair.score === null ? null : scoresOf(pair)
  return html` data-difference="${[mean, low90, high90].map((value) => Number(value.toPrecision(9))).join(' ')}"${scores && html` data-scores="${scoresText(scores)}"`}`
}

const key = (value: number | null | undefined): string =>
  value === null || value === undefined ? '' : String(Number(value.toPrecision(6)))
