import { closeSync, constants, fstatSync, lstatSync, openSync, readSync, type Stats } from 'node:fs'
import { isFileError } from './file-errors.ts'

/** Windows knows neither. */
const FLAGS = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0)

/**
 * The content of a plain file; null for a link, a pipe, a device or a folder, for a file that is too large, and where
 * nothing can be read. It is looked at before it is opened: opening a pipe can wait for ever, and opening a device can
 * have an effect.
 * @param mostBytes a larger file is not read
 * @param firstBytes no more than so many bytes from the start
 */
export function readPlainFile(path: string, mostBytes: number, firstBytes = mostBytes): Buffer | null {
  try {
    if (!isPlain(lstatSync(path), mostBytes)) return null
    const file = openSync(path, FLAGS)
    try {
      const info = fstatSync(file)
      // Somebody may have put something else there since.
      return isPlain(info, mostBytes) ? bytesOf(file, Math.min(info.size, firstBytes)) : null
    } finally {
      closeSync(file)
    }
  } catch (error) {
    if (isFileError(error)) return null
    throw error
  }
}

const isPlain = (info: Stats, mostBytes: number): boolean => info.isFile() && info.size <= mostBytes

function bytesOf(file: number, count: number): Buffer {
  const bytes = Buffer.allocUnsafeSlow(count)
  let filled = 0
  for (let read = 1; read > 0 && filled < count; filled += read)
    read = readSync(file, bytes, filled, count - filled, null)
  return bytes.subarray(0, filled)
}
