import { createHash } from 'node:crypto'
import { closeSync, openSync, readSync } from 'node:fs'
import { isFileError } from './file-errors.ts'

/** One for all files: a new one for each costs as much as the digest. */
let piece: Buffer | null = null
const PIECE_BYTES = 2 ** 19

/** The SHA-256 of a file's content, hexadecimal; the empty text where it cannot be read. */
export function digestOfFile(path: string): string {
  piece ??= Buffer.allocUnsafeSlow(PIECE_BYTES)
  try {
    const file = openSync(path, 'r')
    try {
      const hash = createHash('sha256')
      for (let read = readSync(file, piece); read > 0; read = readSync(file, piece))
        hash.update(piece.subarray(0, read))
      return hash.digest('hex')
    } finally {
      closeSync(file)
    }
  } catch (error) {
    if (isFileError(error)) return ''
    throw error
  }
}
