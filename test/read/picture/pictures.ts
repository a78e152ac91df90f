import { crc32, deflateSync } from 'node:zlib'
import { encode } from 'jpeg-js'

/** A value of an EXIF tag: its type number, how many, and its bytes, big-endian. */
type Value = { type: number; count: number; bytes: Buffer }

const ascii = (text: string): Value => ({ type: 2, count: text.length + 1, bytes: Buffer.from(`${text}\0`, 'latin1') })
const short = (value: number): Value => ({ type: 3, count: 1, bytes: Buffer.from([value >> 8, value & 255, 0, 0]) })
const fractions = (...values: [number, number][]): Value => {
  const bytes = Buffer.alloc(8 * values.length)
  values.flat().forEach((value, i) => {
    bytes.writeUInt32BE(value, 4 * i)
  })
  return { type: 5, count: values.length, bytes }
}

/** What a picture is to say of itself. */
export interface Said {
  /** `2026:05:03 10:20:30`, by the camera's clock. */
  clock?: string
  offset?: string
  orientation?: number
  /** Degrees, minutes and seconds with a letter: `[48, 7, 30, 'N', 11, 30, 0, 'E']`. */
  place?: [number, number, number, string, number, number, number, string]
  /** `2026:05:03` with hours, minutes and seconds UTC. */
  gps?: [string, number, number, number]
}

/** An EXIF block, written by hand. @source CIPA DC-008-2023 (Exif 3.0), 4.6.2 (structure), tables 4 to 15 (tags) */
export function exifBlock({ clock, offset, orientation, place, gps }: Said): Buffer {
  const photo = new Map<number, Value>()
  if (clock) photo.set(0x9003, ascii(clock))
  if (offset) photo.set(0x9011, ascii(offset))
  const satellites = new Map<number, Value>()
  if (place) {
    const [d, m, s, ns, e, f, g, ew] = place
    satellites.set(1, ascii(ns)).set(2, fractions([d, 1], [m, 1], [s * 100, 100]))
    satellites.set(3, ascii(ew)).set(4, fractions([e, 1], [f, 1], [g * 100, 100]))
  }
  if (gps) satellites.set(7, fractions([gps[1], 1], [gps[2], 1], [gps[3], 1])).set(0x1d, ascii(gps[0]))
  const main = new Map<number, Value>(orientation ? [[0x0112, short(orientation)]] : [])
  const pointer = (at: number): Value => {
    const bytes = Buffer.alloc(4)
    bytes.writeUInt32BE(at)
    return { type: 4, count: 1, bytes }
  }
  const header = Buffer.from([0x4d, 0x4d, 0, 42, 0, 0, 0, 8])
  const length = directory(new Map([...main, [0x8769, pointer(0)], [0x8825, pointer(0)]]), 8).length
  const first = directory(photo, 8 + length)
  const second = directory(satellites, 8 + length + first.length)
  const whole = new Map([...main, [0x8769, pointer(8 + length)], [0x8825, pointer(8 + length + first.length)]])
  return Buffer.concat([header, directory(whole, 8), first, second])
}

/** Entries of 12 bytes, values longer than 4 behind them. @source TIFF revision 6.0, section 2 */
function directory(tags: Map<number, Value>, at: number): Buffer {
  const head = Buffer.alloc(2 + 12 * tags.size + 4)
  head.writeUInt16BE(tags.size)
  const long: Buffer[] = []
  let next = at + head.length
  for (const [i, [tag, { type, count, bytes }]] of [...tags].sort(([a], [b]) => a - b).entries()) {
    head.writeUInt16BE(tag, 2 + 12 * i)
    head.writeUInt16BE(type, 4 + 12 * i)
    head.writeUInt32BE(count, 6 + 12 * i)
    if (bytes.length <= 4) bytes.copy(head, 10 + 12 * i)
    else {
      head.writeUInt32BE(next, 10 + 12 * i)
      long.push(bytes)
      next += bytes.length
    }
  }
  return Buffer.concat([head, ...long])
}

/** Red and green above blue and white, a quarter each: red, green, blue and opacity of each pixel. */
export function quarters(width: number, height: number): Buffer {
  const colours = [
    [255, 0, 0, 255],
    [0, 255, 0, 255],
    [0, 0, 255, 255],
    [255, 255, 255, 255],
  ]
  const pixels = Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)]
    return colours[(x < width / 2 ? 0 : 1) + (y < height / 2 ? 0 : 2)]
  })
  return Buffer.from(pixels.flat())
}

/** A JPEG of the quarters, encoded by the package jpeg-js, with an EXIF segment as cameras write it. */
export function jpeg(width: number, height: number, said: Said): Buffer {
  const { data } = encode({ width, height, data: quarters(width, height) }, 92)
  const block = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), exifBlock(said)])
  const head = Buffer.from([0xff, 0xe1, (block.length + 2) >> 8, (block.length + 2) & 255])
  return Buffer.concat([data.subarray(0, 2), head, block, data.subarray(2)])
}

const chunk = (type: string, data: Buffer): Buffer => {
  const length = Buffer.alloc(4)
  length.writeUInt32BE(data.length)
  const check = Buffer.alloc(4)
  const named = Buffer.concat([Buffer.from(type, 'latin1'), data])
  check.writeUInt32BE(crc32(named))
  return Buffer.concat([length, named, check])
}

/**
 * A PNG of the quarters with an eXIf chunk and a text.
 * @param stated the size that its header states, if another
 * @source PNG specification, 3rd edition, 5.3 and 11.3.3.6
 */
export function png(width: number, height: number, said: Said, stated: [number, number] = [width, height]): Buffer {
  const header = Buffer.alloc(13)
  header.writeUInt32BE(stated[0], 0)
  header.writeUInt32BE(stated[1], 4)
  header.set([8, 6, 0, 0, 0], 8)
  const pixels = quarters(width, height)
  const rows = Array.from({ length: height }, (_, y) =>
    Buffer.concat([Buffer.of(0), pixels.subarray(4 * width * y, 4 * width * (y + 1))]),
  )
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk('IHDR', header),
    chunk('eXIf', exifBlock(said)),
    chunk('tEXt', Buffer.from('Author\0Somebody', 'latin1')),
    chunk('IDAT', deflateSync(Buffer.concat(rows))),
    chunk('IEND', Buffer.alloc(0)),
  ])
}
