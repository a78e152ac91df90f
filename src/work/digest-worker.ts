import { parentPort, workerData } from 'node:worker_threads'
import { present } from '../base/present.ts'
import { digestOfFile } from '../files/file-digest.ts'

/** What a worker is started with; all of them take the next file from the same list. */
export interface DigestTask {
  paths: string[]
  /** Place of the next file that nobody has taken, shared by all workers. */
  next: Int32Array
}

const { paths, next } = workerData as DigestTask
for (let i = Atomics.add(next, 0, 1); i < paths.length; i = Atomics.add(next, 0, 1)) {
  present(parentPort).postMessage([i, digestOfFile(paths[i])])
}
