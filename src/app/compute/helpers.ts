import { buffersOfGiven, type MapJob, type MappedGiven, mapGiven } from './map-given.ts'
import type { FromHelper, ToHelper } from './messages.ts'

/** Below this many bytes starting workers takes longer than they save. */
const WORTH_BYTES = 8 * 2 ** 20

/** Who reads files. */
export interface Helping {
  /** The address of the script that a helper runs. */
  script: string
  threads: number
}

/**
 * Reads all files, in workers where they are many, and gives what comes of them in their order.
 * @param done called for each file; what it throws ends the work
 */
export async function mapAll(
  jobs: MapJob[],
  { script, threads }: Helping,
  done: (job: MapJob) => void,
  pause: () => Promise<void>,
): Promise<MappedGiven[]> {
  const bytes = jobs.reduce((sum, { content }) => sum + content.size, 0)
  const workers = bytes < WORTH_BYTES ? 0 : Math.min(threads, jobs.length)
  const results: MappedGiven[] = new Array(jobs.length)
  let next = 0
  const workOff = async (work: (job: MapJob) => Promise<MappedGiven>): Promise<void> => {
    while (next < jobs.length) {
      const place = next++
      results[place] = await work(jobs[place])
      done(jobs[place])
      await pause()
    }
  }
  if (workers < 2) {
    await workOff(mapGiven)
    return results
  }
  const helpers = Array.from({ length: workers }, () => startHelper(script))
  try {
    await Promise.all(helpers.map(({ map }) => workOff(map)))
    return results
  } finally {
    for (const { end } of helpers) end()
  }
}

/** Starts a worker that reads one file after another. */
function startHelper(script: string): { map: (job: MapJob) => Promise<MappedGiven>; end: () => void } {
  const worker = new Worker(script)
  const map = (job: MapJob): Promise<MappedGiven> =>
    new Promise((resolve, reject) => {
      worker.onmessage = ({ data }: MessageEvent<FromHelper>) =>
        'mapped' in data ? resolve(data.mapped) : reject(new Error(data.fault))
      worker.onerror = ({ message }) => reject(new Error(message || 'a worker that reads files could not be started'))
      worker.postMessage({ map: job } satisfies ToHelper)
    })
  return { map, end: () => worker.terminate() }
}

/** What a helper does with a message; the answer, and what of it is handed over. */
export async function helped({ map }: ToHelper): Promise<[FromHelper, ArrayBuffer[]]> {
  try {
    const mapped = await mapGiven(map)
    return [{ mapped }, buffersOfGiven(mapped)]
  } catch (error) {
    return [{ fault: error instanceof Error ? (error.stack ?? error.message) : String(error) }, []]
  }
}
