import { joinedBytes } from '../../base/bytes.ts'
import { present } from '../../base/present.ts'
import { type Typeface, tableOf } from './typeface.ts'

const COMPONENT = { wideArguments: 0x1, scale: 0x8, more: 0x20, twoScales: 0x40, matrix: 0x80, instructions: 0x100 }

/**
 * A TrueType font of nothing but the glyphs for the given text, without hinting and kerning; its names, with the
 * licence, are kept. The same font and text give the same bytes.
 * @source ISO/IEC 14496-22 (OpenType 1.9): font file, glyf, cmap format 4
 */
export function subsetTypeface(typeface: Typeface, text: string): Uint8Array {
  const codes = [...new Set(Array.from(text, (sign) => present(sign.codePointAt(0))))]
    .filter((code) => typeface.glyphs.has(code))
    .sort((a, b) => a - b)
  const kept = withComponents(typeface, [0, ...codes.map((code) => present(typeface.glyphs.get(code)))])
  const places = new Map(kept.map((glyph, i) => [glyph, i]))
  const outlines = kept.map((glyph) => outlineOf(typeface, glyph, places))
  const copy = (tag: string): Uint8Array => bytesOf(tableOf(typeface.tables, tag)).slice()
  const head = copy('head')
  new DataView(head.buffer).setInt16(50, 1)
  new DataView(head.buffer).setUint32(8, 0)
  const hhea = copy('hhea')
  new DataView(hhea.buffer).setUint16(34, kept.length)
  const maxp = copy('maxp')
  new DataView(maxp.buffer).setUint16(4, kept.length)
  return fontFile({
    'OS/2': copy('OS/2'),
    cmap: characterMap(
      codes,
      codes.map((code) => present(places.get(present(typeface.glyphs.get(code))))),
    ),
    glyf: joinedBytes(outlines),
    head,
    hhea,
    hmtx: metricsOf(typeface, kept),
    loca: words32([0, ...outlines.map((_, i) => outlines.slice(0, i + 1).reduce((sum, o) => sum + o.length, 0))]),
    maxp,
    name: copy('name'),
    post: words32([0x30000, 0, 0, 0, 0, 0, 0, 0]),
  })
}

const bytesOf = ({ buffer, byteOffset, byteLength }: DataView): Uint8Array =>
  new Uint8Array(buffer, byteOffset, byteLength)

function glyphData({ tables, glyphOffsets }: Typeface, glyph: number): DataView {
  const { buffer, byteOffset } = tableOf(tables, 'glyf')
  return new DataView(buffer, byteOffset + glyphOffsets[glyph], glyphOffsets[glyph + 1] - glyphOffsets[glyph])
}

/** Glyphs, each once, with those that they are composed of behind. */
function withComponents(typeface: Typeface, glyphs: number[]): number[] {
  const all = new Set(glyphs)
  for (const glyph of all) {
    for (const at of componentsOf(glyphData(typeface, glyph)).starts) {
      all.add(glyphData(typeface, glyph).getUint16(at + 2))
    }
  }
  return [...all]
}

/** Where the records of a composite glyph's components start, and where the last ends; none for simple glyphs. */
function componentsOf(data: DataView): { starts: number[]; end: number } {
  const starts: number[] = []
  if (data.byteLength === 0 || data.getInt16(0) >= 0) return { starts, end: 0 }
  let at = 10
  for (let more = true; more; ) {
    starts.push(at)
    const flags = data.getUint16(at)
    const scale = flags & COMPONENT.matrix ? 8 : flags & COMPONENT.twoScales ? 4 : flags & COMPONENT.scale ? 2 : 0
    at += 4 + (flags & COMPONENT.wideArguments ? 4 : 2) + scale
    more = (flags & COMPONENT.more) !== 0
  }
  return { starts, end: at }
}

