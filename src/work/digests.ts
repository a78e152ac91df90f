import { Worker } from 'node:worker_threads'
import { digestOfFile } from '../files/file-digest.ts'
import type { ListedFile } from '../files/folder.ts'
import { programFile } from '../files/program.ts'
import type { DigestTask } from './digest-worker.ts'
import { oneByOne } from './workers.ts'

/** Below this many bytes starting workers takes longer than they save. */
const WORTH_BYTES = 64 * 2 ** 20

/**
 * Digests of files in the order given; the empty text for one that cannot be read.
 * @param threads so many at most beside this one; 0: all is done here
 */
export async function digestFiles(
  files: ListedFile[],
  threads: number,
  done: (file: ListedFile) => void,
  worthBytes = WORTH_BYTES,
): Promise<string[]> {
  const bytes = files.reduce((sum, { size }) => sum + size, 0)
  if (threads < 1 || bytes < worthBytes) {
    return oneByOne(files, async ({ absolutePath }) => digestOfFile(absolutePath), done)
  }
  const digests: string[] = new Array(files.length).fill('')
  const paths = files.map(({ absolutePath }) => absolutePath)
  const workerData: DigestTask = { paths, next: new Int32Array(new SharedArrayBuffer(4)) }
  const work = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const worker = new Worker(programFile('work/digest-worker.js'), { workerData })
      worker.on('message', ([place, digest]: [number, string]) => {
        digests[place] = digest
        done(files[place])
      })
      worker.on('error', reject).on('exit', () => resolve())
    })
  await Promise.all(Array.from({ length: Math.min(threads, files.length) }, work))
  return digests
}
