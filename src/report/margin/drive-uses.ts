import { plainText } from '../../base/sentence.ts'
import { mean, quantile } from '../../base/statistics.ts'
import type { RunConsumption } from '../../claim/fuel/consumption.ts'
import type { ReportPair, ReportRun } from '../contract.ts'
import type { ClaimFacts } from '../words/claims/claim-reasons.ts'
import { type UseFacts, useReason } from '../words/drives/drive-use.ts'

type Difference = UseFacts['difference_pct']
type Told = Omit<ReportRun, 'use'>

/** What the uses of drives follow from. */
export interface UseGrounds {
  claims: readonly Pick<ClaimFacts, 'runs' | 'baseline_runs' | 'left_out' | 'setup' | 'baseline' | 'missing'>[]
  /** Against the mean of the claim's baseline, by id of the run. */
  differences: ReadonlyMap<string, Difference>
  pairs: readonly ReportPair[]
  marginPct: number
}

/**
 * Each drive with its use: in a claim by its own difference from the mean of the baseline's conditions, without claims by
 * its pairs. A drive that any claim counts is used.
 */
export function withUses(runs: readonly Told[], grounds: UseGrounds): ReportRun[] {
  const pairsOf = pairsByRun(grounds.pairs)
  const claims = grounds.claims.map(membersOf)
  return runs.map((run) => {
    const pairs = pairsOf.get(run.id) ?? []
    const facts = claims.length > 0 ? useInClaims(run, pairs, claims, grounds) : useByPairs(run, pairs)
    return { ...run, use: { ...facts, reason: plainText(useReason(facts, grounds.marginPct)) } }
  })
}

/** What conditions make of a run's demand against the reference of its claim, percent; null where they are not known. */
export function conditionsOf({ logRaw, logAdjusted, conditions }: RunConsumption): Difference {
  if (conditions === null || !Number.isFinite(logAdjusted)) return null
  const log = logRaw - logAdjusted
  // The draws are what the correction may be off by: the true difference is less by as much.
  const changes = conditions.map((error) => 100 * Math.expm1(log - error))
  return { mean: mean(changes), low90: quantile(changes, 0.05), high90: quantile(changes, 0.95) }
}

type Claim = UseGrounds['claims'][number]

/** A claim's drives, to be asked for by id. */
interface Members {
  runs: ReadonlySet<string>
  baseline: ReadonlySet<string>
  leftOut: ReadonlyMap<string, Claim['left_out'][number]['why']>
  /** The one setup of the claim that was driven, where the other was not; null elsewhere. */
  waiting: string | null
}

const membersOf = ({ runs, baseline_runs, left_out, setup, baseline, missing }: Claim): Members => ({
  runs: new Set(runs),
  baseline: new Set(baseline_runs),
  leftOut: new Map(left_out.map(({ run, why }) => [run, why])),
  waiting:
    missing?.code === 'not-driven' ? ([setup, baseline].find((one) => !missing.setups.includes(one)) ?? null) : null,
})

function useInClaims(
  run: Told,
  pairs: readonly ReportPair[],
  claims: readonly Members[],
  { differences, marginPct }: Pick<UseGrounds, 'differences' | 'marginPct'>,
): UseFacts {
  const leavingOut = claims.find(({ leftOut }) => leftOut.has(run.id))
  const counting = claims.filter(
    ({ runs, baseline, leftOut }) => (runs.has(run.id) || baseline.has(run.id)) && !leftOut.has(run.id),
  )
  const none = { difference_pct: null, pairs: 0, usable_pairs: 0 }
  if (run.flags.some(({ code }) => code === 'control-vehicle'))
    return { as: 'left-out', why: { code: 'control-vehicle' }, ...none }
  if (counting.length === 0) {
    const isWaiting = run.setup !== null && claims.some(({ waiting }) => waiting === run.setup)
    const why = leavingOut?.leftOut.get(run.id) ?? { code: isWaiting ? 'no-counterpart' : 'no-claim' }
    return { as: 'left-out', why, ...none }
  }
  const against = pairs.filter(({ a, b }) => counting.some(({ baseline }) => baseline.has(a === run.id ? b : a)))
  const difference_pct = differences.get(run.id) ?? null
  const counted = { difference_pct, pairs: against.length, usable_pairs: against.filter(isUsable).length }
  if (difference_pct === null) return { as: 'as-measured', why: { code: 'not-corrected' }, ...counted }
  const { low90, high90 } = difference_pct
  if (low90 >= -marginPct && high90 <= marginPct)
    return { as: 'as-measured', why: { code: 'within-margin' }, ...counted }
  const outside = low90 > marginPct || high90 < -marginPct
  return { as: 'corrected', why: { code: outside ? 'outside-margin' : 'uncertain' }, ...counted }
}

const isUsable = ({ verdict }: ReportPair): boolean => verdict === 'comparable' || verdict === 'adjustable'

/** Without a claim: whether any other drive of its road can be held against it. */
function useByPairs(run: Told, all: readonly ReportPair[]): UseFacts {
  const pairs = all.filter(({ cause }) => cause !== 'other-road' && cause !== 'opposite-direction')
  const count = (verdict: ReportPair['verdict']): number => pairs.filter((pair) => pair.verdict === verdict).length
  const by = (as: UseFacts['as'], code: 'comparable' | 'adjustable' | LeftOutCode, usable_pairs = 0): UseFacts => ({
    as,
    why: { code },
    difference_pct: null,
    pairs: pairs.length,
    usable_pairs,
  })
  if (count('comparable') > 0) return by('as-measured', 'comparable', count('comparable'))
  if (count('adjustable') > 0) return by('corrected', 'adjustable', count('adjustable'))
  if (run.demand.mean_j_per_m === null) return by('left-out', 'no-weather')
  return by('left-out', whyWithout(pairs))
}

type LeftOutCode = 'not-comparable' | 'undecided' | 'wet-and-dry' | 'no-weather' | 'no-partner' | 'part' | 'detour'

/** The mildest of what keeps a drive's pairs from being used. */
function whyWithout(pairs: readonly ReportPair[]): LeftOutCode {
  if (pairs.length === 0) return 'no-partner'
  if (pairs.some(({ verdict }) => verdict === 'undecided')) return 'undecided'
  const has = (cause: ReportPair['cause']): boolean => pairs.some((pair) => pair.cause === cause)
  if (has('surely-different') || has('too-large')) return 'not-comparable'
  if (has('outside-model')) return 'wet-and-dry'
  if (has('missing')) return 'no-weather'
  return has('detour') ? 'detour' : 'part'
}

function pairsByRun(pairs: readonly ReportPair[]): Map<string, ReportPair[]> {
  const found = new Map<string, ReportPair[]>()
  for (const pair of pairs) {
    for (const id of [pair.a, pair.b]) {
      const list = found.get(id)
      if (list) list.push(pair)
      else found.set(id, [pair])
    }
  }
  return found
}
