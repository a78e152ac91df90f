import { inflateSync } from 'node:zlib'
import * as renderer from '@resvg/resvg-js'
import { decode } from 'jpeg-js'
import { describe, expect, it } from 'vitest'
import { thumbnailOf } from '../../src/files/pictures/thumbnail.ts'
import { readPicture } from '../../src/read/picture/picture.ts'
import { jpeg, png, type Said } from '../read/picture/pictures.ts'

const SAID: Said = { clock: '2026:05:03 10:20:30', place: [48, 7, 30, 'N', 11, 30, 0, 'E'] }
const made = (bytes: Buffer) => thumbnailOf(bytes, readPicture(bytes), renderer)

interface Image {
  width: number
  height: number
  chunks: string[]
  pixel: (x: number, y: number) => number[]
}

/** A PNG of 8 bits without filters, read by hand. @source PNG specification, 3rd edition, 5.3, 7.2 and 9.2 */
function imageOf(bytes: Uint8Array): Image {
  const png = Buffer.from(bytes)
  const chunks = new Map<string, Buffer>()
  for (let at = 8; at < png.length; at += 12 + png.readUInt32BE(at)) {
    chunks.set(png.toString('latin1', at + 4, at + 8), png.subarray(at + 8, at + 8 + png.readUInt32BE(at)))
  }
  const part = (name: string): Buffer => chunks.get(name) ?? Buffer.alloc(0)
  const [width, height] = [part('IHDR').readUInt32BE(0), part('IHDR').readUInt32BE(4)]
  const rows = inflateSync(part('IDAT'))
  const bytesPerPixel = chunks.has('PLTE') ? 1 : 4
  const pixel = (x: number, y: number): number[] => {
    const at = y * (width * bytesPerPixel + 1) + 1 + x * bytesPerPixel
    if (bytesPerPixel === 4) return [...rows.subarray(at, at + 3)]
    return [...part('PLTE').subarray(3 * rows[at], 3 * rows[at] + 3)]
  }
  return { width, height, chunks: [...chunks.keys()], pixel }
}

const [RED, GREEN, BLUE, WHITE] = ['red', 'green', 'blue', 'white']
const nameOf = ([r, g, b]: number[]): string => {
  const bright = [r, g, b].map((value) => value > 128)
  return ['red', 'green', 'blue'].filter((_, i) => bright[i]).length === 3
    ? WHITE
    : (['red', 'green', 'blue'].find((_, i) => bright[i]) ?? 'black')
}
/** The colours of the quarters: above left and right, below left and right. */
const quartersOf = ({ width, height, pixel }: Image): string[] =>
  [0.25, 0.75].flatMap((y) => [0.25, 0.75].map((x) => nameOf(pixel(Math.floor(x * width), Math.floor(y * height)))))

describe('a small copy of a photo', () => {
  it.each([
    ['JPEG', jpeg],
    ['PNG', png],
  ])('of a %s has a longest side of 320 pixels, its colours, and nothing else of the file', async (_, make) => {
    const bytes = make(1300, 900, SAID)
    const { png: small } = await made(bytes)
    const image = imageOf(small ?? new Uint8Array())
    expect([image.width, image.height]).toEqual([320, 222])
    expect(quartersOf(image)).toEqual([RED, GREEN, BLUE, WHITE])
    expect(image.chunks.filter((name) => !['IHDR', 'PLTE', 'tRNS', 'IDAT', 'IEND'].includes(name))).toEqual([])
    const text = Buffer.from(small ?? []).toString('latin1')
    for (const mark of ['Exif', 'eXIf', '2026:05:03', 'Somebody']) expect(text).not.toContain(mark)
    expect(bytes.toString('latin1')).toContain('2026:05:03')
  })

  // Where the quarters come to lie: CIPA DC-008 (Exif), orientation: which side of the stored picture row 0 and column 0 are.
  it.each([
    [1, [RED, GREEN, BLUE, WHITE]],
    [2, [GREEN, RED, WHITE, BLUE]],
    [3, [WHITE, BLUE, GREEN, RED]],
    [4, [BLUE, WHITE, RED, GREEN]],
    [5, [RED, BLUE, GREEN, WHITE]],
    [6, [BLUE, RED, WHITE, GREEN]],
    [7, [WHITE, GREEN, BLUE, RED]],
    [8, [GREEN, WHITE, RED, BLUE]],
  ])('of orientation %i stands upright', async (orientation, colours) => {
    const { png: small } = await made(jpeg(640, 320, { orientation }))
    const image = imageOf(small ?? new Uint8Array())
    expect([image.width, image.height]).toEqual(orientation < 5 ? [320, 160] : [160, 320])
    expect(quartersOf(image)).toEqual(colours)
  })

  it('is never larger than the photo', async () => {
    const { png: small } = await made(png(40, 20, {}))
    expect(imageOf(small ?? new Uint8Array())).toMatchObject({ width: 40, height: 20 })
  })

  it('is refused with the reason for what cannot or must not be decoded', async () => {
    const whole = jpeg(400, 300, SAID)
    expect(decode(whole)).toMatchObject({ width: 400, height: 300 })
    const cases: [string, Buffer, RegExp][] = [
      ['cut before its size', whole.subarray(0, 40), /does not say how large/],
      ['cut behind its header', whole.subarray(0, whole.indexOf(Buffer.from([0xff, 0xda]))), /cannot be decoded/],
      ['a bomb', png(8, 8, {}, [60_000, 60_000]), /60000 × 60000 pixels, expected at most 100 million/],
      ['HEIF', Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic', 'latin1'), /neither JPEG nor PNG/],
    ]
    for (const [what, bytes, reason] of cases) {
      const { png: small, reason: found } = await made(bytes)
      expect([what, small]).toEqual([what, null])
      expect(found).toMatch(reason)
    }
  })
})
