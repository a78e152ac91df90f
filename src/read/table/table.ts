import { plural } from '../../base/figures.ts'
import type { Outcome, Problem } from '../../base/problem.ts'
import { failed, found } from '../../base/problem.ts'
import { columnName } from './column-name.ts'
import { ourWord } from './column-words.ts'
import { ourColumns } from './our-columns.ts'
import { withoutFoot, withoutSubtotals } from './table-foot.ts'
import { tableHead, unitsRow } from './table-head.ts'
import { plainNumbers } from './table-numbers.ts'
import { type Delimiter, type RawRow, rowsOfText, type TableRow } from './table-rows.ts'

export type { Delimiter, TableRow } from './table-rows.ts'

/** A table of text: nothing is known yet of what its columns mean. */
export interface Table {
  /** Lower case, trimmed, spaces and hyphens as underscores. */
  header: string[]
  /** The header's cells as they stand there, trimmed. */
  written: string[]
  /** A row of units below the header, a cell for each column; null without one. */
  units: string[] | null
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
 * text with their line numbers. Blank lines and lines that begin with `#` are skipped, and so are a title above the header,
 * a row of units below it, and totals and remarks below the rows. A row
 * with too few cells is filled up with empty ones; one with too many, or with a quotation mark that is never closed, is
 * left out. Each is reported with its line, and takes no other row with it; what there is too much of, the caller counts
 * (`firstOfEach`).
 * @param text the decoded file, with any kind of line ends, with or without byte order mark
 */
export function readTable(text: string, { freeText }: TableOptions = {}): Outcome<Table> {
  const { lines, stated } = withoutSeparatorLine(text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n'))
  const top = tableHead(lines, stated)
  if (top === null) return failed(noHeader)
  const { delimiter } = top
  const filled = rowsOfText(lines, delimiter).filter(
    (row) => row.line >= top.line && (row.quoteOpen || row.cells.some((c) => c.trim() !== '')),
  )
  if (filled.length === 0) return failed(noHeader)
  const [head, ...body] = filled
  if (head.quoteOpen)
    return failed({ ...quoteOpen(head.line), message: 'a quotation mark is opened here and never closed' })
  const written = head.cells.map((cell) => cell.trim().slice(0, LONGEST_NAME))
  if (written.length > MOST_COLUMNS) return failed(tooWide(written.length))
  const header = written.map(columnName)
  const units = body.length === 0 ? null : unitsRow(body[0].cells, header)
  const problems = [...titleProblems(top.titleLines, lines), ...headerProblems(header, head.line)]
  const last = columnName(header.at(-1) ?? '')
  const joins = freeText !== undefined && (last === freeText || ourWord(last) === freeText)
  const fit = body.slice(units ? 1 : 0).flatMap((row): TableRow[] => {
    const { cells, problem } = fitted(row, header.length, joins ? delimiter : null)
    if (problem) problems.push(problem)
    return cells ? [{ line: row.line, cells }] : []
  })
  const { rows: inner, problems: footProblems } = withoutFoot(fit, lines.split('\n'))
  const { rows, problems: subtotalProblems } = withoutSubtotals(inner)
  problems.push(...footProblems, ...subtotalProblems)
  if (rows.length === 0) {
    problems.push({ code: 'table-no-rows', severity: 'warning', message: 'the table has a header but no rows' })
  }
  const comments = commentsBefore(lines, head.line)
  return found({ header, written, units, headerLine: head.line, comments, rows, delimiter }, problems)
}

/**
 * Likewise, with the columns under our names, by whatever names they are known (`ourColumns`), and numbers without the
 * marks between their thousands (`plainNumbers`).
 */
export function readNamedTable(text: string, options: TableOptions = {}): Outcome<Table> {
  const { value: table, problems } = readTable(text, options)
  if (table === null) return { value: null, problems }
  const { names, problems: guesses } = ourColumns(table.header, table.units, table.written)
  const told = guesses.map((problem) => ({ ...problem, line: table.headerLine }))
  const numbers = plainNumbers(table.rows, names.length, table.delimiter)
  return found({ ...table, header: names }, [...problems, ...told, ...numbers])
}

const noHeader = { code: 'table-empty', message: 'no header line was found in this table' }

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
export const headerNames = (text: string): string[] => headerOf(text)?.names ?? ['']

/** Likewise, under our names, by whatever names the columns are known. */
export function ourHeaderNames(text: string): string[] {
  const header = headerOf(text)
  return header ? ourColumns(header.names, header.units).names : ['']
}

function headerOf(text: string): { names: string[]; units: string[] | null } | null {
  const { lines, stated } = withoutSeparatorLine(text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n'))
  const top = tableHead(lines, stated)
  if (top === null) return null
  const [head, below] = rowsOfText(lines, top.delimiter).filter(
    ({ line, cells }) => line >= top.line && cells.some((cell) => cell.trim() !== ''),
  )
  if (head === undefined) return null
  const names = head.cells.map((cell) => columnName(cell.slice(0, LONGEST_NAME).replace(/"/g, '')))
  return { names, units: below ? unitsRow(below.cells, names) : null }
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

function titleProblems(titleLines: number[], lines: string): Problem[] {
  if (titleLines.length === 0) return []
  const [first] = titleLines
  const text = lines
    .split('\n', first)
    [first - 1].replace(/[\s,;"]+/g, ' ')
    .trim()
  const message = `${plural(titleLines.length, 'line')} above the header taken for a title, the first is "${text.slice(0, 60)}"`
  return [{ code: 'table-title', severity: 'note', message, line: first }]
}

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
