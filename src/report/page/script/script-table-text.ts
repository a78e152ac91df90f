import { harmless } from '../../csv.ts'

/**
 * A table as it is shown, for a spreadsheet: the caption, which tells the units, then a line for each row, its cells parted
 * by tabs. Plots are left out, an interval that stands below its figure has a column of its own, and the reason below a
 * pair ends its line.
 */
export function tableText(table: HTMLTableElement): string {
  const head = [...(table.tHead?.rows[0]?.cells ?? [])]
  const rows = [...table.tBodies].filter(({ hidden }) => !hidden).flatMap(({ rows }) => [...rows])
  const whole = rows.filter(({ cells }) => cells.length === head.length)
  const hasIn = (what: string, i: number): boolean => whole.some(({ cells }) => cells[i].querySelector(what) !== null)
  const columns = head.map((_, i) => ({ i, isPlot: hasIn('svg', i), withRange: hasIn('.range', i) }))
  const shown = columns.filter(({ isPlot }) => !isPlot)
  const reasons = table.querySelector('tr.why') ? ['Reason'] : []
  const lines = [
    [textOf(table.caption)],
    [...shown.flatMap(({ i, withRange }) => headsOf(textOf(head[i]), withRange)), ...reasons],
  ]
  for (const row of rows) {
    if (row.classList.contains('why')) lines.at(-1)?.push(textOf(row.querySelector('.reason')))
    else if (row.cells.length !== head.length) lines.push([textOf(row.cells[0])])
    else lines.push(shown.flatMap(({ i, withRange }) => figuresOf(row.cells[i], withRange)))
  }
  return lines.map((line) => `${line.map(cellText).join('\t')}\n`).join('')
}

const headsOf = (title: string, withRange: boolean): string[] =>
  withRange ? [title, `${title}, 95 % interval`] : [title]

function figuresOf(cell: Element, withRange: boolean): string[] {
  if (!withRange) return [textOf(cell)]
  const range = textOf(cell.querySelector('.range'))
  const whole = textOf(cell)
  const figure = range === '' ? whole : whole.slice(0, whole.lastIndexOf(range)).trim()
  return [figure, range.replace(/^\((.*)\)$/, '$1')]
}

/** What a reader is told, without what is there for the eye or for narrow windows alone. */
function textOf(element: Element | null): string {
  if (!element) return ''
  const copy = element.cloneNode(true) as Element
  for (const aside of copy.querySelectorAll('[aria-hidden="true"], svg, a.unit, .with-reference')) aside.remove()
  return (copy.textContent ?? '').replace(/\s+/g, ' ').trim()
}

/**
 * A figure as spreadsheets read one: with the keyboard's minus and no plus; "2 / 3" drives as words, since it would be
 * taken for a date; other texts as in the report's CSV files.
 */
function cellText(text: string): string {
  const plain = text.replace(/^\+(?=\d)/, '').replace(/^(\d+) \/ (\d+)$/, '$1 and $2')
  return harmless(/^−\d+(\.\d+)?$/.test(plain) ? plain.replace('−', '-') : plain)
}
