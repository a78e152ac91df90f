import { unzipSync } from 'fflate'
import { fromBase64 } from '../../base/platform.ts'
import { present } from '../../base/present.ts'
import type { GivenFile } from '../compute/compute.ts'
import { unpackedTrack } from './packed-track.ts'

/** The ending of a track that is packed once more within the archive. */
const PACKED = '.packed'

/** The sample campaign that stands in the page, packed. */
export async function sampleFiles(): Promise<GivenFile[]> {
  const files = unzipSync(fromBase64(present(document.getElementById('sample')?.textContent)))
  return Object.entries(files).map(([path, bytes]) =>
    path.endsWith(PACKED)
      ? { path: path.slice(0, -PACKED.length), content: new Blob([unpackedTrack(bytes)]) }
      : { path, content: new Blob([bytes as Uint8Array<ArrayBuffer>]) },
  )
}
