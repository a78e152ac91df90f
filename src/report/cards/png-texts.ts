import { joinedBytes } from '../../base/bytes.ts'

/** The signature and the header chunk, behind which texts may stand. */
const HEADER_BYTES = 33

/**
 * A PNG with texts in it, such as the alternative text.
 * @source ISO/IEC 15948 (PNG, second edition): 5.3 chunks, 11.3.4.5 iTXt
 */
export function withTexts(png: Uint8Array, texts: Record<string, string>): Uint8Array<ArrayBuffer> {
  const chunks = Object.entries(texts).map(([keyword, text]) =>
    chunk('iTXt', new TextEncoder().encode(`${keyword}\0\0\0\0\0${text}`)),
  )
  return joinedBytes([png.subarray(0, HEADER_BYTES), ...chunks, png.subarray(HEADER_BYTES)])
}

function chunk(type: string, data: Uint8Array): Uint8Array {
  const whole = new Uint8Array(12 + data.length)
  const view = new DataView(whole.buffer)
  view.setUint32(0, data.length)
  whole.set(new TextEncoder().encode(type), 4)
  whole.set(data, 8)
  view.setUint32(8 + data.length, crc32(whole.subarray(4, 8 + data.length)))
  return whole
}

/** @source ISO/IEC 15948, 5.5 and annex D: the polynomial of ISO 3309, reversed */
function crc32(bytes: Uint8Array): number {
  let rest = 0xffffffff
  for (const byte of bytes) {
    rest ^= byte
    for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1
  }
  return (rest ^ 0xffffffff) >>> 0
}
