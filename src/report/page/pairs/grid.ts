import { fixed, signed } from '../../../base/figures.ts'
import type { Report, ReportPair, ReportRun, Verdict } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { onOneRoad } from '../../one-road.ts'
import { VERDICT_WORDS } from '../../words.ts'
import { linkTo, pairAnchor } from '../anchors.ts'
import { blockMatrix } from './block-matrix.ts'
import { dayOf, inSetupOrder } from './drive-blocks.ts'
import { cellKind, type PairBetween, pairsByIds, verdictTag } from './matrix-cells.ts'

/** Up to so many drives each pair has a cell of its own that leads to it; beyond, and on a narrow page, a cell is a block. */
const MOST_RUNS_IN_CELLS = 40
/** Up to so many drives the cells fit a phone. */
const MOST_RUNS_ON_PHONE = 16
/** In the cells of so many drives figures have room. */
const MOST_WITH_FIGURES = 10
/** Beside so many the drives' names have room. */
const MOST_NAMED = 24

/**
 * All pairs at one glance, by setup and day; null where there are none.
 * @param between finds a pair, also one that the report does not tell of
 */
export function pairsGrid(report: Report, between: PairBetween = pairsByIds(report.pairs)): Markup | null {
  const { runs, pairs } = report
  if (!pairs.some(onOneRoad)) return null
  const drawn =
    runs.length > MOST_RUNS_IN_CELLS
      ? blockMatrix(report, between)
      : html`${cellMatrix(report, between)}${runs.length > MOST_RUNS_ON_PHONE ? blockMatrix(report, between, ' narrow-only') : null}`
  return html`${drawn}<p class="matrix-reading script-only" role="status"></p>
${verdictsLegend(report)}
`
}

/** The verdicts that pairs have, with what they mean. */
export function verdictsLegend({ pairs }: Report): Markup {
  const met = (Object.keys(VERDICT_WORDS) as Verdict[])
    .filter((verdict) => pairs.some((pair) => onOneRoad(pair) && pair.verdict === verdict))
    .map((verdict) => html`<div>${verdictTag(verdict)}<span>${VERDICT_WORDS[verdict].means}</span></div>`)
  return html`<div class="legend" data-at-margin="legend">${met}</div>`
}

/** Each pair with its verdict's sign, and where there is room its difference; it leads to the pair. */
function cellMatrix(report: Report, between: PairBetween): Markup {
  const number = new Map(report.runs.map(({ id }, i) => [id, i + 1]))
  const compared = new Set(report.pairs.flatMap(({ a, b }) => [a, b]))
  const runs = inSetupOrder(report).filter(({ id }) => compared.has(id))
  const many = runs.length > MOST_RUNS_ON_PHONE
  const head = runs.map(
    (run, i) =>
      html`<th scope="col" class="${edgeOf(runs, i, report)}"><abbr title="${run.id}">${number.get(run.id) ?? null}</abbr></th>`,
  )
  const rows = runs.map((run, row) => {
    const cells = runs
      .slice(0, row)
      .map((other, column) => cell(between(other.id, run.id), edgeOf(runs, column, report), number))
    const name = runs.length <= MOST_NAMED ? html` <span class="name">${run.id}</span>` : null
    const setup =
      row > 0 && runs[row - 1].setup === run.setup
        ? null
        : html`<tr class="setup"><th scope="rowgroup" colspan="${runs.length + 1}">${run.setup ?? 'setup not stated'}</th></tr>\n`
    return html`${setup}<tr class="${edgeOf(runs, row, report)}" data-run="${run.id}"><th scope="row"><span class="number">${number.get(run.id) ?? null}</span>${name}</th>${cells}<td class="self"><span aria-hidden="true">·</span></td></tr>\n`
  })
  const few = runs.length <= MOST_WITH_FIGURES
  const room = few ? ' few' : many ? ' wide-only' : ''
  return html`<div class="matrix${room}"><p class="small">By setup, each in the order of time. The sign is the verdict${few ? ', the figure, where it has room, the size of the difference in percent' : null}. Thick lines part setups, thin ones days.</p><table class="grid"><caption>Every pair</caption>
<thead><tr><td></td>${head}</tr></thead>
<tbody>${rows}</tbody></table></div>
`
}

/** Whether a drive begins a setup or a day. */
function edgeOf(runs: readonly ReportRun[], i: number, report: Report): string {
  if (i === 0 || runs[i - 1].setup !== runs[i].setup) return 'new-setup'
  return dayOf(runs[i - 1], report) === dayOf(runs[i], report) ? '' : 'new-day'
}

function cell(pair: ReportPair | null, edge: string, number: ReadonlyMap<string, number>): Markup {
  // Drives of two roads are no pair to look at.
  if (pair === null || !onOneRoad(pair)) return html`<td class="self ${edge}"></td>`
  const { sign, word } = VERDICT_WORDS[pair.verdict]
  const mean = pair.difference_pct?.mean ?? null
  // Rows are not in the order of the pairs, so that the size alone is shown.
  const size = mean === null ? null : html`<span class="mean">${fixed(Math.abs(mean), 1)}</span>`
  return html`<td class="${cellKind(pair.verdict)} ${edge}" data-cell=""><a href="${linkTo(pairAnchor(pair.a, pair.b))}"><span aria-hidden="true"><span class="sign">${sign}</span>${size}</span><span class="hidden">${number.get(pair.b) ?? null} against ${number.get(pair.a) ?? null}: <span class="word">${word}</span>${mean === null ? null : `, ${signed(mean, 1)} %`}</span></a></td>`
}
