import { rounded } from './round.ts'

/** What a cell holds; null is an empty cell. */
export type Cell = string | number | boolean | null

/** A text that a spreadsheet would take for a formula, or that hides one behind spaces or a control character. */
const LIKE_A_FORMULA = /^[\s\p{Cc}]*[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]|^[\t\r\n]/u
const NUMBER = /^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i

/**
 * A table as CSV (RFC 4180: commas, CR LF, quotation marks doubled). Texts that a spreadsheet would take for a formula
 * get an apostrophe in front; numbers, negative ones too, stay numbers.
 * @source OWASP, "CSV injection" (the signs = + - @, tab, carriage return); RFC 4180, section 2
 */
export function csvText(header: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return csvRows([header, ...rows])
}

/** Rows of a table as CSV, without a header. */
export function csvRows(rows: readonly (readonly Cell[])[]): string {
  return rows.map((row) => csvLine(row.map(cellText))).join('')
}

/** One row of cells that are written as they are: nothing in them may need quotation marks. */
export const csvLine = (cells: readonly string[]): string => `${cells.join(',')}\r\n`

function cellText(cell: Cell): string {
  if (cell === null) return ''
  if (typeof cell === 'number') return String(rounded(cell))
  if (typeof cell === 'boolean') return cell ? 'true' : 'false'
  const text = harmless(cell)
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}

/** A text with an apostrophe in front where a spreadsheet would take it for a formula. */
export const harmless = (text: string): string => (LIKE_A_FORMULA.test(text) && !NUMBER.test(text) ? `'${text}` : text)
