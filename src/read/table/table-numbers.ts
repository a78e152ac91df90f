import type { Problem } from '../../base/problem.ts'
import type { Delimiter, TableRow } from './table-rows.ts'

const COMMA_DECIMAL = /^[+-]?(?:\d+,(?:\d{1,2}|\d{4,})|\d{1,3}(?:[.'’ \u00a0\u202f]\d{3})+,\d+|0,\d+|\d{4,},\d+)$/
const POINT_DECIMAL = /^[+-]?(?:\d+\.(?:\d{1,2}|\d{4,})|\d{1,3}(?:[,'’ \u00a0\u202f]\d{3})+\.\d+|0\.\d+|\d{4,}\.\d+)$/
const GROUPED = /^[+-]?\d{1,3}(?:([.,'’ \u00a0\u202f])\d{3})(?:\1\d{3})*(?:[.,]\d+)?$/

/** So many rows tell how numbers are written. */
const TELLING_ROWS = 5000

/**
 * Writes numbers with marks between thousands (`1.234,5`, `1,234.5`, `1 234`, `1'234`), and in a table that is separated by
 * commas those with a decimal comma, in plain form. Whether a comma or a point begins the decimals is told by the other
 * cells of the column, or else of the table; where nothing tells it the cell stays as it is. In place.
 */
export function plainNumbers(rows: TableRow[], width: number, delimiter: Delimiter): Problem[] {
  const telling = rows.slice(0, TELLING_ROWS)
  let whole: Mark | undefined
  let first: { line: number; cell: string; plain: string } | null = null
  const isMarked = (cell: string): boolean => GROUPED.test(cell) || (delimiter === ',' && COMMA_DECIMAL.test(cell))
  for (let i = 0; i < width; i++) {
    const marked = rows.filter(({ cells }) => isMarked(cells[i]))
    if (marked.length === 0) continue
    whole ??= markIn(telling.flatMap(({ cells }) => cells))
    const mark = markIn(telling.map(({ cells }) => cells[i])) ?? whole
    for (const row of marked) {
      const plain = plainNumber(row.cells[i], mark)
      if (plain === null || plain === row.cells[i]) continue
      first ??= { line: row.line, cell: row.cells[i], plain }
      row.cells[i] = plain
    }
  }
  if (first === null) return []
  const message = `numbers are read in plain form: "${first.cell}" as ${first.plain}`
  return [{ code: 'numbers-grouped', severity: 'note', message, line: first.line }]
}

/** What begins the decimals; null where the cells show none, or both. */
type Mark = ',' | '.' | null

function markIn(cells: readonly string[]): Mark {
  let comma = false
  let point = false
  for (const cell of cells) {
    comma ||= COMMA_DECIMAL.test(cell)
    point ||= POINT_DECIMAL.test(cell)
  }
  return comma === point ? null : comma ? ',' : '.'
}

function plainNumber(cell: string, mark: Mark): string | null {
  if (mark === ',' && COMMA_DECIMAL.test(cell) && !/[.'’ \u00a0\u202f]/.test(cell)) return cell.replace(',', '.')
  const bare = cell.replace(/['’ \u00a0\u202f]/g, '')
  const last = Math.max(bare.lastIndexOf(','), bare.lastIndexOf('.'))
  if (last < 0) return bare
  const marks = new Set(bare.replace(/[^.,]/g, ''))
  // With both of them, the last one begins the decimals; one that occurs twice begins none.
  if (marks.size === 2) return `${bare.slice(0, last).replace(/[.,]/g, '')}.${bare.slice(last + 1)}`
  if (bare.indexOf(bare[last]) !== last) return bare.replace(/[.,]/g, '')
  if (bare !== cell) return bare.replace(',', '.')
  return mark === null || mark === bare[last] ? null : bare.replace(/[.,]/g, '')
}
