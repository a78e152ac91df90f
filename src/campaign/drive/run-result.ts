import { prepareField } from '../../air/field.ts'
import type { StationSeries } from '../../air/series.ts'
import { type Contributions, contributionsOf, readySide, type Side } from '../../compare/contribution-draws.ts'
import { placeDrawsOf } from '../../compare/place-draws.ts'
import { onAxis, type RunOnAxis } from '../../compare/run-on-axis.ts'
import { type EnsembleSettings, type SharedDraws, sharedDraws } from '../../demand/shared-draws.ts'
import type { Vehicle } from '../../demand/vehicle.ts'
import type { AlongRun } from '../../report/along-data.ts'
import type { ReportRun } from '../../report/contract.ts'
import type { Drive } from '../../track/types.ts'
import type { RouteContext } from '../load/route-context.ts'
import type { Run } from '../load/runs.ts'
import { reportRun } from './report-run.ts'
import { runAlong } from './run-along.ts'
import { type KeptRecord, type RunRecord, recordOf } from './run-record.ts'

/** What is the same for all runs of a campaign, as plain data: handed to each worker once. */
export interface RunSetting {
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
  /** Whether the run as a side of comparisons is wanted, from which contributions are made. */
  wantsSide: boolean
  /** Whether the page shows the run along its road. */
  wantsAlong: boolean
  /** The run to share out the difference against, with whether it comes first in the order of the runs. */
  against: (Side & { first: boolean }) | null
}

/** All that the reduce step needs of a run: figures, no columns over its whole length. */
export interface RunResult extends KeptRecord {
  /** As the report tells it, but for its consumption. */
  told: Omit<ReportRun, 'consumption' | 'use'>
  /** null where it was not asked for, or without a demand. */
  side: Side | null
  /** null where it was not asked for. */
  along: AlongRun | null
  /** Against the run named in the task; null where there is none, or nothing to compare. */
  contributions: Contributions | null
}

/** A setting made ready to be used for many runs. */
export interface ReadySetting {
  setting: RunSetting
  field: ReturnType<typeof prepareField>
  shared: SharedDraws
}

export function readySetting(setting: RunSetting): ReadySetting {
  return { setting, field: prepareField(setting.series), shared: sharedDraws(setting.vehicle, setting.ensemble) }
}

/**
 * The second map step: one run with its road, through the air, to its demand. It needs the roads of all runs but none of
 * their demands, so that it can run in any worker.
 */
export function resultOf(task: RunTask, drive: Drive, { setting, field, shared }: ReadySetting): RunResult {
  const { against, axisLengthM, wantsSide, wantsAlong } = task
  const { name } = task.route
  const record = recordOf(task.run, drive, task.route, field, shared)
  const { drive: _, ...run } = record.run
  const { steps: _s, air: _a, ensembleRun: _e, member: _m, drive: _d, log: _l, ...kept } = record
  const axis = wantsSide || against || wantsAlong ? onAxis(record.ensembleRun, axisLengthM) : null
  const side = axis && (wantsSide || against) ? sideOf(record, axis, shared) : null
  let contributions: Contributions | null = null
  if (against && side) {
    const [mine, other] = [readySide(side, shared), readySide(against, shared)]
    contributions = against.first ? contributionsOf(other, mine, shared) : contributionsOf(mine, other, shared)
  }
  return {
    ...kept,
    run,
    told: reportRun(
      record,
      { id: name, lengthM: axisLengthM },
      setting.limits,
      setting.ensemble.roughnessM,
      setting.vehicle,
    ),
    side: wantsSide ? side : null,
    along: axis && wantsAlong ? runAlong(record, axis, { name, lengthM: axisLengthM }, field, shared) : null,
    contributions,
  }
}

function sideOf({ demand, ensembleRun }: RunRecord, axis: RunOnAxis, shared: SharedDraws): Side | null {
  if (!demand) return null
  return { axis, places: placeDrawsOf(ensembleRun, axis, shared), ...demand }
}
