import { promisify } from 'node:util'
import { crc32, deflate } from 'node:zlib'
import { type Pixels, rowsOf } from './png-rows.ts'

const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)
/** Flat drawings: higher levels take three times as long for a third less. */
const LEVEL = 3
/** Colour types: a palette, and red, green, blue and opacity of each pixel. */
const [INDEXED, TRUE_COLOUR] = [3, 6]
const compressed = promisify<Uint8Array, { level: number }, Buffer>(deflate)

/**
 * A PNG of flat drawings, with texts such as the alternative text in it; compressed off the main thread.
 * @param clearAbove rows without any colour that are put above the picture
 * @source ISO/IEC 15948 (PNG, second edition): 5.3 chunks, 11.2.2 IHDR, 11.2.3 PLTE, 11.3.2.1 tRNS, 11.3.4.5 iTXt
 */
export async function pngOf(picture: Pixels, texts: Record<string, string>, clearAbove: number): Promise<Uint8Array> {
  const { rows, palette } = rowsOf(picture, clearAbove)
  const header = Buffer.alloc(13)
  header.writeUInt32BE(picture.width, 0)
  header.writeUInt32BE(clearAbove + picture.height, 4)
  header.set([8, palette ? INDEXED : TRUE_COLOUR, 0, 0, 0], 8)
  return Buffer.concat([
    SIGNATURE,
    chunk('IHDR', header),
    ...Object.entries(texts).map(([keyword, text]) => chunk('iTXt', Buffer.from(`${keyword}\0\0\0\0\0${text}`))),
    ...(palette ? [chunk('PLTE', part(palette, [0, 1, 2])), chunk('tRNS', part(palette, [3]))] : []),
    chunk('IDAT', await compressed(rows, { level: LEVEL })),
    chunk('IEND', Buffer.alloc(0)),
  ])
}

/** Of each four bytes some. */
const part = (palette: Uint8Array, taken: number[]): Buffer =>
  Buffer.from(palette.filter((_, i) => taken.includes(i & 3)))

function chunk(type: string, data: Buffer): Buffer {
  const whole = Buffer.alloc(12 + data.length)
  whole.writeUInt32BE(data.length, 0)
  whole.write(type, 4, 'latin1')
  data.copy(whole, 8)
  whole.writeUInt32BE(crc32(whole.subarray(4, 8 + data.length)), 8 + data.length)
  return whole
}
