import { Buffer, isUtf8 } from 'node:buffer'
import { createHash } from 'node:crypto'
import { constants, gunzipSync, inflateRawSync } from 'node:zlib'

/**
 * What pure code needs of the machine and Node's own libraries do quickest: digests, unpacking, base64. This is the one
 * file before files/ that names `node:`; in a browser `platform-browser.ts`, with the same functions, stands in its place.
 */
export { isUtf8 }

/** The SHA-256 of bytes, or of a text's UTF-8 bytes. @source FIPS 180-4 */
export function sha256(content: string | Uint8Array): Uint8Array {
  return createHash('sha256').update(content).digest()
}

/** Bytes as lower-case hexadecimal digits. */
export const toHex = (bytes: Uint8Array): string => viewOf(bytes).toString('hex')

/** Bytes in base64 with padding. @source RFC 4648, section 4 */
export const toBase64 = (bytes: Uint8Array): string => viewOf(bytes).toString('base64')

/** The bytes of a text in base64, in memory of their own: a small Buffer lies inside a larger one. */
export const fromBase64 = (text: string): Uint8Array<ArrayBuffer> => new Uint8Array(Buffer.from(text, 'base64'))

const viewOf = ({ buffer, byteOffset, byteLength }: Uint8Array): Buffer => Buffer.from(buffer, byteOffset, byteLength)

/** What `gunzip` found: the bytes, `isWhole` false where the file was cut off; or why there are none. */
export type Unpacked = { bytes: Uint8Array; isWhole: boolean } | 'damaged' | 'too-large'

/**
 * Unpacks a gzip file, of one member or several, its checksums held against what came out.
 * @param mostBytes more than so many are not unpacked
 * @source RFC 1952
 */
export function gunzip(packed: Uint8Array, mostBytes: number): Unpacked {
  try {
    return { bytes: gunzipSync(packed, { maxOutputLength: mostBytes }), isWhole: true }
  } catch (error) {
    return zlibCode(error) === 'Z_BUF_ERROR' ? gunzipStart(packed, mostBytes) : whyNot(error)
  }
}

/** What a gzip file that was cut off still holds. */
function gunzipStart(packed: Uint8Array, mostBytes: number): Unpacked {
  try {
    const bytes = gunzipSync(packed, { maxOutputLength: mostBytes, finishFlush: constants.Z_SYNC_FLUSH })
    return { bytes, isWhole: false }
  } catch (error) {
    return whyNot(error)
  }
}

function whyNot(error: unknown): 'damaged' | 'too-large' {
  const code = zlibCode(error)
  if (code === 'ERR_BUFFER_TOO_LARGE') return 'too-large'
  if (code?.startsWith('Z_')) return 'damaged'
  throw error
}

/**
 * How many bytes the deflated data take that begin at the begin of some bytes; null where they are damaged or cut off.
 * @source RFC 1951
 */
export function deflatedLength(bytes: Uint8Array): number | null {
  try {
    // The types leave out what `info` does: the engine comes with the result, and knows how much it took.
    const { engine } = inflateRawSync(bytes, { info: true }) as unknown as { engine: { bytesWritten: number } }
    return engine.bytesWritten
  } catch (error) {
    if (zlibCode(error) === null) throw error
    return null
  }
}

/**
 * How many bytes deflated data become that begin at the begin of some bytes, whatever stands behind them.
 * @param mostBytes no more than so many are unpacked
 * @source RFC 1951
 */
export function inflatedLength(bytes: Uint8Array, mostBytes: number): number | 'damaged' | 'too-large' {
  try {
    return inflateRawSync(bytes, { maxOutputLength: Math.max(1, mostBytes) }).length
  } catch (error) {
    return whyNot(error)
  }
}

/**
 * What deflated data become that begin at the begin of some bytes.
 * @param mostBytes more than so many are not unpacked
 * @source RFC 1951
 */
export function inflated(bytes: Uint8Array, mostBytes: number): Uint8Array | 'damaged' | 'too-large' {
  try {
    return inflateRawSync(bytes, { maxOutputLength: Math.max(1, mostBytes) })
  } catch (error) {
    return whyNot(error)
  }
}

const zlibCode = (error: unknown): string | null =>
  error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : null

/** Writes the UTF-16 code units of a text to the begin of an array that is long enough. */
export function writeCodeUnits(text: string, codes: Uint16Array): void {
  Buffer.from(codes.buffer, codes.byteOffset, codes.byteLength).write(text, 'utf16le')
}
