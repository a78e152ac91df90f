import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { type RawRow, rowsOfText } from './table-rows.ts'

export type Delimiter = ',' | ';' | '\t'

export interface TableRow {
  /** 1-based line on which the row begins. */
  line: number
  /** Trimmed; exactly as many as the header has. */
  cells: string[]
}

/** A table of text: nothing is known yet of what its columns mean. */
export interface Table {
  /** Lower case, trimmed, spaces and hyphens as underscores. */
  header: string[]
  headerLine: number
  /** Lines before the header that begin with `#`, without it. */
  comments: string[]
  rows: TableRow[]
  delimiter: Delimiter
}

/** How a table may be read that has more to go by than its own text. */
export interface TableOptions {
  /** Name of a column of free text: where it is the last one, separators without quotation marks may stand in it. */
  freeText?: string
}

/**
 * Reads a table separated by comma, semicolon or tab (told from its header, or from a line `sep=;` before it) into cells of
 * text with their line numbers. Blank lines and lines that begin with `#` are skipped. A row with too few cells is filled
 * up with empty ones; one with too many, or with a quotation mark that is never closed, is left out. Each is reported with
 * its line, and takes no other row with it; what there is too much of, the caller counts (`firstOfEach`).
 * @param text the decoded file, with any kind of line ends, with or without byte order mark
 */
