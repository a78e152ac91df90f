import { withoutSeparatorLine } from './table.ts'
import { tableHead } from './table-head.ts'
import { rowsOfText } from './table-rows.ts'

/** How much of a file is looked at, in characters. */
const LOOK_AT = 16_384
/** A sentence with a comma in it is longer. Common practice, no source. */
const LONGEST_NAME = 40

/**
 * The names of the columns of a text that looks like a table, whatever it is about: a header of two names or more, and
 * below it rows with as many cells. Common practice, no source.
 * @returns null for prose, settings, markup and anything else
 */
export function columnsOfTable(text: string): string[] | null {
  const { lines, stated } = withoutSeparatorLine(
    text
      .slice(0, LOOK_AT)
      .replace(/^\uFEFF/, '')
      .replace(/\r\n?/g, '\n'),
  )
  if (/^\s*[<{[]/.test(lines)) return null
  const top = tableHead(lines, stated)
  if (top === null) return null
  // The last line may be cut off by the end of what is looked at.
  const whole = text.length > LOOK_AT ? lines.slice(0, lines.lastIndexOf('\n') + 1) : lines
  const [head, ...rows] = rowsOfText(whole, top.delimiter)
    .filter(({ line }) => line >= top.line)
    .map(({ cells }) => cells.map((cell) => cell.trim()))
  if (!head || head.length < 2 || !head.every(isName) || rows.length === 0) return null
  const fits = rows.slice(0, 3).filter(({ length }) => length === head.length).length
  return fits === Math.min(3, rows.length) || (head.length > 2 && fits > 0) ? head : null
}

const isName = (cell: string): boolean => cell !== '' && cell.length <= LONGEST_NAME && !/:\s|[.!?]$/.test(cell)
