import type { Problem } from '../../base/problem.ts'
import type { TableRow } from './table-rows.ts'

/** Words of totals. Common practice, no source. */
const SUMS = 'grand total|totals?|sums?|summe|gesamt|somme|suma'
/** Of a part of the rows: such totals stand between them. */
const PARTIAL =
  'sub-?totals?|sub totals?|zwischensumme|zwischenstand|sous-total|carried forward|brought forward|übertrag'
const MEANS = 'averages?|avg|mean|median|min|max|mittel|mittelwert|durchschnitt|moyenne|promedio|media'
/** Behind the word; "total.gpx" is a file. */
const BEHIND = '(?=$|[\\s:(]|\\.(?:\\s|$))'
const TOTAL = new RegExp(`^(?:${SUMS}|${PARTIAL}|${MEANS})${BEHIND}`, 'i')
/** "Subtotal March", "March subtotal", "Total March:", and no name of a file. */
const BETWEEN = new RegExp(`^(?:(?:${SUMS}|${PARTIAL})${BEHIND}.*|.{1,40}\\s(?:${SUMS}|${PARTIAL})\\s*:?)$`, 'i')
const FILE_NAME = /\.[a-z0-9]{2,5}$/i

/**
 * Takes away the totals that stand between the rows of a table, for a month or a setup.
 */
export function withoutSubtotals(rows: TableRow[]): { rows: TableRow[]; problems: Problem[] } {
  const isSubtotal = rows.map(
    (row, i) => i > 0 && isBetween(row.cells.find((cell) => cell !== '') ?? '') && hasEmpty(row),
  )
  const found = rows.filter((_, i) => isSubtotal[i])
  if (found.length === 0 || found.length >= rows.length / 2) return { rows, problems: [] }
  const [first] = found
  const text = first.cells.filter((cell) => cell !== '').join(', ')
  const message =
    found.length === 1
      ? `"${text.slice(0, 60)}" is a total between the rows, and is not read as a row`
      : `${found.length} totals between the rows are not read as rows; the first is "${text.slice(0, 60)}"`
  return {
    rows: rows.filter((_, i) => !isSubtotal[i]),
    problems: [{ code: 'table-subtotal', severity: 'note', message, line: first.line }],
  }
}

const isBetween = (text: string): boolean => /^\p{L}/u.test(text) && BETWEEN.test(text) && !FILE_NAME.test(text)

/** A total leaves cells empty that a row fills: it has no setup, no note, no time. */
const hasEmpty = ({ cells }: TableRow): boolean => cells.length < 3 || cells.some((cell) => cell === '')

/**
 * Takes away what stands below the rows of a table: totals, and remarks behind an empty line.
 * @param lines of the whole text
 */
export function withoutFoot(rows: TableRow[], lines: readonly string[]): { rows: TableRow[]; problems: Problem[] } {
  let end = rows.length
  for (let at = rows.length - 1; at > 0 && (isTotal(rows[at]) || isRemark(rows[at])); at--) {
    if (isTotal(rows[at]) || isApart(rows[at], rows[at - 1], lines)) end = at
  }
  const foot = rows.slice(end)
  return {
    rows: foot.length === 0 ? rows : rows.slice(0, end),
    problems: foot.map(({ line, cells }) => {
      const text = cells.filter((cell) => cell !== '').join(', ')
      const message = `"${text.slice(0, 60)}" stands below the table, and is not read as a row`
      return { code: 'table-foot', severity: 'note', message, line }
    }),
  }
}

const filledIn = ({ cells }: TableRow): string[] => cells.filter((cell) => cell !== '')

const isTotal = (row: TableRow): boolean => TOTAL.test(filledIn(row)[0] ?? '')

/** A text alone in the first column of several. */
function isRemark(row: TableRow): boolean {
  const filled = filledIn(row)
  return row.cells.length >= 3 && filled.length === 1 && row.cells[0] !== '' && /\s/.test(filled[0])
}

const isApart = ({ line }: TableRow, before: TableRow, lines: readonly string[]): boolean =>
  lines.slice(before.line, line - 1).some((between) => /^[\s,;"]*$/.test(between))
