import { columnName } from './column-name.ts'
import { isKnownColumn } from './our-columns.ts'
import { withoutSeparatorLine } from './table.ts'
import { tableHead } from './table-head.ts'

/** A header stands so many lines behind the empty one at most, below a title of its own. */
const LINES_OF_TITLE = 2
const LEAST_KNOWN = 2

/**
 * The tables of a text that holds several below each other, each begun with an empty line and a header of its own that
 * differs from the first. Each is as long as the text up to its end, with empty lines in place of what stands before it, so
 * that its lines keep their numbers.
 * @returns the text alone where it holds one table
 */
export function tablesInText(text: string): string[] {
  const { lines: whole, stated } = withoutSeparatorLine(text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n'))
  if (!/\n[\t,; ]*\n/.test(whole)) return [text]
  const top = tableHead(whole, stated)
  if (top === null) return [text]
  const lines = whole.split('\n')
  const first = namesIn(lines[top.line - 1], top.delimiter).join()
  const starts: number[] = []
  for (let at = top.line; at < lines.length; at++) {
    if (!isEmpty(lines[at])) continue
    const below = lines.slice(at + 1, at + 2 + LINES_OF_TITLE).findIndex((line) => isHeader(line, top.delimiter))
    if (below < 0) continue
    const header = at + 1 + below
    if (namesIn(lines[header], top.delimiter).join() !== first) starts.push(at)
    at = header
  }
  if (starts.length === 0) return [text]
  return [0, ...starts].map((start, i) => {
    const end = starts[i] ?? lines.length
    return `${'\n'.repeat(start)}${lines.slice(start, end).join('\n')}\n`
  })
}

const isEmpty = (line: string): boolean => /^[\t,; ]*$/.test(line)

const namesIn = (line: string, delimiter: string): string[] =>
  line
    .split(delimiter)
    .map((cell) => columnName(cell.replaceAll('"', '').slice(0, 80)))
    .filter((name) => name !== '')

function isHeader(line: string, delimiter: string): boolean {
  const names = namesIn(line, delimiter)
  if (line.startsWith('#') || names.some((name) => !/[\p{L}%°]/u.test(name))) return false
  return names.filter(isKnownColumn).length >= LEAST_KNOWN
}
