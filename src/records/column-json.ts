import { escapedJson } from '../base/json-text.ts'
import { fromBase64, toBase64 } from '../base/platform.ts'

/**
 * Plain values as JSON and back without loss: a column is `{"f64": …}`, `{"i32": …}` or `{"u8": …}`, its bytes in
 * base64, little-endian; a number that JSON does not know is `{"number": "NaN"}`, or `Infinity`, `-Infinity`, `-0`.
 * @source base64: RFC 4648, section 4; numbers: IEEE 754 binary64
 */
export const toJson = (value: unknown): string => escapedJson(JSON.stringify(value, written))

function written(_key: string, value: unknown): unknown {
  if (value instanceof Float64Array) return { f64: toBase64(littleEndian(value)) }
  if (value instanceof Int32Array) return { i32: toBase64(littleEndian(value)) }
  if (value instanceof Uint8Array) return { u8: toBase64(value) }
  if (ArrayBuffer.isView(value) || value instanceof Map || value instanceof Set) {
    throw new TypeError(`a ${value.constructor.name} has no form in JSON`)
  }
  if (typeof value === 'number' && (!Number.isFinite(value) || Object.is(value, -0))) {
    return { number: Object.is(value, -0) ? '-0' : String(value) }
  }
  return value
}

/** What `toJson` wrote, from the value that JSON.parse makes of it; throws a TypeError where a column is not whole. */
export function fromJson(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(fromJson)
  if (typeof value !== 'object' || value === null) return value
  const entries = Object.entries(value)
  if (entries.length === 1 && typeof entries[0][1] === 'string') {
    const [[kind, text]] = entries
    if (kind === 'f64') return new Float64Array(columnBuffer(text, 8))
    if (kind === 'i32') return new Int32Array(columnBuffer(text, 4))
    if (kind === 'u8') return fromBase64(text)
    if (kind === 'number') return Number(text)
  }
  return Object.fromEntries(entries.map(([key, inner]) => [key, fromJson(inner)]))
}

const BIG_ENDIAN = new Uint8Array(Uint16Array.of(1).buffer)[0] === 0

/** The bytes of a column in the order of a machine of the other kind. */
function swapped(bytes: Uint8Array, size: number): Uint8Array<ArrayBuffer> {
  const copy = new Uint8Array(bytes)
  for (let at = 0; at < copy.length; at += size) copy.subarray(at, at + size).reverse()
  return copy
}

function littleEndian({ buffer, byteOffset, byteLength, BYTES_PER_ELEMENT }: Float64Array | Int32Array): Uint8Array {
  const bytes = new Uint8Array(buffer, byteOffset, byteLength)
  return BIG_ENDIAN ? swapped(bytes, BYTES_PER_ELEMENT) : bytes
}

function columnBuffer(base64: string, size: 4 | 8): ArrayBuffer {
  const bytes = fromBase64(base64)
  if (bytes.length % size !== 0) {
    throw new TypeError(`found ${bytes.length} bytes, expected ${size} for each number of a column`)
  }
  return (BIG_ENDIAN ? swapped(bytes, size) : bytes).buffer
}
