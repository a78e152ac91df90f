import { prepareField } from '../air/field.ts'
import type { StationSeries } from '../air/series.ts'
import { type Contributions, onAxis, type RunOnAxis } from '../compare/contributions.ts'
import { type EnsembleSettings, type SharedDraws, sharedDraws } from '../demand/shared-draws.ts'
import type { Vehicle } from '../demand/vehicle.ts'
import type { ReportRun } from '../report/contract.ts'
import { type Side, sharesBetween } from './pairs.ts'
import { reportRun } from './report-run.ts'
import { type KeptRecord, type RouteContext, recordOf } from './run-record.ts'
import type { Run } from './runs.ts'

/** What is the same for all runs of a campaign, as plain data: handed to each worker once. */
export interface StepSetting {
  series: StationSeries[]
  vehicle: Vehicle
  ensemble: EnsembleSettings
  /** Test procedures to hold the runs against. */
  limits: string[]
}

/** One run to be brought together with its road and its air. */
export interface RunTask {
  run: Run
  route: RouteContext
  axisLengthM: number
  /** Whether the run on its road's axis is wanted, from which contributions are made. */
  wantsAxis: boolean
  /** The run to share out the difference against, with whether it comes first in the order of the runs. */
  against: (Side & { first: boolean }) | null
}

/** All that the reduce step needs of a run. */
export interface RunStep extends KeptRecord {
  /** As the report tells it, but for its consumption. */
  told: Omit<ReportRun, 'consumption'>
  axis: RunOnAxis | null
  /** Against the run named in the task; null where there is none, or nothing to compare. */
  contributions: Contributions | null
}

/** A setting made ready to be used for many runs. */
export interface ReadySetting {
  setting: StepSetting
  field: ReturnType<typeof prepareField>
  shared: SharedDraws
}

export function readySetting(setting: StepSetting): ReadySetting {
  return { setting, field: prepareField(setting.series), shared: sharedDraws(setting.vehicle, setting.ensemble) }
}

/**
 * The second map step: one run with its road, through the air, to its demand. It needs the roads of all runs but none of
 * their demands, so that it can run in any worker.
 */
export function stepOf(task: RunTask, { setting, field, shared }: ReadySetting): RunStep {
  const { against } = task
  const record = recordOf(task.run, task.route, field, shared)
  const { drive: _, ...run } = record.run
  const { steps: _s, air: _a, ensembleRun, ...kept } = record
  const compared = against !== null && record.demand !== null
  const axis = task.wantsAxis || compared ? onAxis(ensembleRun, task.axisLengthM) : null
  let contributions: Contributions | null = null
  if (compared && axis && record.demand) {
    const own = { axis, ...record.demand }
    contributions = against.first ? sharesBetween(against, own, shared) : sharesBetween(own, against, shared)
  }
  return {
    ...kept,
    run,
    told: reportRun(record, task.route.name, setting.limits, setting.ensemble.roughnessM),
    axis: task.wantsAxis ? axis : null,
    contributions,
  }
}
