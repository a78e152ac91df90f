import { spansOf } from '../../claim/fuel/fill-spans.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { BatterySettings } from '../../read/campaign/settings.ts'
import type { FillRow } from '../../read/runs/rows.ts'
import { emptyRow } from '../../read/runs/runs-table.ts'
import type { ReadySetting } from '../drive/run-result.ts'
import type { DividedRecording, MotionSource, Run } from '../load/runs.ts'
import type { OtherEnergy } from './log-runs.ts'
import { energyOf, type OtherDriving, otherDriving, recordedEnds } from './other-driving.ts'
import {
  type Driving,
  drivingInSpans,
  fillSide,
  logOdometerRatio,
  type RecordedEnds,
  type SpanDriving,
} from './spans-and-drives.ts'

/** A fuel log held against what was recorded. */
export interface FuelLog {
  file: string
  battery: BatterySettings
  fills: FillRow[]
  spans: SpanDriving[]
  /** What was recorded: drives and other driving in the order of time, and where recordings begin and end. */
  driving: Driving[]
  ends: RecordedEnds[]
  otherEnergy: OtherEnergy
}

const drivingOf = (runs: readonly Run[]): Driving[] =>
  runs.map(({ id, summary }) => ({
    run: id,
    fromTime: summary.startTime,
    toTime: summary.endTime,
    distanceM: summary.distanceM,
  }))

/** The log of a campaign; null where there is none. */
export function fuelLogOf(
  fills: FillRow[],
  file: string | null,
  battery: BatterySettings,
  runs: readonly Run[],
  recordings: readonly DividedRecording[],
  { field, shared }: Pick<ReadySetting, 'field'> & { shared: SharedDraws },
  motions: MotionSource,
): FuelLog | null {
  if (file === null || fills.length === 0) return null
  const drives = drivingOf(runs)
  const others = otherDriving(recordings, drives)
  const driving = [...drives, ...others].sort((a, b) => a.fromTime - b.fromTime)
  const ends = recordedEnds(recordings)
  const spans = spansOf(fills, battery)
  const ratio = logOdometerRatio(drivingInSpans(spans, driving, ends, 1))
  return {
    file,
    battery,
    fills,
    spans: drivingInSpans(spans, driving, ends, ratio),
    driving,
    ends,
    otherEnergy: energies(others, (other) => energyOf(other, field, shared, motions)),
  }
}

/** Computes the energy of a stretch of other driving when it is first asked for. */
function energies(others: OtherDriving[], of: (other: OtherDriving) => Float64Array | null): OtherEnergy {
  const known = new Map<number, Float64Array | null>()
  return (fromTime) => {
    const other = others.find((one) => one.fromTime === fromTime)
    if (!other) return null
    if (!known.has(fromTime)) known.set(fromTime, of(other))
    return known.get(fromTime) ?? null
  }
}

/**
 * Drives between two fills of a log, with what the log says was fitted: in the row that they have, or in one made here.
 * A setup that a row of runs.csv names stands.
 */
export function withLogSetups(
  runs: Run[],
  fills: readonly FillRow[],
  file: string | null,
  battery: BatterySettings,
): Run[] {
  if (file === null || fills.length === 0) return runs
  const spans = spansOf(fills, battery)
  return runs.map((run) => {
    const [driving] = drivingOf([run])
    const span = spans.find(
      ({ opening, closing }) => fillSide(opening, driving) === 'before' && fillSide(closing, driving) === 'after',
    )
    if (!span) return run
    const row = run.row ?? { ...emptyRow(span.closing.line), file: span.closing.file ?? file, track: run.track }
    return { ...run, row: row.setup === null ? { ...row, setup: span.setup } : row }
  })
}
