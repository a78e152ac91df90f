import type { Outcome } from '../../base/problem.ts'
import type { Observations } from '../../read/types.ts'
import type { WeatherContext } from '../../read/weather/read.ts'
import type { AlongRun } from '../../report/along-data.ts'
import type { Match } from '../../road/types.ts'
import type { RunTask, StepSetting } from '../drive/run-step.ts'
import type { MappedFile } from './map-file.ts'
import type { Run } from './runs.ts'

/** What earlier calls found out of the same; each asks the last argument for what it does not hold. */
export interface Memory {
  weather: (file: MappedFile, context: WeatherContext, read: () => Outcome<Observations>) => Outcome<Observations>
  /** How a run lies on another's path. */
  match: (run: Run, on: Run, match: () => Match) => Match
  /** What is drawn of a run. */
  drawn: (setting: StepSetting, task: RunTask, draw: () => AlongRun) => AlongRun
}

export const NO_MEMORY: Memory = {
  weather: (_file, _context, read) => read(),
  match: (_run, _on, match) => match(),
  drawn: (_setting, _task, draw) => draw(),
}
