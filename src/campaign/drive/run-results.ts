import { present } from '../../base/present.ts'
import { type Contributions, contributionsOf, type ReadySide, readySide } from '../../compare/contribution-draws.ts'
import { conditionsDifference } from '../../compare/difference.ts'
import { withJudgedMotion } from '../../compare/judged-motion.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { ReportPair } from '../../report/contract.ts'
import type { DriveSource } from '../load/drive-source.ts'
import { isLeftOut } from '../load/recordings/left-out.ts'
import type { Roads } from '../load/routes.ts'
import type { Run } from '../load/runs.ts'
import { type RunResult, type RunSetting, type RunTask, readySetting, resultOf } from './run-result.ts'
import { shownAmong } from './shown-runs.ts'

/** Up to this many runs the report tells of every pair; beyond, of each run against its route's reference and the baseline. */
export const MOST_RUNS_FOR_ALL_PAIRS = 40

/** Who does the second map step over many runs; the results in the order of the tasks. */
export type ComputeRuns = (setting: RunSetting, tasks: RunTask[]) => Promise<RunResult[]>

/** One after another, here. */
export const computeHere =
  (drives: DriveSource): ComputeRuns =>
  async (setting, tasks) => {
    const ready = readySetting(setting)
    return tasks.map((task) => resultOf(task, drives(task.run), ready))
  }

/** The runs' results in their order, with the runs that others are held against where there are too many for every pair. */
export interface RunResults {
  results: RunResult[]
  /** Ids of each road's reference for comparisons; null where the report tells of every pair. */
  references: Set<string> | null
}

/**
 * Takes all runs through the second map step. Of many runs the references come first, so that the others' differences
 * against them can be shared out in the same step and no run's columns need to be kept.
 * @param wanted told a run's place; the results are those of the wanted runs, and of the references
 */
export async function resultsOfRuns(
  runs: Run[],
  roads: Roads,
  baseline: string | null,
  setting: RunSetting,
  computeRuns: ComputeRuns,
  wanted: (place: number) => boolean = () => true,
): Promise<RunResults> {
  const chosen = runs.filter((_, i) => wanted(i))
  const compared = runs.filter((run) => !isLeftOut(run))
  const shown = shownAmong(runs, roads)
  const task = (run: Run, wantsSide: boolean, against: RunTask['against']): RunTask => {
    const place = runs.indexOf(run)
    const route = roads.contexts[place]
    const wantsAlong = shown.has(place)
    return { run, route, axisLengthM: roads.routes[route.index].lengthM, wantsSide, wantsAlong, against }
  }
  if (compared.length <= MOST_RUNS_FOR_ALL_PAIRS) {
    const tasks = chosen.map((run) => task(run, compared.length > 1 && compared.includes(run), null))
    return { results: await computeRuns(setting, tasks), references: null }
  }
  const firsts = referencesOf(runs, roads, baseline)
  const ofFirsts = await computeRuns(
    setting,
    firsts.map((run) => task(run, true, null)),
  )
  const byRoute = new Map(ofFirsts.map((result) => [result.route, result]))
  const place = new Map(runs.map((run, i) => [run.id, i]))
  const others = chosen.filter((run) => !firsts.includes(run))
  const ofOthers = await computeRuns(
    setting,
    others.map((run) => {
      const first = byRoute.get(roads.contexts[present(place.get(run.id))].index)
      const side = first && !isLeftOut(run) ? first.side : null
      return task(
        run,
        false,
        side && { ...side, first: present(place.get(present(first).run.id)) < present(place.get(run.id)) },
      )
    }),
  )
  const results = [...ofFirsts, ...ofOthers].sort((a, b) => present(place.get(a.run.id)) - present(place.get(b.run.id)))
  return { results, references: new Set(firsts.map((run) => run.id)) }
}

/** On each road the first run of the baseline, or the first run where there is none. */
function referencesOf(runs: Run[], { contexts }: Roads, baseline: string | null): Run[] {
  const byRoute = new Map<number, Run>()
  for (const [i, run] of runs.entries()) {
    if (isLeftOut(run)) continue
    const { index } = contexts[i]
    const present = byRoute.get(index)
    const isFirstOfBaseline = baseline !== null && run.row?.setup === baseline && present?.row?.setup !== baseline
    if (!present || isFirstOfBaseline) byRoute.set(index, run)
  }
  return [...byRoute.values()]
}

/** What each condition contributes to a pair's difference; null where that is not known. */
export type SharesOfPair = (pair: ReportPair) => Contributions | null

/** From the runs' records before their motion is judged; what a run brings to all of its pairs is made once. */
export function sharesAmong(
  records: RunResult[],
  references: RunResults['references'],
  shared: SharedDraws,
): SharesOfPair {
  const byId = new Map(records.map((record) => [record.run.id, record]))
  const sides = new Map<string, ReadySide>()
  if (!references) for (const { run, side } of records) if (side) sides.set(run.id, readySide(side, shared))
  const sharesBetween = (a: string, b: string): Contributions | null => {
    if (references) return present(byId.get(references.has(a) ? b : a)).contributions
    const [sideA, sideB] = [sides.get(a), sides.get(b)]
    return sideA && sideB ? contributionsOf(sideA, sideB, shared) : null
  }
  return ({ a, b, difference_pct }) => {
    const [drawsA, drawsB] = [a, b].map((id) => present(byId.get(id)).comparable.draws)
    if (!difference_pct || !drawsA || !drawsB) return null
    const shares = sharesBetween(a, b)
    if (!shares) return null
    const { mean, low90, high90 } = difference_pct
    const asRecorded = conditionsDifference(drawsA, drawsB, 0)
    return withJudgedMotion(shares, asRecorded, { meanPct: mean, low90Pct: low90, high90Pct: high90 })
  }
}
