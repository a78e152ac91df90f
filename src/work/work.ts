import type { Progress } from './progress.ts'

/** Who does the work of a report, and what is told while it is done. */
export interface Work {
  jobs: number
  progress: Progress
  /** Below this many bytes of files, or runs, starting workers takes longer than they save. */
  worthBytes?: number
  worthRuns?: number
}
