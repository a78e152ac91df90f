import type { Report, ReportPair } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { onOneRoad } from '../../one-road.ts'
import { listed, plural, VERDICT_WORDS } from '../../words.ts'
import { type DriveBlock, driveBlocks, evenly } from './drive-blocks.ts'
import { blockTold, cellKind, differencesText, type PairBetween } from './matrix-cells.ts'

/** So many blocks leave room for a sign in each cell of the narrowest phone. */
const MOST_BLOCKS = 18
/** All pairs of so many drives are looked at; of more, some drives of each block stand for it. */
const MOST_DRIVES = 120

/** The pairs of many drives by blocks of setup and day: each cell tells which verdict most of its pairs have. */
export function blockMatrix(report: Report, between: PairBetween, kind = ''): Markup {
  const blocks = driveBlocks(report, MOST_BLOCKS)
  const each = report.runs.length <= MOST_DRIVES ? report.runs.length : Math.floor(MOST_DRIVES / blocks.length)
  const chosen = blocks.map(({ runs }) => evenly(runs, each))
  const head = blocks.map((block, i) => html`<th scope="col"><abbr title="${nameOf(block)}">${letter(i)}</abbr></th>`)
  const rows = blocks.map((block, row) => {
    const cells = blocks.slice(0, row + 1).map((_, column) => {
      const pairs = pairsOf(chosen[row], chosen[column], row === column, between)
      return cell(`${letter(row)} with ${letter(column)}`, pairs)
    })
    return html`<tr><th scope="row"><span class="number">${letter(row)}</span> <span class="name">${nameOf(block)}</span></th>${cells}</tr>\n`
  })
  const key = blocks.map((block, i) => html`<li><span class="number">${letter(i)}</span> ${nameOf(block)}</li>`)
  const sampled =
    each < report.runs.length
      ? `; of each block up to ${plural(each, 'drive')}, evenly chosen, ${each === 1 ? 'stands' : 'stand'} for it`
      : ''
  return html`<div class="matrix${kind}"><p class="small">Each cell tells the verdict that most pairs of two blocks have, and the share of pairs that have it${sampled}.</p><table class="grid blocks"><caption>Pairs by setup and day</caption>
<thead><tr><td></td>${head}</tr></thead>
<tbody>${rows}</tbody></table><ul class="matrix-key plain">${key}</ul></div>
`
}

const letter = (place: number): string => String.fromCharCode(65 + place)

/** "bare, 2026-04-14 to 2026-04-16, 5 drives". */
function nameOf({ setups, firstDay, lastDay, runs }: DriveBlock): string {
  const setup =
    setups.length > 2 ? plural(setups.length, 'setup') : listed(setups.map((name) => name ?? 'setup not stated'))
  const days = firstDay === lastDay ? firstDay : `${firstDay} to ${lastDay}`
  return `${setup}, ${days}, ${plural(runs.length, 'drive')}`
}

function pairsOf(
  rows: readonly { id: string }[],
  columns: readonly { id: string }[],
  isSame: boolean,
  between: PairBetween,
): ReportPair[] {
  return rows.flatMap((a, i) =>
    (isSame ? columns.slice(0, i) : columns).flatMap((b) => {
      const pair = between(a.id, b.id)
      return pair && onOneRoad(pair) ? pair : []
    }),
  )
}

function cell(name: string, pairs: readonly ReportPair[]): Markup {
  if (pairs.length === 0) return html`<td class="self"><span aria-hidden="true">·</span></td>`
  const { most, share, words } = blockTold(pairs.map(({ verdict }) => verdict))
  const judged = pairs.flatMap(({ score, difference_pct }) => (score === null ? [] : (difference_pct ?? [])))
  const others = pairs.filter(({ score }) => score === null).map(({ verdict }) => verdict)
  return html`<td class="${cellKind(most)}" data-cell="" data-name="${name}" data-differences="${differencesText(judged)}" data-others="${others.join(' ')}"><span aria-hidden="true"><span class="sign">${VERDICT_WORDS[most].sign}</span><span class="mean">${share}</span></span><span class="hidden">${name}, ${words}</span></td>`
}
