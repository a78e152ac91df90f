import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { open, stat } from 'node:fs/promises'
import { pipeline, type Readable } from 'node:stream'
import { constants, createGunzip, gunzipSync } from 'node:zlib'
import type { Problem } from '../base/problem.ts'
import { type InputFile, MOST_TRACK_MILLIONS } from '../campaign/load/map-file.ts'
import { thinner } from '../read/gpx/thin.ts'
import { isGzip } from '../read/gzip.ts'
import { kindOf } from '../read/kind.ts'

/** A larger track is not read at all, bytes unpacked: some ten million points. */
export const LARGEST_TRACK_BYTES = 2 ** 30
/** To so much a large track is thinned, bytes: with the line ends of the rest it stays below what is read of a track. */
const THINNED_BYTES = 90e6
const PIECE_BYTES = 2 ** 20
const HEAD_BYTES = 65_536
/** Deflate packs to a thousandth at the best, and points to a twentieth. */
const SMALLEST_PACKED_BYTES = 2 ** 17

/** A GPX file too large to be read whole. */
export interface LargeTrack {
  packed: boolean
  /** Length of the unpacked text. */
  bytes: number
}

/**
 * Whether a file is a GPX track, packed or not, that is larger than what is read whole, and small enough to be thinned;
 * told by its first bytes, its size and, where it is packed, the length that it ends with.
 */
export async function largeTrackIn(path: string): Promise<LargeTrack | null> {
  const { size } = await stat(path)
  if (size < SMALLEST_PACKED_BYTES) return null
  const file = await open(path)
  try {
    const head = Buffer.alloc(Math.min(HEAD_BYTES, size))
    await file.read(head, 0, head.length, 0)
    const packed = isGzip(head)
    const bytes = packed ? await lengthAtEnd(file, size) : size
    if (bytes <= MOST_TRACK_MILLIONS * 1e6 || bytes > LARGEST_TRACK_BYTES) return null
    const start = packed ? startOf(head) : head
    return start !== null && kindOf(start.toString('latin1')) === 'gpx' ? { packed, bytes } : null
  } finally {
    await file.close()
  }
}

/** The length of the unpacked data, as the last four bytes of a gzip file tell it. @source RFC 1952, 2.3.1 (ISIZE) */
async function lengthAtEnd(file: Awaited<ReturnType<typeof open>>, size: number): Promise<number> {
  const end = Buffer.alloc(4)
  await file.read(end, 0, 4, Math.max(0, size - 4))
  return end.readUInt32LE(0)
}

function startOf(head: Buffer): Buffer | null {
  try {
    return gunzipSync(head, { finishFlush: constants.Z_SYNC_FLUSH, maxOutputLength: 2 ** 27 })
  } catch {
    return null
  }
}

/**
 * Reads a large track in pieces and keeps of its points one in so many; null where it holds more than it said, where it
 * is damaged as packed data, or where it is large by something else than plain points.
 * The digest is that of the file as it lies there.
 */
export async function readLargeTrack(
  path: string,
  absolutePath: string,
  { packed, bytes }: LargeTrack,
): Promise<InputFile | null> {
  const every = Math.ceil(bytes / THINNED_BYTES)
  const hash = createHash('sha256')
  const thin = thinner(every)
  const kept: Buffer[] = []
  let read = 0
  let length = 0
  try {
    for await (const piece of piecesOf(absolutePath, packed, (raw) => hash.update(raw))) {
      read += piece.length
      const fewer = Buffer.from(thin.take(piece.toString('latin1')), 'latin1')
      length += fewer.length
      if (read > LARGEST_TRACK_BYTES || length > MOST_TRACK_MILLIONS * 1e6) return null
      kept.push(fewer)
    }
  } catch (error) {
    // Told by the reader of whole files.
    if (error instanceof Error && 'code' in error && String(error.code).startsWith('Z_')) return null
    throw error
  }
  kept.push(Buffer.from(thin.rest(), 'latin1'))
  const problems = [thinned(thin.counts(), every, read)]
  return { path, bytes: Buffer.concat(kept), sha256: hash.digest('hex'), problems }
}

function piecesOf(path: string, packed: boolean, raw: (bytes: Buffer) => void): AsyncIterable<Buffer> {
  const file: Readable = createReadStream(path, { highWaterMark: PIECE_BYTES })
  const seen = async function* (source: AsyncIterable<Buffer>) {
    for await (const bytes of source) {
      raw(bytes)
      yield bytes
    }
  }
  if (!packed) return seen(file)
  // A fault is thrown where the pieces are taken.
  return pipeline(file, seen, createGunzip({ chunkSize: PIECE_BYTES }), () => undefined)
}

function thinned({ met, kept }: { met: number; kept: number }, every: number, bytes: number): Problem {
  return {
    code: 'points-thinned',
    severity: 'warning',
    message: `the file holds ${met} points in ${Math.round(bytes / 1e6)} MB, too many to be worked on at once: one in ${every} of each segment is used, its first and last among them, ${kept} in all`,
    hint: 'Split it into one file for each drive to use every point.',
  }
}
