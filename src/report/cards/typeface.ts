import { present } from '../../base/present.ts'

/** A TrueType font, as far as laying out and embedding a label's text takes it. */
export interface Typeface {
  /** Tables by tag. */
  tables: ReadonlyMap<string, DataView>
  /** Glyph of a code point; a code point that the font lacks has no entry. */
  glyphs: ReadonlyMap<number, number>
  unitsPerEm: number
  /** Byte offsets of the glyphs in `glyf`; one more than there are glyphs. */
  glyphOffsets: Uint32Array
  /** Advance width of each glyph, font units. */
  advances: Uint16Array
}

/**
 * Reads a TrueType font (quadratic outlines, Unicode character map of format 4). The font is a part of the program, so
 * one that cannot be read is a bug of ours and throws.
 * @source ISO/IEC 14496-22 (OpenType 1.9): font file, cmap format 4, head, hhea, hmtx, loca, maxp
 */
export function readTypeface(bytes: Uint8Array): Typeface {
  const file = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const tables = new Map<string, DataView>()
  for (let i = 0; i < file.getUint16(4); i++) {
    const record = 12 + 16 * i
    const tag = String.fromCharCode(...bytes.subarray(record, record + 4))
    const offset = bytes.byteOffset + file.getUint32(record + 8)
    tables.set(tag, new DataView(bytes.buffer, offset, file.getUint32(record + 12)))
  }
  const glyphCount = tableOf(tables, 'maxp').getUint16(4)
  const head = tableOf(tables, 'head')
  return {
    tables,
    glyphs: characterMap(tableOf(tables, 'cmap')),
    unitsPerEm: head.getUint16(18),
    glyphOffsets: offsetsOf(tableOf(tables, 'loca'), glyphCount, head.getInt16(50) === 1),
    advances: advancesOf(tableOf(tables, 'hmtx'), glyphCount, tableOf(tables, 'hhea').getUint16(34)),
  }
}

export function tableOf(tables: Typeface['tables'], tag: string): DataView {
  const table = tables.get(tag)
  if (!table) throw new Error(`the font has no table ${tag}`)
  return table
}

function offsetsOf(loca: DataView, glyphCount: number, long: boolean): Uint32Array {
  return Uint32Array.from({ length: glyphCount + 1 }, (_, i) =>
    long ? loca.getUint32(4 * i) : 2 * loca.getUint16(2 * i),
  )
}

/** Glyphs beyond the last stated advance all have it. */
function advancesOf(hmtx: DataView, glyphCount: number, stated: number): Uint16Array {
  return Uint16Array.from({ length: glyphCount }, (_, i) => hmtx.getUint16(4 * Math.min(i, stated - 1)))
}

function characterMap(cmap: DataView): Map<number, number> {
  for (let i = 0; i < cmap.getUint16(2); i++) {
    const offset = cmap.getUint32(8 + 8 * i)
    if (cmap.getUint16(offset) === 4) return segments(cmap, offset)
  }
  throw new Error('the font has no character map of format 4')
}

function segments(cmap: DataView, offset: number): Map<number, number> {
  const glyphs = new Map<number, number>()
  const size = cmap.getUint16(offset + 6)
  const [ends, starts] = [offset + 14, offset + 16 + size]
  for (let at = 0; at < size; at += 2) {
    const [start, end] = [cmap.getUint16(starts + at), cmap.getUint16(ends + at)]
    const delta = cmap.getUint16(starts + size + at)
    const rangeAt = starts + 2 * size + at
    const range = cmap.getUint16(rangeAt)
    for (let code = start; code <= end && code < 0xffff; code++) {
      const glyph = range === 0 ? code : cmap.getUint16(rangeAt + range + 2 * (code - start))
      if (glyph !== 0) glyphs.set(code, (glyph + delta) & 0xffff)
    }
  }
  return glyphs
}

/** Width of a text at a size, in the unit of the size; without kerning. What the font lacks counts as one em. */
export function textWidth(text: string, size: number, { glyphs, advances, unitsPerEm }: Typeface): number {
  let units = 0
  for (const sign of text) {
    const glyph = glyphs.get(present(sign.codePointAt(0)))
    units += glyph === undefined ? unitsPerEm : advances[glyph]
  }
  return (units / unitsPerEm) * size
}
