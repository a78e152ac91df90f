import type { Problem } from '../base/problem.ts'
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
  while (end > 1 && isFoot(rows[end - 1], rows[end - 2], lines)) end--
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

function isFoot({ cells, line }: TableRow, before: TableRow, lines: readonly string[]): boolean {
  const filled = cells.filter((cell) => cell !== '')
  if (TOTAL.test(filled[0] ?? '')) return true
  if (cells.length < 3 || filled.length !== 1 || cells[0] === '') return false
  const isApart = lines.slice(before.line, line - 1).some((between) => /^[\s,;"]*$/.test(between))
  return isApart && /\s/.test(filled[0])
}
