import { readNamedTable } from '../../read/table/table.ts'
import { type Delimiter, rowsOfText } from '../../read/table/table-rows.ts'

/** A table as it stands in its file, so that one cell can be changed and all else stays as it was written. */
export interface TableText {
  delimiter: Delimiter
  /** The columns under our names, and as they are written. */
  header: string[]
  written: string[]
  headerLine: number
  /** Rows that are read as such, by the line on which they begin. */
  rows: { line: number; cells: string[] }[]
  segments: Segment[]
  lineEnd: '\n' | '\r\n'
}

/** A row with its cells as they are written, marks and blanks included; or a line that is no row (a comment, a blank one). */
interface Segment {
  /** 1-based line in the text that was opened; 0 of a row that was added. */
  line: number
  cells: string[] | null
  text: string
}

/** A change of a table; lines are those of the text that was opened. */
export type TableChange =
  | { kind: 'set'; line: number; column: string; text: string }
  | { kind: 'remove-row'; line: number }
  /** Behind the row that begins on a line; null: behind all rows. */
  | { kind: 'add-row'; behind: number | null; cells: Readonly<Record<string, string>> }

/** A number as the table's own separator allows it: a decimal comma that would make two cells becomes a point. */
export const numberText = (typed: string, { delimiter }: Pick<TableText, 'delimiter'>): string =>
  delimiter === ',' && /^[+-]?\d+,\d+$/.test(typed) ? typed.replace(',', '.') : typed

/** Opens a table's text; null where no table is found in it. */
export function openTable(text: string): TableText | null {
  const table = readNamedTable(text, { freeText: 'note' }).value
  if (table === null) return null
  const plain = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n')
  return {
    delimiter: table.delimiter,
    header: table.header,
    written: table.written,
    headerLine: table.headerLine,
    rows: table.rows,
    segments: segmentsOf(plain, table.delimiter, table.headerLine),
    lineEnd: text.includes('\r\n') ? '\r\n' : '\n',
  }
}

function segmentsOf(text: string, delimiter: Delimiter, headerLine: number): Segment[] {
  const lines = text.split('\n')
  const starts = new Map(rowsOfText(text, delimiter).map((row) => [row.line, row]))
  const segments: Segment[] = []
  for (let i = 0; i < lines.length; i++) {
    const row = starts.get(i + 1)
    if (row === undefined || row.quoteOpen || i + 1 < headerLine) {
      segments.push({ line: i + 1, cells: null, text: lines[i] })
      continue
    }
    const lineEnds = row.cells.reduce((sum, cell) => sum + cell.split('\n').length - 1, 0)
    const own = lines.slice(i, i + 1 + lineEnds).join('\n')
    segments.push({ line: i + 1, cells: writtenCells(own, row.cells, delimiter), text: own })
    i += lineEnds
  }
  return segments
}

/** The cells of a row with their quotation marks; written anew where they cannot be found again. */
function writtenCells(row: string, cells: string[], delimiter: Delimiter): string[] {
  const found: string[] = []
  for (let at = 0; found.length < cells.length; ) {
    const quoted = /^ *"(?:[^"]|"")*" */.exec(row.slice(at))?.[0] ?? null
    const closed = quoted !== null && (at + quoted.length === row.length || row[at + quoted.length] === delimiter)
    const end = closed ? at + quoted.length : row.indexOf(delimiter, at)
    found.push(row.slice(at, end < 0 ? row.length : end))
    at = (end < 0 ? row.length : end) + 1
  }
  return found.join(delimiter) === row ? found : cells.map((cell) => cellText(cell, delimiter))
}

/** A cell as it is read back, in quotation marks where it could be taken for several cells or for a comment. */
function cellText(text: string, delimiter: Delimiter): string {
  const isPlain = !/["\r\n]|^#|^\s|\s$/.test(text) && !text.includes(delimiter)
  return isPlain ? text : `"${text.replaceAll('"', '""')}"`
}

/** The text of a table with some changes; columns that it lacks are added. */
export function withChanges(table: TableText, changes: readonly TableChange[]): string {
  const columns = changes.flatMap((change) =>
    change.kind === 'set' ? [change.column] : change.kind === 'add-row' ? Object.keys(change.cells) : [],
  )
  const { header, segments } = withColumns(table, columns)
  const write = (cells: string[], column: string, text: string): void => {
    const at = header.indexOf(column)
    while (cells.length < at) cells.push('')
    const isLast = at === header.length - 1
    // Text without quotation marks may have made several cells of the last one.
    cells.splice(at, isLast ? cells.length - at : 1, cellText(text, table.delimiter))
  }
  for (const change of changes) {
    if (change.kind === 'add-row') {
      const cells = header.map(() => '')
      for (const [column, text] of Object.entries(change.cells)) write(cells, column, text)
      segments.splice(placeBehind(segments, change.behind ?? lastLine(table)), 0, { line: 0, cells, text: '' })
      continue
    }
    const at = segments.findIndex(({ line }) => line === change.line)
    const cells = segments[at]?.cells
    if (!cells) continue
    if (change.kind === 'remove-row') segments.splice(at, 1)
    else write(cells, change.column, change.text)
  }
  return segments
    .map(({ cells, text }) => (cells === null ? text : cells.join(table.delimiter)))
    .join('\n')
    .replaceAll('\n', table.lineEnd)
}

/** The last row's line; without rows that of the header, or of the row of units below it. */
const lastLine = ({ rows, segments, headerLine }: TableText): number =>
  rows.at(-1)?.line ?? segments.findLast(({ cells }) => cells !== null)?.line ?? headerLine

/** Behind the row and what was added behind it before. */
function placeBehind(segments: Segment[], line: number): number {
  let at = segments.findIndex((segment) => segment.line === line) + 1
  while (at < segments.length && segments[at].line === 0) at++
  return at
}

/** A copy of the segments with all these columns: new ones before a last column of free text, which may hold anything. */
function withColumns(table: TableText, columns: readonly string[]): { header: string[]; segments: Segment[] } {
  const header = [...table.header]
  const segments = table.segments.map((segment) => ({ ...segment, cells: segment.cells && [...segment.cells] }))
  for (const column of new Set(columns)) {
    if (header.includes(column)) continue
    const at = header.at(-1) === 'note' ? header.length - 1 : header.length
    for (const { line, cells } of segments) {
      if (cells === null) continue
      while (cells.length < at) cells.push('')
      cells.splice(at, 0, line === table.headerLine ? column : '')
    }
    header.splice(at, 0, column)
  }
  return { header, segments }
}
