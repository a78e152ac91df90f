import { scoresAt } from '../../compare/difference.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { ReportPair } from '../../report/contract.ts'
import { pairsFileName } from '../../report/tables.ts'
import type { CampaignResult, OnePair } from '../campaign-result.ts'
import type { InformedDifference } from '../claims/claims-result.ts'
import { asOneDrive, type LapStint } from '../claims/stint-pairs.ts'
import type { RunResult } from '../drive/run-result.ts'
import { type RunResults, sharesAmong } from '../drive/run-results.ts'
import { isLeftOut } from '../load/recordings/left-out.ts'
import type { Roads } from '../load/routes.ts'
import {
  allPairs,
  countPairs,
  pairBasis,
  pairOf,
  pairsOnOneRoad,
  pairsWithReferences,
  withContributions,
  withFuel,
} from './pairs.ts'

export interface PairsForReport {
  /** Those of report.json. */
  reported: ReportPair[]
  /** Those of pairs.csv. */
  all: Iterable<ReportPair>
  count: number
  one: OnePair | null
  /** Which pairs are left out; null where none are. */
  note: string | null
}

/** The pairs that a report tells of, and those of pairs.csv. */
export function pairsForReport(
  { records, taken }: { records: RunResult[]; taken: RunResult[] },
  references: RunResults['references'],
  routes: Roads['routes'],
  marginPct: number,
  shared: SharedDraws,
  informed: InformedDifference,
): PairsForReport {
  const compared = taken.filter((r) => !isLeftOut(r.run))
  const sharesOf = sharesAmong(records, references, shared)
  const shares = (pair: ReportPair) => withContributions(pair, sharesOf(pair))
  if (references === null) {
    const reported = [...allPairs(compared, routes, marginPct)].map((pair) => withFuel(shares(pair), informed))
    return { reported, all: reported, count: reported.length, one: null, note: null }
  }
  const withReference = [...pairsWithReferences(compared, references, routes, marginPct)]
  const chosen = withReference.filter((p) => p.difference_pct !== null)
  const { onOneRoad, onTwo } = countPairs(compared)
  return {
    reported: chosen.map(shares),
    all: { [Symbol.iterator]: () => pairsOnOneRoad(compared, routes, marginPct) },
    count: onOneRoad,
    one: {
      ids: compared.map(({ run }) => run.id),
      bases: compared.map((record) => pairBasis(record, routes, marginPct)),
      roads: compared.map(({ route }) => route),
      between: (a, b) => pairOf(compared[a], compared[b], routes, marginPct),
    },
    note: [
      `With ${compared.length} drives, this list holds each drive against the first drive (of the baseline, where there is one) on its road; ${pairsFileName(onOneRoad)} holds all ${onOneRoad} pairs of drives on one road.`,
      ...(onTwo > 0 ? [`The ${onTwo} pairs of drives on different roads are not comparable and not listed.`] : []),
    ].join(' '),
  }
}

export function scoresAmong(records: readonly RunResult[], stints: readonly LapStint[]): CampaignResult['scoresAt'] {
  const draws = new Map([
    ...records.map(({ run, comparable }) => [run.id, comparable.draws] as const),
    ...stints.map(({ id, laps }) => [id, asOneDrive(laps).draws] as const),
  ])
  return ({ a, b }, marginsPct) => {
    const [drawsA, drawsB] = [draws.get(a), draws.get(b)]
    return drawsA && drawsB ? scoresAt(drawsA, drawsB, marginsPct) : null
  }
}
