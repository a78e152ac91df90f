import { contributionsOf, onAxis, type RunOnAxis } from '../compare/contributions.ts'
import { comparePair, type PairResult } from '../compare/pair.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import type { ReportPair } from '../report/contract.ts'
import type { Route } from '../road/types.ts'
import type { RunRecord } from './run-record.ts'

/** Up to this many runs the report tells of every pair; beyond, of each run against its route's reference and the baseline. */
export const MOST_RUNS_FOR_ALL_PAIRS = 40

/** All pairs without their contributions (these cost more than the comparison itself), in the order of the runs. */
export function* allPairs(records: RunRecord[], routes: Route[], marginPct: number): Generator<ReportPair> {
  const opposite = (i: number, j: number): boolean => routes[i].oppositeOf === j || routes[j].oppositeOf === i
  for (let i = 0; i < records.length; i++) {
    for (let j = i + 1; j < records.length; j++) {
      const result = comparePair(records[i].comparable, records[j].comparable, marginPct, opposite)
      yield reportPair(records[i].run.id, records[j].run.id, result)
    }
  }
}

function reportPair(a: string, b: string, { difference, verdict, cause, reason, remarks }: PairResult): ReportPair {
  // Where something outside the model differs, the difference tells only a part and no score follows from it.
  const modelled = difference !== null && cause !== 'outside-model'
  return {
    a,
    b,
    difference_pct: difference && {
      mean: difference.meanPct,
      low90: difference.low90Pct,
      high90: difference.high90Pct,
    },
    score: modelled ? difference.score : null,
    tightest_margin_pct: modelled ? difference.tightestMarginPct : null,
    verdict,
    cause,
    reason,
    contributions_pct: null,
    remarks,
  }
}

/** Adds to each pair that has a difference what each condition contributes to it. */
export function withContributions(
  pairs: ReportPair[],
  records: RunRecord[],
  routes: Route[],
  shared: SharedDraws,
): ReportPair[] {
  const byId = new Map(records.map((r) => [r.run.id, r]))
  const cells = new Map<string, RunOnAxis>()
  const cellsOf = (record: RunRecord): RunOnAxis => {
    let known = cells.get(record.run.id)
    if (!known) {
      known = onAxis(record.ensembleRun, routes[record.route].lengthM)
      cells.set(record.run.id, known)
    }
    return known
  }
  return pairs.map((pair) => {
    if (!pair.difference_pct) return pair
    const [a, b] = [byId.get(pair.a)!, byId.get(pair.b)!]
    const best = 100 * (b.demand!.nominalJPerM / a.demand!.nominalJPerM - 1)
    const shares = contributionsOf(cellsOf(a), cellsOf(b), shared, { best, mean: pair.difference_pct.mean })
    return {
      ...pair,
      contributions_pct: {
        air_density: shares.airDensityPct,
        wind: shares.windPct,
        rolling_temperature: shares.rollingTemperaturePct,
        speed: shares.speedPct,
        route: shares.routePct,
      },
    }
  })
}