export function readTable(text: string, { freeText }: TableOptions = {}): Outcome<Table> {
  const { lines, stated } = withoutSeparatorLine(text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n'))
  const headerText = headerLineOf(lines)
  if (headerText === null) return failed(noHeader)
  const delimiter = stated ?? delimiterOf(headerText.slice(0, LONGEST_NAME * MOST_COLUMNS))
  if (headerText.split(delimiter).length > MOST_COLUMNS) return failed(tooWide(headerText.split(delimiter).length))

  const filled = rowsOfText(lines, delimiter).filter((row) => row.quoteOpen || row.cells.some((c) => c.trim() !== ''))
  if (filled.length === 0) return failed(noHeader)
  const [head, ...body] = filled
  if (head.quoteOpen)
    return failed({ ...quoteOpen(head.line), message: 'a quotation mark is opened here and never closed' })
  const header = head.cells.map((cell) => columnName(cell.slice(0, LONGEST_NAME)))
  const problems = [...headerProblems(header, head.line)]
  const joins = freeText !== undefined && header.at(-1) === freeText
  const rows = body.flatMap((row): TableRow[] => {
    const { cells, problem } = fitted(row, header.length, joins ? delimiter : null)
    if (problem) problems.push(problem)
    return cells ? [{ line: row.line, cells }] : []
  })
  if (rows.length === 0) {
    problems.push({ code: 'table-no-rows', severity: 'warning', message: 'the table has a header but no rows' })
  }
  const comments = commentsBefore(lines, head.line)
  return found({ header, headerLine: head.line, comments, rows, delimiter }, problems)
}

const noHeader = { code: 'table-empty', message: 'no header line was found in this table' }

/** The first line that is neither blank nor a comment; null where there is none. */
export const headerLineOf = (lines: string): string | null =>
  lines.split('\n').find((line) => line.trim() !== '' && !line.startsWith('#')) ?? null

/**
 * A first line `sep=;`, which some spreadsheets write and read to name the separator, made blank so that the numbers of the
 * other lines stay. Common practice, no source.
 * @param lines with `\n` between them
 */
export function withoutSeparatorLine(lines: string): { lines: string; stated: Delimiter | null } {
  const found = /^(\s*"?sep=([,;\t])"?[,;\t ]*)(?:\n|$)/i.exec(lines)
  if (!found) return { lines, stated: null }
  return { lines: lines.slice(found[1].length), stated: found[2] as Delimiter }
}

/** Every column is compared with every other one. */
const MOST_COLUMNS = 1000
const LONGEST_NAME = 200

const tooWide = (columns: number) => ({
  code: 'table-too-wide',
  message: `the header has ${columns} columns, expected at most ${MOST_COLUMNS}`,
})

/** The names of the columns in a text that may be a table, in the form in which they are compared; none of a blank one. */
export function headerNames(text: string): string[] {
  const { lines } = withoutSeparatorLine(text.replace(/\r\n?/g, '\n'))
  const line = headerLineOf(lines) ?? ''
  return line.split(/[,;\t]/).map((cell) => columnName(cell.replace(/"/g, '')))
}

/** The form in which column names are compared: lower case, trimmed, spaces and hyphens as underscores. */
export function columnName(written: string): string {
  return written
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_')
}

const MISSING = /^(|m|na|n\/a|nan|null|none|-+|\/+|\*+|\?)$/i
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i

/**
 * The number in a cell. A decimal comma is read where the comma does not separate cells.
 * @returns NaN for an empty cell or a sign for "missing" (`M`, `NA`, `---` …), `null` for anything else that is no number
 */
export function toNumber(cell: string, delimiter: Delimiter): number | null {
  const written = cell.trim().replace(/^\u2212/, '-')
  const plain = delimiter === ',' ? written : written.replace(',', '.')
  const value = NUMBER.test(plain) ? Number(plain) : Number.NaN
  // More than a number can hold (1e400) is none.
  if (!Number.isNaN(value)) return Number.isFinite(value) ? value : null
  return MISSING.test(written) ? Number.NaN : null
}

/** What to do about a number with a decimal comma where the comma separates cells; null for any other cell. */
export function decimalCommaHint(cell: string, delimiter: Delimiter): string | null {
  const point = cell.trim().replace(',', '.')
  if (delimiter !== ',' || !cell.includes(',') || !NUMBER.test(point)) return null
  return `Write ${point}: a decimal comma is read only where another sign separates the cells.`
}

/** The separator that occurs most often outside quotes; a tab wins over a semicolon, a semicolon over a comma. */
export function delimiterOf(headerText: string): Delimiter {
  const bare = headerText.replace(/"[^"]*"/g, '')
  const count = (delimiter: string) => bare.split(delimiter).length
  const candidates: Delimiter[] = ['\t', ';', ',']
  return candidates.reduce((best, next) => (count(next) > count(best) ? next : best))
}

/** The cells of a row, as many as the header has; null, and an error, where they cannot be told apart. */
function fitted(
  { line, cells: raw, quoteOpen: isOpen }: RawRow,
  width: number,
  joinedBy: Delimiter | null,
): { cells: string[] | null; problem: Problem | null } {
  if (isOpen) return { cells: null, problem: { severity: 'error', ...quoteOpen(line) } }
  const cells = raw.map((cell) => cell.trim())
  if (cells.length === width) return { cells, problem: null }
  const whole = Array.from({ length: width }, (_, i) => cells[i] ?? '')
  const found = `this row has ${cells.length} cells and the header has ${width}`
  const told = (severity: Problem['severity'], code: string, done: string, hint?: string) => ({
    severity,
    code,
    message: `${found}; ${done}`,
    line,
    ...(hint && { hint }),
  })
  if (cells.length < width) {
    return { cells: whole, problem: told('warning', 'table-row-too-short', 'those at its end are taken as empty') }
  }
  // The second half of a number with a decimal comma, which a spreadsheet did not put in quotation marks.
  const isShifted = joinedBy !== null && /^\d/.test(cells[width - 1])
  if (!isShifted && cells.slice(width).every((cell) => cell === '')) {
    return { cells: whole, problem: told('note', 'table-row-too-short', 'the empty ones at its end are dropped') }
  }
  if (!isShifted && joinedBy !== null) {
    whole[width - 1] = raw
      .slice(width - 1)
      .join(joinedBy)
      .trim()
    const done = `those from the last column on are read as one text, "${whole[width - 1].slice(0, 60)}"`
    return { cells: whole, problem: told('warning', 'table-row-joined', done, IN_QUOTATION_MARKS) }
  }
  const done = `expected ${width}; the row is left out`
  return { cells: null, problem: told('error', 'table-row-too-long', done, IN_QUOTATION_MARKS) }
}

const IN_QUOTATION_MARKS =
  'A decimal comma makes an extra cell: write a decimal point. Put a text with a separator in it in quotation marks.'

const quoteOpen = (line: number) => ({
  code: 'table-quote-open',
  message: 'a quotation mark is opened in this row and never closed; the row is left out',
  line,
  hint: 'Close the quotation mark, or write it twice where it belongs to the text.',
})

function headerProblems(header: string[], line: number): Problem[] {
  const twice = [...new Set(header.filter((name, i) => name !== '' && header.indexOf(name) !== i))]
  return twice.map((name) => ({
    code: 'table-column-twice',
    severity: 'warning' as const,
    message: `the column "${name}" occurs more than once; the first is used`,
    line,
  }))
}

function commentsBefore(lines: string, headerLine: number): string[] {
  return lines
    .split('\n', headerLine - 1)
    .filter((line) => line.startsWith('#'))
    .map((line) => line.slice(1).trim())
}
