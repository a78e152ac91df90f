import type { Report } from '../../contract.ts'
import {
  LAP_COLUMNS,
  LAPS_MEAN,
  type LapColumn,
  lapRows,
  MOST_LAP_ROWS,
  MOST_STINT_PAIRS,
  type StintPair,
  stintPairColumns,
} from '../../fuel/lap-stints.ts'
import { html, type Markup, scrolled } from '../../markup.ts'
import type { PartsAtMargin } from '../margin/part.ts'
import { marked } from '../sentences.ts'

/** The stints with their laps, and the stints against each other; null where there are none. */
export function lapsSection(report: Report): Markup | null {
  const rows = lapRows(report)
  if (rows.length === 0) return null
  const pairs = report.stint_pairs.slice(0, MOST_STINT_PAIRS)
  const cut = (shown: number, all: number): string => (shown < all ? '; the others are in report.json' : '')
  const shown = rows.slice(0, MOST_LAP_ROWS)
  const laps = table(
    `Stints, each followed by its laps${cut(shown.length, rows.length)}`,
    LAP_COLUMNS,
    shown,
    ({ lap }) => (lap === null ? 'stint' : 'lap'),
  )
  const against = table(
    `Stints against each other${cut(pairs.length, report.stint_pairs.length)}`,
    stintPairColumns(report),
    pairs,
    () => 'stint-pair',
    stintPairPart,
  )
  return html`<section aria-labelledby="laps">
<h2 id="laps">Laps by stint</h2>
${pairs.length > 0 ? html`<p>${LAPS_MEAN}</p>\n` : null}${scrolled('Stints and their laps', laps)}${pairs.length > 0 ? scrolled('Stints against each other', against) : null}</section>
`
}

/** What of the stints against each other depends on the margin. */
export function stintPairsAtMargin(report: Report): PartsAtMargin {
  const columns = stintPairColumns(report)
  const cells = report.stint_pairs.slice(0, MOST_STINT_PAIRS).flatMap((pair, row) =>
    columns.flatMap((column, i): [string, Markup][] => {
      const part = stintPairPart(row, column)
      return part === null ? [] : [[part, cellOf(column, pair, i, part)]]
    }),
  )
  return Object.fromEntries(cells)
}

const stintPairPart = (row: number, { header, byMargin }: LapColumn<StintPair>): string | null =>
  byMargin ? `stint-pair-${row + 1} ${header}` : null

function table<T>(
  caption: string,
  columns: readonly LapColumn<T>[],
  rows: readonly T[],
  kind: (row: T) => string,
  partOf: (row: number, column: LapColumn<T>) => string | null = () => null,
): Markup {
  const head = columns.map(
    ({ header, align }) =>
      html`<th scope="col"${align === 'right' ? html` class="figure"` : null}>${header[0].toUpperCase() + header.slice(1)}</th>`,
  )
  const body = rows.map((row, place) => {
    const cells = columns.map((column, i) => cellOf(column, row, i, partOf(place, column)))
    return html`<tr class="${kind(row)}">${cells}</tr>\n`
  })
  return html`<table class="laps"><caption>${caption}</caption>
<thead><tr>${head}</tr></thead>
<tbody>${body}</tbody></table>`
}

function cellOf<T>({ align, cell }: LapColumn<T>, row: T, i: number, part: string | null): Markup {
  const content = marked(cell(row))
  if (i === 0) return html`<th scope="row">${content}</th>`
  return html`<td${align === 'right' ? html` class="figure"` : null}${part === null ? null : html` data-at-margin="${part}"`}>${content}</td>`
}
