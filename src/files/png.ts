import { promisify } from 'node:util'
import { crc32, deflate } from 'node:zlib'

/** A picture as rows of red, green, blue and opacity, colours already multiplied by opacity. */
export interface Pixels {
  width: number
  height: number
  pixels: Uint8Array
}

const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)
/** Flat drawings: higher levels take three times as long for a third less. */
const LEVEL = 3
/** Filter type 2: each row less the one above. */
const UP = 2
const compressed = promisify<Uint8Array, { level: number }, Buffer>(deflate)

/**
 * A PNG of flat drawings, with texts such as the alternative text in it; compressed off the main thread.
 * @param clearAbove rows without any colour that are put above the picture
 * @source ISO/IEC 15948 (PNG, second edition): 5.3 chunks, 9.2 filter type 2 (up), 11.3.4.5 iTXt
 */
export async function pngOf(picture: Pixels, texts: Record<string, string>, clearAbove: number): Promise<Uint8Array> {
  const header = Buffer.alloc(13)
  header.writeUInt32BE(picture.width, 0)
  header.writeUInt32BE(clearAbove + picture.height, 4)
  header.set([8, 6, 0, 0, 0], 8)
  return Buffer.concat([
    SIGNATURE,
    chunk('IHDR', header),
    ...Object.entries(texts).map(([keyword, text]) => chunk('iTXt', Buffer.from(`${keyword}\0\0\0\0\0${text}`))),
    chunk('IDAT', await compressed(filtered(picture, clearAbove), { level: LEVEL })),
    chunk('IEND', Buffer.alloc(0)),
  ])
}

function chunk(type: string, data: Buffer): Buffer {
  const whole = Buffer.alloc(12 + data.length)
  whole.writeUInt32BE(data.length, 0)
  whole.write(type, 4, 'latin1')
  data.copy(whole, 8)
  whole.writeUInt32BE(crc32(whole.subarray(4, 8 + data.length)), 8 + data.length)
  return whole
}

/** Each row as its difference from the one above; pixels that are the same, nearly all, are passed over at once. */
function filtered({ width, height, pixels }: Pixels, clearAbove: number): Uint8Array {
  const rowBytes = 4 * width
  const rows = new Uint8Array((rowBytes + 1) * (clearAbove + height))
  const aligned = pixels.byteOffset % 4 === 0 ? pixels : new Uint8Array(pixels)
  const words = new Uint32Array(aligned.buffer, aligned.byteOffset, width * height)
  for (let y = 0; y < height; y++) {
    const out = (clearAbove + y) * (rowBytes + 1)
    rows[out] = UP
    for (let x = 0; x < width; x++) {
      const here = y * width + x
      if (words[here] === (y > 0 ? words[here - width] : 0)) continue
      for (let k = 0; k < 4; k++) {
        rows[out + 1 + 4 * x + k] =
          straight(pixels, 4 * here, k) - (y > 0 ? straight(pixels, 4 * (here - width), k) : 0)
      }
    }
  }
  return rows
}

/** A colour no longer multiplied by opacity, or the opacity itself. */
function straight(pixels: Uint8Array, at: number, k: number): number {
  const opacity = pixels[at + 3]
  if (k === 3 || opacity === 255 || opacity === 0) return pixels[at + k]
  return Math.min(255, Math.round((255 * pixels[at + k]) / opacity))
}
