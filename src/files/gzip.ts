import { gzipSync } from 'node:zlib'
import { type Content, largePieces } from './write.ts'

/** Place of the byte that names the operating system, and its value for "unknown". */
const OS_AT = 9
const OS_UNKNOWN = 255

/**
 * A content compressed, in pieces: one member for each piece of about a megabyte, so that no more than that is held at a
 * time. The same content gives the same bytes on every system.
 * @source RFC 1952: a file is a series of members (2.2); OS (2.3.1)
 */
export function* gzipped(content: Content): Generator<Uint8Array> {
  for (const piece of largePieces(content)) {
    const member = gzipSync(piece)
    member[OS_AT] = OS_UNKNOWN
    yield member
  }
}
