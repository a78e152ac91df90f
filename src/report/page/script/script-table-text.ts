import { harmless } from '../../csv.ts'

/** "−9.1 to +2.2", in brackets or not. */
const INTERVAL = /^\(?([+−]?\d[\d.]*) to ([+−]?\d[\d.]*)\)?$/

/**
 * A table as it is shown, for a spreadsheet: the caption, which tells the units, then a line for each row, its cells parted
 * by tabs. Plots are left out, an interval has two columns of its own, and the reason below a pair ends its line.
 */
export function tableText(table: HTMLTableElement): string {
  const head = [...(table.tHead?.rows[0]?.cells ?? [])]
  const rows = [...table.tBodies].filter(({ hidden }) => !hidden).flatMap(({ rows }) => [...rows])
  const whole = rows.filter(({ cells }) => cells.length === head.length)
  const hasIn = (what: string, i: number): boolean => whole.some(({ cells }) => cells[i].querySelector(what) !== null)
  const isInterval = (i: number): boolean => whole.some(({ cells }) => INTERVAL.test(textOf(cells[i])))
  const columns = head.map((_, i) => ({
    i,
    isPlot: hasIn('svg', i),
    withRange: hasIn('.range', i),
    isInterval: isInterval(i),
  }))
  const shown = columns.filter(({ isPlot }) => !isPlot)
  const reasons = table.querySelector('tr.why') ? ['Reason'] : []
  const lines = [
    [textOf(table.caption)],
    [...shown.flatMap((column) => headsOf(textOf(head[column.i]), column)), ...reasons],
  ]
  for (const row of rows) {
    if (row.classList.contains('why')) lines.at(-1)?.push(textOf(row.querySelector('.reason')))
    else if (row.cells.length !== head.length) lines.push([textOf(row.cells[0])])
    else lines.push(shown.flatMap((column) => figuresOf(row.cells[column.i], column)))
  }
  return lines.map((line) => `${line.map(cellText).join('\t')}\n`).join('')
}

interface Column {
  /** Whether an interval stands below its figure. */
  withRange: boolean
  /** Whether it holds intervals alone. */
  isInterval: boolean
}

function headsOf(title: string, { withRange, isInterval }: Column): string[] {
  const ends = (of: string): string[] => [`${of}, low`, `${of}, high`]
  if (withRange) return [title, ...ends(`${title}, 95 % interval`)]
  return isInterval ? ends(title) : [title]
}

function figuresOf(cell: Element, { withRange, isInterval }: Column): string[] {
  const whole = textOf(cell)
  if (isInterval) return endsOf(whole)
  if (!withRange) return [whole]
  const range = textOf(cell.querySelector('.range'))
  return [range === '' ? whole : whole.slice(0, whole.lastIndexOf(range)).trim(), ...endsOf(range)]
}

function endsOf(text: string): string[] {
  const [, low, high] = INTERVAL.exec(text) ?? []
  return low === undefined ? [text, ''] : [low, high]
}

/** What a reader is told, without what is there for the eye or for narrow windows alone. */
function textOf(element: Element | null): string {
  if (!element) return ''
  const copy = element.cloneNode(true) as Element
  for (const aside of copy.querySelectorAll('[aria-hidden="true"], svg, a.unit, .with-reference, .screen-only'))
    aside.remove()
  return (copy.textContent ?? '').replace(/\s+/g, ' ').trim()
}

/**
 * A figure as spreadsheets read one: with the keyboard's minus, and with its plus, which they take for a number's sign
 * and which a text keeps; "2 / 3" drives as words, since it would be taken for a date; other texts as in the report's
 * CSV files.
 */
function cellText(text: string): string {
  const plain = text.replace(/^(\d+) \/ (\d+)$/, '$1 and $2')
  return harmless(/^−\d+(\.\d+)?$/.test(plain) ? plain.replace('−', '-') : plain)
}
