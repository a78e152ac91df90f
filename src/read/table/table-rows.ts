export type Delimiter = ',' | ';' | '\t'

export interface TableRow {
  /** 1-based line on which the row begins. */
  line: number
  /** Trimmed; exactly as many as the header has. */
  cells: string[]
}

/** A row as it stands in the text. */
export interface RawRow {
  /** 1-based line on which the row begins. */
  line: number
  /** As many as were found, not trimmed, without the quotation marks around them. */
  cells: string[]
  /** True where a quotation mark is opened and not closed as the standard says: the cells cannot be told apart. */
  quoteOpen: boolean
}

/** Longer cells in quotation marks are taken for a mark that was never closed. Common practice, no source. */
const MOST_LINES_IN_A_CELL = 100
/** From so many columns on, a line within a cell that has the separators of a row is taken for a row. */
const COLUMNS_THAT_TELL_A_ROW = 4

/**
 * Cuts the text of a table into rows of cells. Blank lines and lines that begin with `#` are passed over. A row whose
 * quotation mark is never closed ends with its line and is marked, and reading goes on with the next line, so that it
 * takes no other row with it. A quotation mark within a cell, or one with text behind it (`"5" mast`), is text.
 *
 * Own code: csv-parse, against which it is tested, gives up at an open quotation mark and cannot go on behind it.
 * @param text with `\n` between lines
 * @source RFC 4180, section 2
 */
export function rowsOfText(text: string, delimiter: string): RawRow[] {
  const rows: RawRow[] = []
  let line = 1
  let separators = 0
  for (let at = 0; at < text.length; ) {
    const row = text[at] === '#' ? null : rowAt(text, at, delimiter, separators)
    const end = row?.quoteOpen === false ? row.end : endOfLine(text, at)
    if (row && !(row.cells.length === 1 && row.cells[0].trim() === '')) {
      rows.push({ line, cells: row.cells, quoteOpen: row.quoteOpen })
      separators ||= row.cells.length - 1
    }
    line += 1 + (row?.quoteOpen === false ? row.lineEnds : 0)
    at = end + 1
  }
  return rows
}

function endOfLine(text: string, from: number): number {
  const end = text.indexOf('\n', from)
  return end < 0 ? text.length : end
}

interface RowAt {
  cells: string[]
  quoteOpen: boolean
  /** Place of the line end behind the row. */
  end: number
  /** Line ends within its cells. */
  lineEnds: number
}

function rowAt(text: string, from: number, delimiter: string, separators: number): RowAt {
  const lineEnd = endOfLine(text, from)
  const line = text.slice(from, lineEnd)
  if (!line.includes('"')) return { cells: line.split(delimiter), quoteOpen: false, end: lineEnd, lineEnds: 0 }
  const cells: string[] = []
  let lineEnds = 0
  for (let at = from; ; at++) {
    const quoted = quotedCell(text, at, delimiter, separators)
    if (quoted === 'open') return { cells, quoteOpen: true, end: lineEnd, lineEnds: 0 }
    if (quoted !== null) {
      cells.push(quoted.cell)
      lineEnds += quoted.lineEnds
      at = quoted.end
    } else {
      const end = Math.min(endOfLine(text, at), indexOrEnd(text, delimiter, at))
      cells.push(text.slice(at, end))
      at = end
    }
    if (text[at] !== delimiter) return { cells, quoteOpen: false, end: at, lineEnds }
  }
}

function indexOrEnd(text: string, mark: string, from: number): number {
  const found = text.indexOf(mark, from)
  return found < 0 ? text.length : found
}

/** The cell in quotation marks at a place; null where there is none, `open` where its mark is never closed. */
function quotedCell(
  text: string,
  from: number,
  delimiter: string,
  separators: number,
): { cell: string; end: number; lineEnds: number } | 'open' | null {
  const start = behindBlanks(text, from)
  if (text[start] !== '"') return null
  let close = text.indexOf('"', start + 1)
  while (close >= 0 && text[close + 1] === '"') close = text.indexOf('"', close + 2)
  const lineEnd = endOfLine(text, start)
  if (close < 0) return 'open'
  const end = behindBlanks(text, close + 1)
  const isClosed = end >= text.length || text[end] === delimiter || text[end] === '\n'
  if (close < lineEnd) return isClosed ? { cell: unquoted(text, start, close), end, lineEnds: 0 } : null
  const inner = text.slice(start + 1, close).split('\n')
  const swallowsRows = separators + 1 >= COLUMNS_THAT_TELL_A_ROW && inner.slice(1).some(isRow)
  if (!isClosed || inner.length > MOST_LINES_IN_A_CELL || swallowsRows) return 'open'
  return { cell: unquoted(text, start, close), end, lineEnds: inner.length - 1 }

  function isRow(line: string): boolean {
    return line.split(delimiter).length === separators + 1
  }
}

const unquoted = (text: string, start: number, close: number): string =>
  text.slice(start + 1, close).replaceAll('""', '"')

function behindBlanks(text: string, from: number): number {
  let at = from
  while (text[at] === ' ') at++
  return at
}
