import { CsvError, type Info, parse } from 'csv-parse/sync'
import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { firstOfEach } from './many.ts'

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

/**
 * Reads a table separated by comma, semicolon or tab (told from its header) into cells of text with their line numbers.
 * Blank lines and lines that begin with `#` are skipped. A row with too few cells is filled up with empty ones, a row
 * with too many is left out; both are reported with their line.
 * @param text the decoded file, with any kind of line ends, with or without byte order mark
 */
export function readTable(text: string): Outcome<Table> {
  // csv-parse counts a CR LF inside quotes as two lines, so line ends are made equal first.
  const lines = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n')
  const headerText = lines.split('\n').find((line) => line.trim() !== '' && !line.startsWith('#'))
  if (headerText === undefined) return failed(noHeader)
  const delimiter = delimiterOf(headerText.slice(0, LONGEST_NAME * MOST_COLUMNS))
  if (headerText.split(delimiter).length > MOST_COLUMNS) return failed(tooWide(headerText.split(delimiter).length))

  const records: { line: number; endLine: number; cells: string[] }[] = []
  try {
    parse(lines, {
      delimiter,
      comment: '#',
      comment_no_infix: true,
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: true,
      record_delimiter: '\n',
      on_record: (cells: string[], info: Info) => {
        const linesInside = cells.reduce((sum, cell) => sum + cell.split('\n').length - 1, 0)
        records.push({ line: info.lines - linesInside, endLine: info.lines, cells: cells.map((cell) => cell.trim()) })
        return null
      },
    })
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    return failed({
      code: 'table-quote-open',
      message: 'a quotation mark is opened here and never closed',
      line: (records.at(-1)?.endLine ?? 0) + 1,
      hint: 'Close the quotation mark, or write it twice where it belongs to the text.',
    })
  }
  const filled = records.filter(({ cells }) => cells.some((cell) => cell !== ''))
  if (filled.length === 0) return failed(noHeader)
  const [head, ...body] = filled
  const header = head.cells.map((cell) => columnName(cell.slice(0, LONGEST_NAME)))
  const problems = [...headerProblems(header, head.line)]
  const rows = body.flatMap(({ line, cells }) => {
    const row = { line, cells: fitted(cells, header.length) }
    if (row.cells.length !== cells.length) problems.push(raggedRow(line, cells.length, header.length, row.cells))
    return row.cells.length === 0 ? [] : [row]
  })
  if (rows.length === 0) {
    problems.push({ code: 'table-no-rows', severity: 'warning', message: 'the table has a header but no rows' })
  }
  const comments = commentsBefore(lines, head.line)
  return found({ header, headerLine: head.line, comments, rows, delimiter }, firstOfEach(problems))
}

const noHeader = { code: 'table-empty', message: 'no header line was found in this table' }

/** Every column is compared with every other one. */
const MOST_COLUMNS = 1000
const LONGEST_NAME = 200

const tooWide = (columns: number) => ({
  code: 'table-too-wide',
  message: `the header has ${columns} columns, expected at most ${MOST_COLUMNS}`,
})

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
  if (MISSING.test(written)) return Number.NaN
  const plain = delimiter === ',' ? written : written.replace(',', '.')
  // More than a number can hold (1e400) is none.
  return NUMBER.test(plain) && Number.isFinite(Number(plain)) ? Number(plain) : null
}

/** The separator that occurs most often outside quotes; a tab wins over a semicolon, a semicolon over a comma. */
function delimiterOf(headerText: string): Delimiter {
  const bare = headerText.replace(/"[^"]*"/g, '')
  const count = (delimiter: string) => bare.split(delimiter).length
  const candidates: Delimiter[] = ['\t', ';', ',']
  return candidates.reduce((best, next) => (count(next) > count(best) ? next : best))
}

/** Fills up or, where only empty cells are too many, cuts off; empty when the cells cannot be told apart. */
function fitted(cells: string[], width: number): string[] {
  if (cells.slice(width).some((cell) => cell !== '')) return []
  return Array.from({ length: width }, (_, i) => cells[i] ?? '')
}

function raggedRow(line: number, got: number, want: number, kept: string[]): Problem {
  const message = `this row has ${got} cells and the header has ${want}`
  if (kept.length === 0) {
    const hint = 'A decimal comma or a separator inside a text makes an extra cell: put such cells in quotation marks.'
    return { code: 'table-row-too-long', severity: 'warning', message: `${message}; the row is left out`, line, hint }
  }
  const severity = got > want ? 'note' : 'warning'
  const done = got > want ? 'the empty ones at its end are dropped' : 'those at its end are taken as empty'
  return { code: 'table-row-too-short', severity, message: `${message}; ${done}`, line }
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
