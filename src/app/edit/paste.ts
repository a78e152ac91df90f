import { rowsOfText } from '../../read/table/table-rows.ts'

/** The cells of a piece of a spreadsheet as it comes from the clipboard; null of a text for one cell. */
export function pastedCells(text: string): string[][] | null {
  const plain = text.replace(/\r\n?/g, '\n').replace(/\n$/, '')
  if (!/[\t\n]/.test(plain)) return null
  // Cells with a line end in them are in quotation marks; only then are blank lines and those with # not rows.
  const rows = plain.includes('"')
    ? rowsOfText(plain, '\t').map(({ cells }) => cells)
    : plain.split('\n').map((line) => line.split('\t'))
  return rows.map((cells) => cells.map((cell) => cell.trim()))
}
