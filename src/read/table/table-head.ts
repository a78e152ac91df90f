import { columnName } from './column-name.ts'
import { isKnownColumn } from './our-columns.ts'
import type { Delimiter } from './table-rows.ts'
import { type RawRow, rowsOfText } from './table-rows.ts'
import { unitOf } from './unit-words.ts'

/** Where a table begins within its text. */
export interface TableHead {
  delimiter: Delimiter
  /** 1-based line of the names of the columns. */
  line: number
  /** 1-based lines above it that hold something, a title for example. */
  titleLines: number[]
}

/** How much of a text is looked at for its header, in lines and characters. */
const MOST_LINES = 60
const MOST_CHARACTERS = 65_536
const DELIMITERS: Delimiter[] = ['\t', ';', ',']

/**
 * Finds the header of a table and what separates its cells: the first row that holds names of columns that are known, or
 * else the first row that is about as wide as those below it. What stands above is a title.
 * @param lines with `\n` between them, comments and all
 * @param stated the separator, where the text says it
 * @returns null where the text holds nothing but comments
 */
export function tableHead(lines: string, stated: Delimiter | null): TableHead | null {
  const start = beginOf(lines)
  const found = (stated ? [stated] : DELIMITERS).flatMap((delimiter) => headBy(start, delimiter) ?? [])
  if (found.length === 0) return null
  const best = found.reduce((a, b) => (b.score > a.score ? b : a))
  return { delimiter: best.delimiter, line: best.line, titleLines: best.titleLines }
}

function beginOf(lines: string): string {
  let end = 0
  for (let n = 0; n < MOST_LINES && end >= 0 && end < MOST_CHARACTERS; n++) end = lines.indexOf('\n', end + 1)
  return end < 0 ? lines : lines.slice(0, Math.max(end, 0))
}

function headBy(start: string, delimiter: Delimiter): (TableHead & { score: number }) | null {
  const rows = rowsOfText(start, delimiter).filter((row) => row.quoteOpen || row.cells.some(isFilled))
  if (rows.length === 0) return null
  const at = headerAt(rows)
  const { line } = rows[at]
  // A row whose quotation mark is not closed has no cells.
  const cells = rows[at].quoteOpen ? (start.split('\n')[line - 1] ?? '').split(delimiter) : rows[at].cells
  const below = rows.slice(at + 1)
  const alike = below.filter((row) => row.cells.length === cells.length).length
  const share = below.length === 0 ? 1 : alike / below.length
  const filled = cells.filter(isFilled).length
  // A table of one column is the last that is thought of.
  const score = 100 * knownIn(rows[at]) + (filled < 2 ? 0.5 : 1 + filled * (0.2 + share))
  return { delimiter, line, titleLines: rows.slice(0, at).map((row) => row.line), score }
}

/** A row of nothing but separators holds nothing, by whichever of them it is cut. */
const isFilled = (cell: string): boolean => /[^\s,;"]/.test(cell)
/** Numbers, dates and times are no names. */
const isLabel = (cell: string): boolean => /[\p{L}%°]/u.test(cell) && !/^\s*\d{1,4}[-./:]\d/.test(cell)
const filledIn = ({ cells }: RawRow): number => cells.filter(isFilled).length
const knownIn = ({ cells }: RawRow): number =>
  cells.slice(0, 1000).filter((cell) => isLabel(cell) && isKnownColumn(columnName(cell.slice(0, 80)))).length

/** A header is at least so wide as a share of the widest row. Common practice, no source. */
const LEAST_WIDTH = 0.6

function headerAt(rows: RawRow[]): number {
  const named = rows.findIndex((row) => row.cells.length >= 2 && knownIn(row) >= 2)
  if (named >= 0) return named
  const widest = rows.reduce((most, row) => Math.max(most, filledIn(row)), 0)
  const isWide = (row: RawRow): boolean => filledIn(row) >= Math.max(2, LEAST_WIDTH * widest)
  if (knownIn(rows[0]) > 0 || isWide(rows[0])) return 0
  const wide = rows.findIndex((row) => isWide(row) && row.cells.filter(isFilled).every(isLabel))
  return Math.max(wide, 0)
}

/** The cells of the row below a header where they are units of its columns and nothing else; null for any other row. */
export function unitsRow(cells: readonly string[], header: readonly string[]): string[] | null {
  const written = cells.map((cell) => cell.trim().replace(/^[([](.*)[)\]]$/, '$1'))
  const units = written.filter((cell, i) => cell !== '' && cell !== '-' && columnName(cell) !== header[i])
  if (units.length === 0 || units.some((unit) => unitOf(unit) === null)) return null
  return written.map((cell, i) => (cell === '-' || columnName(cell) === header[i] ? '' : cell))
}