/** A glyph's outline without its instructions, its components renumbered, padded to four bytes. */
function outlineOf(typeface: Typeface, glyph: number, places: ReadonlyMap<number, number>): Uint8Array {
  const data = glyphData(typeface, glyph)
  if (data.byteLength === 0) return new Uint8Array(0)
  const { starts, end } = componentsOf(data)
  if (starts.length === 0) return withoutInstructions(data)
  const bytes = padded(bytesOf(data).subarray(0, end))
  const view = new DataView(bytes.buffer)
  for (const at of starts) {
    view.setUint16(at, view.getUint16(at) & ~COMPONENT.instructions)
    view.setUint16(at + 2, present(places.get(view.getUint16(at + 2))))
  }
  return bytes
}

function withoutInstructions(data: DataView): Uint8Array {
  const bytes = bytesOf(data)
  const lengthAt = 10 + 2 * data.getInt16(0)
  const rest = lengthAt + 2 + data.getUint16(lengthAt)
  return padded(joinedBytes([bytes.subarray(0, lengthAt), new Uint8Array(2), bytes.subarray(rest)]))
}

/** Advance and left side bearing of each glyph; the bearings of glyphs without an own advance follow the others. */
function metricsOf({ tables, advances }: Typeface, kept: number[]): Uint8Array {
  const hmtx = tableOf(tables, 'hmtx')
  const stated = tableOf(tables, 'hhea').getUint16(34)
  const view = new DataView(new ArrayBuffer(4 * kept.length))
  for (const [i, glyph] of kept.entries()) {
    view.setUint16(4 * i, advances[glyph])
    view.setInt16(4 * i + 2, hmtx.getInt16(glyph < stated ? 4 * glyph + 2 : 4 * stated + 2 * (glyph - stated)))
  }
  return bytesOf(view)
}

/** A character map of format 4 with a segment for every code. */
function characterMap(codes: number[], glyphs: number[]): Uint8Array {
  const ends = [...codes, 0xffff]
  const deltas = [...glyphs.map((glyph, i) => (glyph - codes[i]) & 0xffff), 1]
  const count = ends.length
  const exponent = Math.floor(Math.log2(count))
  const search = 2 ** (exponent + 1)
  const header = [4, 16 + 8 * count, 0, 2 * count, search, exponent, 2 * count - search]
  const offsets = ends.map(() => 0)
  return words16([0, 1, 3, 1, 0, 12, ...header, ...ends, 0, ...ends, ...deltas, ...offsets])
}

function fontFile(tables: Record<string, Uint8Array>): Uint8Array {
  const tags = Object.keys(tables).sort()
  const exponent = Math.floor(Math.log2(tags.length))
  const search = 16 * 2 ** exponent
  const start = words16([0, 0, tags.length, search, exponent, 16 * tags.length - search])
  start[1] = 1
  let offset = 12 + 16 * tags.length
  const records = tags.map((tag) => {
    const name = Uint8Array.from(tag, (sign) => sign.charCodeAt(0))
    const record = joinedBytes([name, words32([checksum(tables[tag]), offset, tables[tag].length])])
    offset += padded(tables[tag]).length
    return record
  })
  return joinedBytes([start, ...records, ...tags.map((tag) => padded(tables[tag]))])
}

function checksum(table: Uint8Array): number {
  const view = new DataView(padded(table).buffer)
  let sum = 0
  for (let at = 0; at < view.byteLength; at += 4) sum = (sum + view.getUint32(at)) >>> 0
  return sum
}

/** A copy, filled up with zeros to a multiple of four bytes. */
function padded(bytes: Uint8Array): Uint8Array<ArrayBuffer> {
  const copy = new Uint8Array(4 * Math.ceil(bytes.length / 4))
  copy.set(bytes)
  return copy
}

function words16(values: number[]): Uint8Array {
  const view = new DataView(new ArrayBuffer(2 * values.length))
  for (const [i, value] of values.entries()) view.setUint16(2 * i, value)
  return bytesOf(view)
}

function words32(values: number[]): Uint8Array {
  const view = new DataView(new ArrayBuffer(4 * values.length))
  for (const [i, value] of values.entries()) view.setUint32(4 * i, value)
  return bytesOf(view)
}
