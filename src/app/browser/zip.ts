import { Zip, ZipDeflate } from 'fflate'

const PIECE_BYTES = 2 ** 18

/** Packs files into a ZIP archive, piece by piece, so that the page can be used meanwhile. */
export async function zipped(files: readonly { path: string; content: Blob }[], signal?: AbortSignal): Promise<Blob> {
  const pieces: Uint8Array<ArrayBuffer>[] = []
  const zip = new Zip((error, piece) => {
    if (error) throw error
    pieces.push(piece as Uint8Array<ArrayBuffer>)
  })
  for (const { path, content } of files) {
    const entry = new ZipDeflate(path, { level: 6 })
    zip.add(entry)
    for (let at = 0; at < content.size; at += PIECE_BYTES) {
      signal?.throwIfAborted()
      // Reading a piece gives the page its turn.
      entry.push(new Uint8Array(await content.slice(at, at + PIECE_BYTES).arrayBuffer()))
    }
    entry.push(new Uint8Array(0), true)
  }
  zip.end()
  return new Blob(pieces, { type: 'application/zip' })
}
