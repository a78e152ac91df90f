import { plainText } from '../../base/sentence.ts'
import type { Contributions, Share } from '../../compare/contribution-draws.ts'
import { comparePair, type PairResult } from '../../compare/pair.ts'
import type { ReportPair } from '../../report/contract.ts'
import { type PairFacts, pairReason, pairRemark } from '../../report/words/pairs.ts'
import type { Route } from '../../road/types.ts'
import type { InformedDifference } from '../claims/claims-result.ts'
import type { KeptRecord } from '../drive/run-record.ts'

/**
 * Pairs without their contributions (these cost more than the comparison itself), in the order of the runs, one at a time:
 * a thousand runs have half a million.
 */
export function* allPairs(records: KeptRecord[], routes: Route[], marginPct: number): Generator<ReportPair> {
  for (const [i, a] of records.entries()) {
    for (let j = i + 1; j < records.length; j++) yield pairOf(a, records[j], routes, marginPct)
  }
}

/** Of these pairs those of runs on one road, in the same order. */
export function* pairsOnOneRoad(records: KeptRecord[], routes: Route[], marginPct: number): Generator<ReportPair> {
  for (const [i, a] of records.entries()) {
    for (let j = i + 1; j < records.length; j++) {
      if (records[j].route === a.route) yield pairOf(a, records[j], routes, marginPct)
    }
  }
}

/** How many pairs of so many runs there are. */
const pairsAmong = (runs: number): number => (runs * (runs - 1)) / 2

/** How many pairs are of runs on one road, and how many are not. */
export function countPairs(records: readonly Pick<KeptRecord, 'route'>[]): { onOneRoad: number; onTwo: number } {
  const runsOf = new Map<number, number>()
  for (const { route } of records) runsOf.set(route, (runsOf.get(route) ?? 0) + 1)
  const onOneRoad = [...runsOf.values()].reduce((sum, runs) => sum + pairsAmong(runs), 0)
  return { onOneRoad, onTwo: pairsAmong(records.length) - onOneRoad }
}

/** Of these pairs those of a road's runs with its reference, in the same order. */
export function* pairsWithReferences(
  records: KeptRecord[],
  references: ReadonlySet<string>,
  routes: Route[],
  marginPct: number,
): Generator<ReportPair> {
  const isReference = ({ run }: KeptRecord): boolean => references.has(run.id)
  const others = records.map((record, place) => ({ record, place })).filter(({ record }) => isReference(record))
  for (const [i, a] of records.entries()) {
    const later = isReference(a)
      ? records.slice(i + 1)
      : others.filter(({ place }) => place > i).map(({ record }) => record)
    for (const b of later) if (a.route === b.route) yield pairOf(a, b, routes, marginPct)
  }
}

/** One pair, without its contributions. */
export function pairOf(a: KeptRecord, b: KeptRecord, routes: Route[], marginPct: number): ReportPair {
  const opposite = (i: number, j: number): boolean => routes[i].oppositeOf === j || routes[j].oppositeOf === i
  const facts = pairFacts(a.run.id, b.run.id, comparePair(a.comparable, b.comparable, marginPct, opposite))
  const roads = [a.comparable.routeName, b.comparable.routeName] as const
  return {
    ...facts,
    reason: plainText(pairReason(facts, { marginPct, roads })),
    remarks: facts.remark_codes.map((remark) => plainText(pairRemark(remark))),
  }
}

/** All that `pairOf` takes from one of its runs: two runs of which this is as it was make the pair that they made. */
export function pairBasis({ run, comparable }: KeptRecord, routes: Route[], marginPct: number): unknown {
  const opposites = routes.flatMap(({ oppositeOf }, i) => {
    if (i === comparable.route) return oppositeOf ?? []
    return oppositeOf === comparable.route ? i : []
  })
  return [run.id, marginPct, opposites, comparable]
}

/** A pair with its difference once the fuel is known as well. */
export const withFuel = (pair: ReportPair, informed: InformedDifference): ReportPair =>
  pair.difference_pct ? { ...pair, fuel_informed_difference_pct: informed(pair.a, pair.b) } : pair

/** A pair with what each condition contributes to its difference. */
export function withContributions(pair: ReportPair, shares: Contributions | null): ReportPair {
  if (!pair.difference_pct || !shares) return pair
  return {
    ...pair,
    contributions_pct: byCondition(shares, ({ meanPct }) => meanPct),
    contributions_interval90_pct: byCondition(shares, ({ low90Pct, high90Pct }) => ({
      low90: low90Pct,
      high90: high90Pct,
    })),
  }
}

const byCondition = <T>(shares: Contributions, of: (share: Share) => T) => ({
  air_density: of(shares.airDensity),
  wind: of(shares.wind),
  rolling_temperature: of(shares.rollingTemperature),
  speed: of(shares.speed),
  route: of(shares.route),
})

function pairFacts(a: string, b: string, result: PairResult): PairFacts {
  const { difference, verdict, cause } = result
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
    missing: result.missing,
    outside_model: result.outside,
    common_share: result.commonShare,
    fuel_informed_difference_pct: null,
    contributions_pct: null,
    contributions_interval90_pct: null,
    remark_codes: result.remarks,
  }
}
