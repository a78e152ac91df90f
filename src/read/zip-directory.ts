import { inflatedLength } from '../base/platform.ts'

/** A file within a ZIP archive, by the archive's directory. */
export interface ZipEntry {
  name: string
  /** 0: stored, 8: deflated. */
  method: number
  packedBytes: number
  /** As the directory says; what comes out may be more. */
  statedBytes: number
  isEncrypted: boolean
  /** Where its data begin. */
  dataAt: number
}

const END_BYTES = 22
const LONGEST_COMMENT = 65_535
const [LOCAL, CENTRAL, END] = [0x04034b50, 0x02014b50, 0x06054b50]
/** A workbook of a thousand sheets has fewer. */
const MOST_ENTRIES = 10_000

export const isZip = (bytes: Uint8Array): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 0x03 && bytes[3] === 0x04

/**
 * The files in a ZIP archive; null where its directory is broken, cut off, or of the kind for archives of 4 GB and more.
 * @source PKWARE, APPNOTE.TXT 6.3.10, sections 4.3.7, 4.3.12, 4.3.16
 */
export function zipEntries(bytes: Uint8Array): ZipEntry[] | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const end = endOfDirectory(view)
  if (end === null) return null
  const count = view.getUint16(end + 10, true)
  let at = view.getUint32(end + 16, true)
  if (count > MOST_ENTRIES) return null
  const entries: ZipEntry[] = []
  for (let i = 0; i < count; i++) {
    if (at + 46 > view.byteLength || view.getUint32(at, true) !== CENTRAL) return null
    const nameLength = view.getUint16(at + 28, true)
    const localAt = view.getUint32(at + 42, true)
    if (localAt + 30 > view.byteLength || view.getUint32(localAt, true) !== LOCAL) return null
    entries.push({
      name: new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameLength)),
      method: view.getUint16(at + 10, true),
      packedBytes: view.getUint32(at + 20, true),
      statedBytes: view.getUint32(at + 24, true),
      isEncrypted: (view.getUint16(at + 8, true) & 1) === 1,
      dataAt: localAt + 30 + view.getUint16(localAt + 26, true) + view.getUint16(localAt + 28, true),
    })
    at += 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true)
  }
  return entries
}

function endOfDirectory(view: DataView): number | null {
  const last = view.byteLength - END_BYTES
  for (let at = last; at >= Math.max(0, last - LONGEST_COMMENT); at--) {
    if (view.getUint32(at, true) === END) return at
  }
  return null
}

/**
 * How many bytes an archive unpacks to, by unpacking it and not by what it says of itself, which may be a lie.
 * @param mostBytes no more than so many are ever unpacked
 */
export function unpackedBytes(
  bytes: Uint8Array,
  entries: readonly ZipEntry[],
  mostBytes: number,
): number | 'too-large' | 'damaged' {
  let sum = 0
  for (const { method, dataAt, packedBytes, statedBytes } of entries) {
    if (statedBytes > mostBytes) return 'too-large'
    if (method !== 0 && method !== 8) return 'damaged'
    const left = mostBytes - sum
    const length = method === 0 ? Math.max(packedBytes, statedBytes) : inflatedLength(bytes.subarray(dataAt), left)
    if (typeof length === 'string') return length
    sum += length
    if (sum > mostBytes) return 'too-large'
  }
  return sum
}
