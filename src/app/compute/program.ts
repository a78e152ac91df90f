import { fromBase64 } from '../../base/platform.ts'
import { present } from '../../base/present.ts'
import { startCompute } from './client.ts'
import type { Compute } from './compute.ts'

/** More helpers than these gain little, and each takes some 30 MB. */
const MOST_THREADS = 8

/** Starts the flow with the script of its workers and the version that stand in the page. */
export const computeOfPage = (): Compute =>
  startCompute({
    script: () => unpacked('worker'),
    version: present(document.querySelector<HTMLMetaElement>('meta[name=version]')).content,
    // Some browsers do not tell.
    threads: Math.min(MOST_THREADS, navigator.hardwareConcurrency || 2),
  })

/** What stands in an element of the page, packed. */
export async function unpacked(id: 'worker' | 'licences'): Promise<Blob> {
  const bytes = fromBase64(present(document.getElementById(id)).textContent)
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'))).blob()
}
