import type { RunSetting } from '../campaign/drive/run-result.ts'
import { programFile } from '../files/program.ts'
import type { Cache } from '../store/cache.ts'

/** What a worker is started with. */
export interface WorkerSetting {
  cache: Cache | null
  /** null for workers that read files. */
  runs: RunSetting | null
}

/** Tasks handed to each worker at a time: one to work on, one that waits, so that nobody waits for this thread. */
const AT_ONCE = 2

/**
 * Does all tasks, here and in workers, and gives the results in the tasks' order.
 * @param threads that work, this one among them: it would only wait else, and has its program loaded
 */
export async function inWorkers<Task, Result>(
  tasks: Task[],
  threads: number,
  workerData: WorkerSetting,
  name: 'map' | 'computeRun',
  here: (task: Task) => Promise<Result>,
  done: (task: Task) => void,
): Promise<Result[]> {
  if (threads < 2) return oneByOne(tasks, here, done)
  // Loaded here: a call that starts no workers ends before that.
  const { Tinypool } = await import('tinypool')
  const filename = programFile('work/worker.js').href
  const workers = threads - 1
  const pool = new Tinypool({
    filename,
    minThreads: workers,
    maxThreads: workers,
    concurrentTasksPerWorker: AT_ONCE,
    workerData,
  })
  const results: Result[] = new Array(tasks.length)
  let next = 0
  const workOff = async (work: (task: Task) => Promise<Result>): Promise<void> => {
    while (next < tasks.length) {
      const place = next++
      results[place] = await work(tasks[place])
      done(tasks[place])
    }
  }
  const there = (task: Task): Promise<Result> => pool.run(task, { name })
  const hereBetween = async (task: Task): Promise<Result> => {
    await letThrough()
    return here(task)
  }
  try {
    const others = Array.from({ length: workers * AT_ONCE }, () => workOff(there))
    await Promise.all([...others, workOff(hereBetween)])
    return results
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
    await letThrough()
  }
  return results
}

/** Lets a signal through, and messages of workers. */
const letThrough = (): Promise<void> => new Promise((resolve) => setImmediate(resolve))
