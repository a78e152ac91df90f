import type { CellObject, Range, WorkBook, WorkSheet } from '@e965/xlsx'
import { plural } from '../../base/figures.ts'
import type { Problem } from '../../base/problem.ts'

/** A sheet of a workbook as the text of a table. */
export interface Sheet {
  name: string
  /** Cells separated by tabs; line n is row n of the sheet. Dates as ISO 8601, numbers with a decimal point. */
  text: string
  problems: Problem[]
}

/** The sheets that hold something, in their order. */
export function sheetsWithText(book: WorkBook, problems: Problem[]): Sheet[] {
  const sheets = book.SheetNames.map((name) => sheetOf(name, book.Sheets[name])).filter(({ text }) => text !== '')
  if (sheets.length === 0) {
    problems.push({ code: 'empty-file', severity: 'error', message: 'no sheet of this workbook holds anything' })
  }
  return sheets
}

/** One more than a table may have: the reader of tables then says so. */
const MOST_COLUMNS = 1001

type Row = (CellObject | undefined)[] | undefined

function sheetOf(name: string, sheet: WorkSheet): Sheet {
  const rows = ((sheet as { '!data'?: Row[] })['!data'] ?? []) as Row[]
  const texts = Array.from(rows, (row) => Array.from((row ?? []).slice(0, MOST_COLUMNS), cellText))
  const problems = [...mergedDown(texts, rows, sheet['!merges'] ?? []), ...formulasWithoutValue(rows)]
  const filled = texts.map(withoutEmptyEnd)
  const width = filled.reduce((most, { length }) => Math.max(most, length), 0)
  // Rows are as wide as the widest; one that holds nothing is an empty line.
  const lines = filled.map((cells) => lineOf(cells, width))
  while (lines.length > 0 && lines[lines.length - 1] === '') lines.pop()
  return { name, text: lines.length === 0 ? '' : `${lines.join('\n')}\n`, problems }
}

function withoutEmptyEnd(cells: string[]): string[] {
  let end = cells.length
  while (end > 0 && cells[end - 1] === '') end--
  return cells.slice(0, end)
}

function lineOf(cells: string[], width: number): string {
  if (cells.length === 0) return ''
  const isComment = cells[0].startsWith('#') && !ERROR_SIGN.test(cells[0])
  return isComment ? cells.join(' ') : padded(cells, width).map(asCell).join('\t')
}

const padded = (cells: string[], width: number): string[] =>
  cells.concat(new Array<string>(width - cells.length).fill(''))

const ERROR_SIGN = /^#(?:REF!|N\/A|NAME\?|DIV\/0!|VALUE!|NULL!|NUM!|GETTING_DATA)/

/** A quotation mark or an error's sign at the begin would be taken for more than a text. */
const asCell = (text: string): string =>
  text.includes('"') || ERROR_SIGN.test(text) ? `"${text.replaceAll('"', '""')}"` : text

/** What a cell says, without tabs and line ends. */
function cellText(cell: CellObject | undefined): string {
  if (cell === undefined || cell.t === 'z' || cell.v === undefined || cell.v === null) return ''
  if (cell.t === 'e') return ERRORS[Number(cell.v)] ?? '#VALUE!'
  if (cell.v instanceof Date) return dateText(cell.v)
  if (typeof cell.v === 'boolean') return cell.v ? 'yes' : 'no'
  if (typeof cell.v === 'number') return numberText(cell.v, cell)
  return cell.v.replace(/[\t\r\n]+/g, ' ').trim()
}

/** @source ECMA-376 part 1, 18.17.2.7 and [MS-XLS] 2.5.10 (BErr) */
const ERRORS: Record<number, string> = {
  0: '#NULL!',
  7: '#DIV/0!',
  15: '#VALUE!',
  23: '#REF!',
  29: '#NAME?',
  36: '#NUM!',
  42: '#N/A',
}

/** Fifteen digits, as spreadsheets show; what is formatted as a percentage with its sign. */
function numberText(value: number, { z: format, w: shown }: CellObject): string {
  // Of an .ods the library may give no format, and gives what is shown.
  const isPercentage =
    typeof format === 'string' ? /%/.test(format.replace(/"[^"]*"/g, '')) : /\d\s?%$/.test(shown ?? '')
  if (isPercentage) return `${Number((100 * value).toPrecision(14))}%`
  return String(Number(value.toPrecision(15)))
}

const DAY_MS = 86_400_000
/** The library gives times of day on the last day before its calendar, or the one before that. */
const FIRST_DATE_MS = Date.UTC(1900, 0, 2)

/** Moments are kept as fractions of a day and come out up to a millisecond short. */
function dateText(date: Date): string {
  const ms = Math.round(date.getTime() / 10) * 10
  if (Number.isNaN(ms)) return ''
  const text = new Date(ms).toISOString()
  const clock = text.slice(11, ms % 1000 === 0 ? 19 : 22)
  if (ms < FIRST_DATE_MS) return clock
  return ms % DAY_MS === 0 ? text.slice(0, 10) : `${text.slice(0, 10)}T${clock}`
}

/** A text that is merged over several rows of a column holds for each; a number may be meant for all of them together. */
function mergedDown(texts: string[][], rows: Row[], merges: Range[]): Problem[] {
  return merges.flatMap(({ s, e }): Problem[] => {
    if (s.c !== e.c || s.r === e.r) return []
    const text = texts[s.r]?.[s.c] ?? ''
    if (text === '') return []
    const where = `the cells of column ${columnLetters(s.c)} in rows ${s.r + 1} to ${e.r + 1} are merged`
    if (rows[s.r]?.[s.c]?.t !== 's') {
      const message = `${where}: "${text}" is taken for row ${s.r + 1} alone`
      const hint = 'Part the cells, and write the value into each row that it holds for.'
      return [{ code: 'cells-merged', severity: 'warning', message, line: s.r + 1, hint }]
    }
    for (let r = s.r + 1; r <= e.r && r < texts.length; r++) {
      while (texts[r].length <= s.c) texts[r].push('')
      texts[r][s.c] = text
    }
    const message = `${where}: "${text.slice(0, 60)}" is taken for each of these rows`
    return [{ code: 'cells-merged', severity: 'note', message, line: s.r + 1 }]
  })
}

/** The library gives such cells the value 0, and marks them as empty where these are asked for. */
function formulasWithoutValue(rows: Row[]): Problem[] {
  const places = rows.flatMap((row, r) =>
    (row ?? []).flatMap((cell, c) => (cell?.f !== undefined && cell.t === 'z' ? [{ r, c }] : [])),
  )
  if (places.length === 0) return []
  const [{ r, c }] = places
  const message = `${plural(places.length, 'formula')} saved without values, the first in ${columnLetters(c)}${r + 1}; these cells are taken as empty`
  const hint = 'Open the workbook in a spreadsheet program, which computes them, and save it.'
  return [{ code: 'formula-without-value', severity: 'warning', message, line: r + 1, hint }]
}

/** A to Z, AA …, as spreadsheets call their columns. */
function columnLetters(index: number): string {
  const last = String.fromCharCode(65 + (index % 26))
  return index < 26 ? last : columnLetters(Math.floor(index / 26) - 1) + last
}
