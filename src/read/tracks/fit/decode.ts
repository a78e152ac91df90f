/** A field of a message as the file defines it. */
interface Field {
  number: number
  size: number
  baseType: number
}

interface Definition {
  message: number
  littleEndian: boolean
  fields: Field[]
  /** Bytes of developer fields, which are passed over. */
  developerBytes: number
}

/** What a pass over the messages of a FIT file meets. */
export interface FitVisitor {
  /**
   * One data message: its global number, and its fields by their numbers; a field that is invalid, or an array, is left out.
   */
  message: (message: number, fields: Map<number, number>) => void
}

/** How the bytes ended: whole, or cut off at a place. */
export interface FitEnd {
  /** Byte at which reading ended before its time; null: nowhere. */
  brokenAt: number | null
  reason: string
  /** Of parts whose checksum does not fit. */
  wrongChecksums: number
}

const HEADER_BYTES = 12
const TIMESTAMP = 253

/** Base types: bytes, whether signed, and the value that means "not recorded". Texts, bytes and 64-bit numbers are passed over. */
const BASE_TYPES: Record<
  number,
  { size: number; read: (view: DataView, at: number, little: boolean) => number; invalid: number }
> = {
  0: { size: 1, read: (v, at) => v.getUint8(at), invalid: 0xff },
  1: { size: 1, read: (v, at) => v.getInt8(at), invalid: 0x7f },
  2: { size: 1, read: (v, at) => v.getUint8(at), invalid: 0xff },
  131: { size: 2, read: (v, at, le) => v.getInt16(at, le), invalid: 0x7fff },
  132: { size: 2, read: (v, at, le) => v.getUint16(at, le), invalid: 0xffff },
  133: { size: 4, read: (v, at, le) => v.getInt32(at, le), invalid: 0x7fffffff },
  134: { size: 4, read: (v, at, le) => v.getUint32(at, le), invalid: 0xffffffff },
  136: { size: 4, read: (v, at, le) => v.getFloat32(at, le), invalid: Number.NaN },
  137: { size: 8, read: (v, at, le) => v.getFloat64(at, le), invalid: Number.NaN },
  10: { size: 1, read: (v, at) => v.getUint8(at), invalid: 0 },
  139: { size: 2, read: (v, at, le) => v.getUint16(at, le), invalid: 0 },
  140: { size: 4, read: (v, at, le) => v.getUint32(at, le), invalid: 0 },
}

/** Whether bytes begin as a FIT file does. */
export function isFit(bytes: Uint8Array): boolean {
  return (
    bytes.length >= HEADER_BYTES && bytes[0] >= HEADER_BYTES && String.fromCharCode(...bytes.subarray(8, 12)) === '.FIT'
  )
}

/**
 * Goes through all messages of a FIT file, which may be several one after another. Never throws: where the bytes end before
 * their time or stop to make sense, what came before is told and the place is given.
 * @source the FIT protocol as the open decoder fit-file-parser (MIT) reads it, against which this is tested
 */
export function decodeFit(bytes: Uint8Array, visitor: FitVisitor): FitEnd {
  let wrongChecksums = 0
  for (let at = 0; at < bytes.length; ) {
    const rest = bytes.subarray(at)
    if (!isFit(rest)) {
      return at === 0 || rest.some((byte) => byte !== 0)
        ? { brokenAt: at, reason: 'no header of a FIT file stands here', wrongChecksums }
        : { brokenAt: null, reason: '', wrongChecksums }
    }
    const headerBytes = bytes[at]
    const dataBytes = new DataView(rest.buffer, rest.byteOffset).getUint32(4, true)
    const end = at + headerBytes + dataBytes
    const fault = decodeData(bytes, at + headerBytes, Math.min(end, bytes.length), visitor)
    if (fault) return { ...fault, wrongChecksums }
    if (end + 2 > bytes.length) {
      const reason = `the file has ${bytes.length} bytes and its header says ${end + 2}`
      return { brokenAt: bytes.length, reason, wrongChecksums }
    }
    if (checksum(bytes.subarray(at, end)) !== bytes[end] + 256 * bytes[end + 1]) wrongChecksums++
    at = end + 2
  }
  return { brokenAt: null, reason: '', wrongChecksums }
}

function decodeData(
  bytes: Uint8Array,
  from: number,
  to: number,
  visitor: FitVisitor,
): Omit<FitEnd, 'wrongChecksums'> | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const definitions = new Map<number, Definition>()
  let lastTime = Number.NaN
  for (let at = from; at < to; ) {
    const header = bytes[at]
    const isCompressed = (header & 0x80) !== 0
    const local = isCompressed ? (header >> 5) & 3 : header & 15
    if (!isCompressed && (header & 0x40) !== 0) {
      const defined = definitionAt(bytes, view, at, to)
      if (!defined) return { brokenAt: at, reason: 'a definition is cut off here' }
      definitions.set(local, defined.definition)
      at = defined.end
      continue
    }
    const definition = definitions.get(local)
    if (!definition)
      return { brokenAt: at, reason: `a message of kind ${local}, which nothing before defines, stands here` }
    const size = definition.fields.reduce((sum, field) => sum + field.size, definition.developerBytes)
    if (at + 1 + size > to) return { brokenAt: at, reason: 'a message is cut off here' }
    const fields = fieldsAt(view, at + 1, definition)
    if (isCompressed && !Number.isNaN(lastTime)) {
      const offset = header & 31
      fields.set(TIMESTAMP, lastTime + ((offset - (lastTime & 31)) & 31))
    }
    lastTime = fields.get(TIMESTAMP) ?? lastTime
    visitor.message(definition.message, fields)
    at += 1 + size
  }
  return null
}

function definitionAt(
  bytes: Uint8Array,
  view: DataView,
  at: number,
  to: number,
): { definition: Definition; end: number } | null {
  if (at + 6 > to) return null
  const littleEndian = bytes[at + 2] === 0
  const fieldsEnd = at + 6 + 3 * bytes[at + 5]
  if (fieldsEnd > to) return null
  const fields: Field[] = []
  for (let f = at + 6; f < fieldsEnd; f += 3)
    fields.push({ number: bytes[f], size: bytes[f + 1], baseType: bytes[f + 2] })
  const definition = { message: view.getUint16(at + 3, littleEndian), littleEndian, fields, developerBytes: 0 }
  if ((bytes[at] & 0x20) === 0) return { definition, end: fieldsEnd }
  if (fieldsEnd + 1 > to) return null
  const end = fieldsEnd + 1 + 3 * bytes[fieldsEnd]
  if (end > to) return null
  for (let f = fieldsEnd + 1; f < end; f += 3) definition.developerBytes += bytes[f + 1]
  return { definition, end }
}

function fieldsAt(view: DataView, from: number, { fields, littleEndian }: Definition): Map<number, number> {
  const values = new Map<number, number>()
  let at = from
  for (const { number, size, baseType } of fields) {
    const type = BASE_TYPES[baseType]
    if (type && type.size === size) {
      const value = type.read(view, at, littleEndian)
      if (value !== type.invalid && !Number.isNaN(value)) values.set(number, value)
    }
    at += size
  }
  return values
}

/** CRC-16 with the polynomial 0x8005, reflected, begun at 0. @source the same; known as CRC-16/ARC */
export function checksum(bytes: Uint8Array): number {
  let crc = 0
  for (const byte of bytes) {
    crc ^= byte
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1
  }
  return crc
}
