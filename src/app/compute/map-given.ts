import { sha256, toHex } from '../../base/platform.ts'
import type { Problem } from '../../base/problem.ts'
import { buffersOf, type WholeFile } from '../../campaign/load/map-file.ts'
import { mapParts } from '../../campaign/load/map-parts.ts'
import { LARGEST_BYTES } from '../../read/bytes.ts'
import type { GivenFile } from './compute.ts'

/** A file to be read. */
export interface MapJob extends GivenFile {
  /** The digest of what is known under its path already; null where nothing is. */
  known: string | null
}

/** What comes of a file. */
export interface MappedGiven {
  /** null where it could not be read. */
  sha256: string | null
  /** Its parts; null where they are known already. */
  mapped: WholeFile[] | null
  problems: Problem[]
}

/** Reads one file and does the first map step, unless its content turns out to be known. */
export async function mapGiven({ path, content, known }: MapJob): Promise<MappedGiven> {
  const { bytes, problem } = await bytesOf({ path, content })
  if (bytes === null) return { sha256: null, mapped: [], problems: [problem] }
  const digest = toHex(sha256(bytes))
  const mapped = digest === known ? null : await mapParts({ path, bytes, sha256: digest })
  return { sha256: digest, mapped, problems: [] }
}

/** The bytes of a file, or why there are none: a browser refuses a file that was changed since it was chosen. */
export async function bytesOf({
  path,
  content,
}: GivenFile): Promise<{ bytes: Uint8Array; problem: null } | { bytes: null; problem: Problem }> {
  if (content.size > LARGEST_BYTES) {
    const [found, most] = [content.size, LARGEST_BYTES].map((bytes) => Math.round(bytes / 2 ** 20))
    const message = `found ${found} MB, expected at most ${most} MB; the file was not read`
    return { bytes: null, problem: { code: 'file-too-large', severity: 'warning', message, file: path } }
  }
  try {
    return { bytes: new Uint8Array(await content.arrayBuffer()), problem: null }
  } catch (error) {
    if (!(error instanceof DOMException)) throw error
    const message = 'this cannot be read: the file was changed, moved or removed since it was chosen'
    const hint = 'Choose the files again.'
    return { bytes: null, problem: { code: 'file-unreadable', severity: 'error', message, hint, file: path } }
  }
}

/** What is handed over, not copied. */
export const buffersOfGiven = ({ mapped }: MappedGiven): ArrayBuffer[] => (mapped ?? []).flatMap(buffersOf)
