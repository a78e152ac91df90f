import { cleaned } from '../../base/names.ts'
import type { Mark, PathMark, TextMark, Typefaces } from './marks.ts'
import { tenth } from './marks.ts'
import { textWidth } from './typeface.ts'

/**
 * The look of all cards: a label tied to a test piece, paper with ink, and a colour for the change itself: blue-green
 * for less fuel, rust for more. Both differ in lightness and hue for colour-blind readers, and never stand without a
 * sign or a word.
 */
export const INK = '#1d1e20'
export const SOFT = '#55524a'
export const RULE = '#a39e90'
export const PAPER = '#fbf9f3'
export const GROUND = '#cfcabd'
export const LESS = '#0b5563'
export const MORE = '#8a3216'
/** The wind's arrow: neither good nor bad. */
export const WIND = '#1b5a9a'

export interface Box {
  x: number
  y: number
  width: number
  height: number
}

/** A figure of a label: what it is, with its unit; the figure; what belongs behind it in smaller print. */
export interface Cell {
  caption: string
  value: string
  more: string
}

export const line = (d: string, changes: Partial<PathMark> = {}): PathMark => ({
  kind: 'path',
  d,
  fill: null,
  stroke: RULE,
  width: 2,
  dash: [],
  ...changes,
})

export const text = (x: number, y: number, words: string, size: number, changes: Partial<TextMark> = {}): TextMark => ({
  kind: 'text',
  x,
  y,
  text: cleaned(words),
  size,
  weight: 500,
  anchor: 'start',
  color: INK,
  ...changes,
})

export const circle = (x: number, y: number, r: number): string =>
  `M${tenth(x - r)} ${tenth(y)}a${tenth(r)} ${tenth(r)} 0 1 0 ${tenth(2 * r)} 0a${tenth(r)} ${tenth(r)} 0 1 0 ${tenth(-2 * r)} 0z`

/** The label's paper: two corners cut off at the side where its eyelet is. */
export function tag({ x, y, width, height }: Box, eyelet: 'left' | 'top'): Mark[] {
  const c = 46
  const [right, bottom] = [x + width, y + height]
  const outline =
    eyelet === 'left'
      ? `M${x + c} ${y}H${right}V${bottom}H${x + c}L${x} ${bottom - c}V${y + c}z`
      : `M${x + c} ${y}H${right - c}L${right} ${y + c}V${bottom}H${x}V${y + c}z`
  const [holeX, holeY] = eyelet === 'left' ? [x + 50, y + height / 2] : [x + width / 2, y + 50]
  return [
    line(outline + circle(holeX, holeY, 15), { fill: PAPER, stroke: null }),
    line(outline, { stroke: INK, width: 3 }),
    line(circle(holeX, holeY, 15), { stroke: INK, width: 3 }),
    line(circle(holeX, holeY, 25), { stroke: RULE, width: 3 }),
  ]
}

/** A text mark made to fit: smaller down to three quarters, or another least share, then cut with an ellipsis. */
export function fitted(mark: TextMark, width: number, typefaces: Typefaces, least = 0.75): TextMark {
  const face = typefaces[mark.weight]
  const natural = textWidth(mark.text, mark.size, face)
  if (natural <= width) return mark
  const size = Math.max(least * mark.size, (0.999 * mark.size * width) / natural)
  if (textWidth(mark.text, size, face) <= width) return { ...mark, size }
  const signs = Array.from(new Intl.Segmenter('en').segment(mark.text), ({ segment }) => segment)
  let kept = ''
  for (const sign of signs) {
    if (textWidth(`${kept}${sign}…`, size, face) > width) break
    kept += sign
  }
  return { ...mark, size, text: `${kept.trimEnd()}…` }
}

/** A text over several lines; what goes beyond the last is cut with an ellipsis. */
export function paragraph(mark: TextMark, width: number, lines: number, typefaces: Typefaces): TextMark[] {
  const rows: string[] = []
  let row = ''
  for (const word of mark.text.split(/ (?!%)/)) {
    const longer = row === '' ? word : `${row} ${word}`
    if (row !== '' && textWidth(longer, mark.size, typefaces[mark.weight]) > width) {
      rows.push(row)
      row = word
    } else row = longer
  }
  rows.push(row)
  const shown = rows.slice(0, lines)
  if (rows.length > lines) shown[lines - 1] = `${shown[lines - 1].replace(/[\s,;:.]+$/, '')} …`
  return shown.map((words, i) => fitted({ ...mark, text: words, y: mark.y + i * 1.28 * mark.size }, width, typefaces))
}

/** Figures in a ruled grid, row by row. */
export function grid(cells: readonly Cell[], box: Box, columns: number, size: number, typefaces: Typefaces): Mark[] {
  const rows = Math.ceil(cells.length / columns)
  const [width, height] = [box.width / columns, box.height / rows]
  const rules = [
    ...Array.from({ length: rows - 1 }, (_, i) => `M${box.x} ${tenth(box.y + (i + 1) * height)}h${box.width}`),
    ...Array.from({ length: columns - 1 }, (_, i) => `M${tenth(box.x + (i + 1) * width)} ${box.y}v${box.height}`),
  ]
  const figures = cells.flatMap((cell, i) => {
    const column = i % columns
    const x = box.x + column * width + (column === 0 ? 0 : 0.5 * size)
    const room = width - (column === 0 ? 0.5 : 0.9) * size
    const middle = box.y + (Math.floor(i / columns) + 0.5) * height
    return cellMarks(cell, x, middle, room, size, typefaces)
  })
  return [...(rules.length > 0 ? [line(rules.join(''))] : []), ...figures]
}

function cellMarks(cell: Cell, x: number, middle: number, room: number, size: number, typefaces: Typefaces): Mark[] {
  const caption = text(x, middle - 0.3 * size, cell.caption, 0.56 * size, { color: SOFT })
  const value = text(x, middle + 0.72 * size, cell.value, size, { weight: 600 })
  const more = text(x, middle + 0.72 * size, cell.more, 0.66 * size)
  const full =
    textWidth(value.text, value.size, typefaces[600]) + 0.25 * size + textWidth(more.text, more.size, typefaces[500])
  const shrink = cell.more === '' ? 1 : Math.max(0.75, Math.min(1, room / full))
  const first = fitted({ ...value, size: value.size * shrink }, room, typefaces)
  const left = textWidth(first.text, first.size, typefaces[600]) + 0.25 * size
  const second =
    cell.more === '' || room - left < size
      ? []
      : [fitted({ ...more, x: x + left, size: more.size * shrink }, room - left, typefaces)]
  // A caption ends in the unit: it is set smaller rather than cut.
  return [fitted(caption, room, typefaces, 0.6), first, ...second]
}
