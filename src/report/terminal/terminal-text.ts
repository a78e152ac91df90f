import stringWidth from 'string-width'

/** Text for terminals of a stated width: cells, wrapping, and four styles. No colour carries a meaning alone. */
export type Style = 'bold' | 'dim' | 'red' | 'yellow'

const CODES: Record<Style, [number, number]> = { bold: [1, 22], dim: [2, 22], red: [31, 39], yellow: [33, 39] }

export function styled(text: string, style: Style, color: boolean): string {
  return color ? `\u001B[${CODES[style][0]}m${text}\u001B[${CODES[style][1]}m` : text
}

/** Names of drives are cut in the middle to so many columns. */
export const WIDEST_NAME = 26

/** Printable ASCII, the letters of Latin alphabets, dashes, quotes, dots and plain arrows: a column each. */
const ONE_COLUMN_EACH = /^[\u0020-\u007E\u00A1-\u00AC\u00AE-\u024F\u2010-\u2027\u2190-\u2193\u2212]*$/

/** Columns that a text takes up. Most texts need no segmenting, whose tables take longer to load than all of them to measure. */
export const widthOf = (text: string): number => (ONE_COLUMN_EACH.test(text) ? text.length : stringWidth(text))

/** The text cut to a width, with an ellipsis where something was cut off. */
export function cut(text: string, width: number): string {
  if (widthOf(text) <= width) return text
  let kept = ''
  let used = 0
  const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' })
  for (const { segment } of graphemes.segment(text)) {
    const more = widthOf(segment)
    if (used + more > width - 1) break
    kept += segment
    used += more
  }
  return `${kept}…`
}

export const padEnd = (text: string, width: number): string => text + ' '.repeat(Math.max(0, width - widthOf(text)))
export const padStart = (text: string, width: number): string => ' '.repeat(Math.max(0, width - widthOf(text))) + text

/** Breaks a text at its spaces into lines, all but the first indented; a percent sign stays with its number. */
export function wrapped(text: string, width: number, first = '', rest = first): string[] {
  const lines: string[] = []
  let line = first
  let empty = true
  for (const word of text.split(/ (?!%)/)) {
    if (!empty && widthOf(line) + 1 + widthOf(word) > width) {
      lines.push(line)
      line = rest
      empty = true
    }
    line += empty ? word : ` ${word}`
    empty = false
  }
  return [...lines, line]
}

export interface TextColumn {
  header: string
  align: 'left' | 'right'
  cells: string[]
  /** The least important goes first where the width does not do; 0 is never left out. */
  rank: number
}

/** A table with as many of the columns, the most important ones, as the width allows. */
export function textTable(columns: readonly TextColumn[], width: number): { lines: string[]; leftOut: string[] } {
  const sized = columns.map((column) => ({
    ...column,
    width: Math.max(...[column.header, ...column.cells].map(widthOf)),
  }))
  const kept = [...sized]
  const leftOut: string[] = []
  const total = () => kept.reduce((sum, column) => sum + column.width + 2, -2)
  while (total() > width && kept.some(({ rank }) => rank > 0)) {
    const least = kept.reduce((worst, column) => (column.rank > worst.rank ? column : worst))
    kept.splice(kept.indexOf(least), 1)
    leftOut.push(withoutUnit(least))
  }
  const lineOf = (cells: string[]) =>
    kept
      .map(({ align, width: w }, i) => (align === 'left' ? padEnd(cells[i], w) : padStart(cells[i], w)))
      .join('  ')
      .trimEnd()
  const rows = kept[0].cells.map((_, row) => lineOf(kept.map((column) => column.cells[row])))
  return { lines: [lineOf(kept.map(({ header }) => header)), ...rows], leftOut }
}

/** "wind" of "wind, m/s": a column as it is named in a sentence. */
export const withoutUnit = ({ header }: Pick<TextColumn, 'header'>): string => header.split(',')[0]

/** Says which columns the width left out; nothing where none was. */
export const notShown = (leftOut: readonly string[], width: number): string[] =>
  leftOut.length === 0 ? [] : wrapped(`(not shown at this width: ${leftOut.join(', ')})`, width)
