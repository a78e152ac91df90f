import { powerOfTen } from '../base/arithmetic.ts'
import { commonShare, SAME_ROAD_SHARE } from '../road/routes.ts'
import type { Match, Relation } from '../road/types.ts'
import { type ConditionsDifference, conditionsDifference, type PairVerdict, verdictOf } from './difference.ts'
import { forbidding, type OutsideModel, remarksOn } from './remarks.ts'

/** All that the comparison needs to know of one run. */
export interface ComparableRun {
  /** Index of its route. */
  route: number
  routeName: string
  relation: Relation
  match: Match
  /** K draws, J/m; null when something needed is missing. */
  draws: Float64Array | null
  /** What is missing, in words; empty when nothing is. */
  missing: string[]
  outside: OutsideModel
}

/** Why a pair is not comparable or cannot be judged; a closed list that the report's contract takes over. */
export type PairCause =
  | 'other-road'
  | 'opposite-direction'
  | 'detour'
  | 'incomplete-road'
  | 'missing'
  | 'outside-model'
  | 'not-known-well-enough'
  | 'too-large'

export interface PairResult {
  /** With the cause `outside-model` it is only a part of the story. */
  difference: ConditionsDifference | null
  verdict: PairVerdict
  /** null when comparable or adjustable. */
  cause: PairCause | null
  /** One sentence. */
  reason: string
  remarks: string[]
}

/**
 * Were two runs made under equal enough conditions? Another road comes first, then what is missing, then a condition
 * that the model does not carry, then the conditions difference against the margin.
 *
 * @param oppositeRoutes whether two routes are one road driven the two ways
 */
export function comparePair(
  a: ComparableRun,
  b: ComparableRun,
  marginPct: number,
  oppositeRoutes: (a: number, b: number) => boolean,
): PairResult {
  const road = otherRoad(a, b, oppositeRoutes)
  const remarks = remarksOn(a.outside, b.outside)
  if (road !== null) return { difference: null, verdict: 'not-comparable', ...road, remarks }
  if (!a.draws || !b.draws) {
    const missing = [...new Set([...a.missing, ...b.missing])].join(' and ')
    return {
      difference: null,
      verdict: 'unknown',
      cause: 'missing',
      reason: `Cannot be told: ${missing} missing.`,
      remarks,
    }
  }
  const difference = conditionsDifference(a.draws, b.draws, marginPct)
  const forbidden = forbidding(a.outside, b.outside)
  if (forbidden) {
    const reason = `Not comparable: ${forbidden}, and the model does not carry that.`
    return { difference, verdict: 'not-comparable', cause: 'outside-model', reason, remarks }
  }
  const verdict = verdictOf(difference, marginPct)
  return {
    difference,
    verdict,
    cause: causeFor(verdict, difference, marginPct),
    reason: reasonFor(verdict, difference, marginPct),
    remarks,
  }
}

function otherRoad(
  a: ComparableRun,
  b: ComparableRun,
  opposite: (a: number, b: number) => boolean,
): { cause: PairCause; reason: string } | null {
  if (a.route !== b.route) {
    return opposite(a.route, b.route)
      ? { cause: 'opposite-direction', reason: 'The same road driven in opposite directions: not the same route.' }
      : { cause: 'other-road', reason: `Different roads: ${a.routeName} and ${b.routeName}.` }
  }
  if (a.relation === 'detour' || b.relation === 'detour') {
    return { cause: 'detour', reason: 'One run left the road for a detour, which the other did not drive.' }
  }
  const common = commonShare(a.match, b.match)
  if (common >= SAME_ROAD_SHARE) return null
  const reason = `Only ${Math.round(100 * common)} % of the road was driven in both runs: one was begun late, cut short or has a hole.`
  return { cause: 'incomplete-road', reason }
}

function causeFor(verdict: PairVerdict, d: ConditionsDifference, marginPct: number): PairCause | null {
  if (verdict !== 'not-comparable') return null
  return (d.high90Pct - d.low90Pct) / 2 > marginPct ? 'not-known-well-enough' : 'too-large'
}

function reasonFor(verdict: PairVerdict, d: ConditionsDifference, marginPct: number): string {
  const digits = digitsFor(d, marginPct)
  const text = (value: number): string => signed(value, digits)
  const found = `Conditions alone make ${text(d.meanPct)} % (90 % interval ${text(d.low90Pct)} to ${text(d.high90Pct)} %)`
  if (verdict === 'comparable') return `${found}, within ±${marginPct} %.`
  if (verdict === 'adjustable') return `${found}: not within ±${marginPct} %, but known well enough to adjust for.`
  return causeFor(verdict, d, marginPct) === 'too-large'
    ? `${found}: too large to be carried by the model.`
    : `${found}: not known to within ±${marginPct} %.`
}

/** One decimal, or as many as it takes to see on which side of the margin an end of the interval lies. */
function digitsFor({ low90Pct, high90Pct }: ConditionsDifference, marginPct: number): number {
  const side = (value: number): number => Math.sign(Math.abs(value) - marginPct)
  // Rounding moves a value by half a unit of its last digit at most: only near the margin need it be tried.
  const clear = (value: number, digits: number): boolean => Math.abs(Math.abs(value) - marginPct) > powerOfTen(-digits)
  const shows = (value: number, digits: number): boolean =>
    clear(value, digits) || side(Number(value.toFixed(digits))) === side(value)
  return [1, 2, 3].find((digits) => shows(low90Pct, digits) && shows(high90Pct, digits)) ?? 4
}

function signed(value: number, digits: number): string {
  const text = Math.abs(value).toFixed(digits)
  return Math.abs(value) < 0.1 && Number(text) === 0 ? '0' : `${value < 0 ? '−' : '+'}${text}`
}
