import type { Problem } from '../../base/problem.ts'
import type { TableRow } from './table-rows.ts'

/** Words with which a row of totals begins. Common practice, no source. */
const TOTAL =
  /^(?:grand total|total|totals|sum|sums|average|averages|avg|mean|median|min|max|summe|gesamt|mittel|mittelwert|durchschnitt|moyenne|somme|suma|promedio|media)(?=$|[\s:(.])/i

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
