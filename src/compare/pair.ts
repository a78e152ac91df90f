import { commonShare as commonShareOf } from '../road/common-share.ts'
import { SAME_ROAD_SHARE } from '../road/routes.ts'
import type { MatchOutline, Relation } from '../road/types.ts'
import { type ConditionsDifference, conditionsDifference } from './difference.ts'
import { type Forbidding, forbidding, type OutsideModel, type Remark, remarksOn } from './remarks.ts'
import { type DifferenceCause, type PairVerdict, verdictOf } from './verdict.ts'

/** What a drive may lack: observations within reach, or a demand above zero (the observed wind alone would drive the vehicle). */
export type Missing = 'weather' | 'wind' | 'temperature' | 'demand'

/** All that the comparison needs to know of one run. */
export interface ComparableRun {
  /** Index of its route. */
  route: number
  routeName: string
  relation: Relation
  match: MatchOutline
  /** K draws, J/m; null when something needed is missing. */
  draws: Float64Array | null
  /** What is missing; empty when nothing is. */
  missing: Missing[]
  outside: OutsideModel
}

/** Why a pair is not comparable, undecided or cannot be judged; a closed list that the report's contract takes over. */
export type PairCause =
  | 'other-road'
  | 'opposite-direction'
  | 'detour'
  | 'incomplete-road'
  | 'missing'
  | 'outside-model'
  | DifferenceCause

export interface PairResult {
  /** With the cause `outside-model` it is only a part of the story. */
  difference: ConditionsDifference | null
  verdict: PairVerdict
  /** null when comparable or adjustable. */
  cause: PairCause | null
  /** With the cause `missing`: what either run lacks. */
  missing: Missing[]
  /** With the cause `outside-model`: what the model cannot correct for. */
  outside: Forbidding | null
  /** Share of the road that both runs drove, 0 to 1; null where they are on two roads or one left it for a detour. */
  commonShare: number | null
  /** What differs that the model does not hold, whatever the verdict. */
  remarks: Remark[]
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
  const { cause: road, commonShare } = onTheRoad(a, b, oppositeRoutes)
  const result: PairResult = {
    difference: null,
    verdict: 'not-comparable',
    cause: road,
    missing: [],
    outside: null,
    commonShare,
    remarks: remarksOn(a.outside, b.outside),
  }
  if (road !== null) return result
  if (!a.draws || !b.draws) {
    return { ...result, verdict: 'unknown', cause: 'missing', missing: [...new Set([...a.missing, ...b.missing])] }
  }
  const difference = conditionsDifference(a.draws, b.draws, marginPct)
  const outside = forbidding(a.outside, b.outside)
  if (outside) return { ...result, difference, cause: 'outside-model', outside }
  return { ...result, difference, ...verdictOf(difference, marginPct) }
}

/** Whether two runs drove one road, and how much of it both drove. */
function onTheRoad(
  a: ComparableRun,
  b: ComparableRun,
  opposite: (a: number, b: number) => boolean,
): { cause: PairCause | null; commonShare: number | null } {
  if (a.route !== b.route) {
    return { cause: opposite(a.route, b.route) ? 'opposite-direction' : 'other-road', commonShare: null }
  }
  if (a.relation === 'detour' || b.relation === 'detour') return { cause: 'detour', commonShare: null }
  const commonShare = commonShareOf(a.match, b.match)
  return { cause: commonShare >= SAME_ROAD_SHARE ? null : 'incomplete-road', commonShare }
}
