import type { ExitCode } from '../shell/exit-codes.ts'
import { reportCommand } from './report-command.ts'
import type { ReportOptions } from './report-options.ts'

/** The worker's entry: one report, so that the watching thread stays free to answer. */
export default function reportInWorker(task: {
  folder: string
  options: ReportOptions
  version: string
}): Promise<ExitCode> {
  return reportCommand(task.folder, task.options, task.version)
}
