import type { RunSetting } from '../campaign/drive/run-result.ts'
import { programFile } from '../files/program.ts'
import type { Cache } from '../store/cache.ts'

/** What a worker is started with. */
export interface WorkerSetting {
  cache: Cache | null
  /** null for workers that read files. */
  runs: RunSetting | null
}

/** Does all tasks in their order, here or in workers, and gives the results in the same order. */
export async function inWorkers<Task, Result>(
  tasks: Task[],
  workers: number,
  workerData: WorkerSetting,
  name: 'map' | 'computeRun',
  here: (task: Task) => Promise<Result>,
  done: (task: Task) => void,
): Promise<Result[]> {
  if (workers < 2) return oneByOne(tasks, here, done)
  // Loaded here: a call that starts no workers ends before that.
  const { Tinypool } = await import('tinypool')
  const filename = programFile('work/worker.js').href
  const pool = new Tinypool({ filename, minThreads: workers, maxThreads: workers, workerData })
  try {
    return await Promise.all(
      tasks.map(async (task) => {
        const result: Result = await pool.run(task, { name })
        done(task)
        return result
      }),
    )
  } finally {
    await pool.destroy()
  }
}

/** Does all tasks in their order, here. */
export async function oneByOne<Task, Result>(
  tasks: Task[],
  work: (task: Task) => Promise<Result>,
  done: (task: Task) => void,
): Promise<Result[]> {
  const results: Result[] = []
  for (const task of tasks) {
    results.push(await work(task))
    done(task)
    // Lets a signal through.
    await new Promise((resolve) => setImmediate(resolve))
  }
  return results
}
