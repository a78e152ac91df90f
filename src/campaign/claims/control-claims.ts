import type { Problem } from '../../base/problem.ts'
import type { Claim } from '../../claim/claim.ts'
import { baselineOf } from '../../claim/context.ts'
import { controlChanges, type UnusedRun } from '../../claim/control/control-changes.ts'
import { claimByControl } from '../../claim/control/control-claim.ts'
import type { ClaimSettings, FuelRun } from '../../claim/types.ts'
import { lineWords, placeOfRow, type RunRow } from '../../read/runs/rows.ts'
import { claimProblem } from '../../report/words/checks/claim-problems.ts'
import { isOfControl } from '../load/rows/control-rows.ts'

/** Runs of which the fuel alone is known: no road, no demand, the time as the row gives it. */
export function runsOfFuelAlone(rows: readonly RunRow[]): FuelRun[] {
  return rows.flatMap((row): FuelRun[] => {
    if (row.when === null) return []
    const { fromTime, toTime } = row.when
    return [
      {
        id: lineWords(row),
        route: NO_ROAD,
        setup: row.setup,
        startTime: fromTime,
        endTime: toTime,
        distanceM: Number.NaN,
        row,
        demandDraws: null,
        nominalDemandJPerM: Number.NaN,
        nominalDragJPerM: Number.NaN,
        leftOut: row.exclude ? { code: 'stated', note: row.exclude } : null,
      },
    ]
  })
}

const NO_ROAD = -1

export interface ClaimsByControl {
  claims: Claim[]
  /** With the lines of runs.csv. */
  problems: Problem[]
}

/**
 * The claims with what a control vehicle says: its ratio stands in place of the model's change, or makes a claim where the
 * model has none.
 * @param runs of all vehicles
 * @param claims of the test vehicle, by the model
 * @param chosen the baseline of these; null where there are none
 */
export function claimsWithControl(
  runs: readonly FuelRun[],
  claims: readonly Claim[],
  chosen: string | null,
  roadNames: readonly string[],
  settings: ClaimSettings,
): ClaimsByControl {
  const ofControl = isOfControl(runs.map(({ row }) => row))
  const isControl = ({ row }: FuelRun): boolean => ofControl(row)
  if (!runs.some(isControl)) return { claims: [...claims], problems: [] }
  const assumed = baselineOf(
    runs.filter((run) => !isControl(run)),
    settings,
  )
  const baseline = chosen ?? assumed.baseline
  if (baseline === null) return { claims: [...claims], problems: [NO_SETUP] }
  const { changes, unused } = controlChanges(runs, isControl, baseline, settings)
  const left = [...claims]
  const byControl = changes.map((change) => {
    const isLike = ({ setup, route }: Pick<Claim, 'setup' | 'route'>): boolean =>
      setup === change.setup && route === change.route
    // Of several test vehicles the model's claim takes them for one.
    const at = changes.filter(isLike).length > 1 ? -1 : left.findIndex((claim) => isLike(claim) && !claim.pooled)
    const [byModel = null] = at < 0 ? [] : left.splice(at, 1)
    return claimByControl(change, byModel, change.route === null ? null : roadNames[change.route], settings)
  })
  return {
    claims: [...byControl, ...left],
    problems: [...(chosen === null ? assumed.problems.map(claimProblem) : []), ...unused.map(unusedRow)],
  }
}

const NO_SETUP: Problem = {
  code: 'control-without-setup',
  severity: 'error',
  message:
    'a control vehicle drove, and no row of the test vehicle names its setup; expected one in the column "setup"',
}

const UNUSED: Record<UnusedRun['why'], Pick<Problem, 'severity' | 'message' | 'hint'>> = {
  'control-without-test': {
    severity: 'error',
    message:
      'no run of a test vehicle was made at the same time as this run of the control vehicle; the row is not used',
    hint: 'Write the date, and the time where there are several runs a day, into both rows; or each pair of rows one below the other.',
  },
  'test-without-control': {
    severity: 'warning',
    message:
      'no run of the control vehicle was made at the same time as this run; it counts in no ratio to the control vehicle',
  },
  'ratio-without-setup': {
    severity: 'error',
    message: 'found no setup of this run of a test vehicle; it counts in no ratio to the control vehicle',
  },
  'ratio-without-fuel': {
    severity: 'error',
    message:
      'found no fuel that can be used of this run; expected fuel in the unit of most rows, for this run alone; it counts in no ratio to the control vehicle',
  },
}

function unusedRow({ run: { row }, why }: UnusedRun): Problem {
  return { code: why, ...placeOfRow(row), ...UNUSED[why] }
}
