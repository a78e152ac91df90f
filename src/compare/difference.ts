import { spreadOf } from '../base/spread.ts'
import type { KnownDifference } from './verdict.ts'

/** What the unchanged vehicle would have used more (+) or less (-) in b than in a, because of conditions alone. */
export interface ConditionsDifference extends KnownDifference {
  /** 0 to 100: 100 times the share of draws within the margin. */
  score: number
}

/** The ensemble of D_b/D_a − 1 and what it says against a margin; `a` and `b` are draws that belong together. */
export function conditionsDifference(a: Float64Array, b: Float64Array, marginPct: number): ConditionsDifference {
  const { differences, excess, words } = workSpace(a.length)
  let sum = 0
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (let k = 0; k < a.length; k++) {
    const difference = 100 * (b[k] / a[k] - 1)
    differences[k] = difference
    excess[k] = marginPct - Math.abs(difference)
    sum += difference
    if (difference < least) least = difference
    if (difference > most) most = difference
  }
  let outside = 0
  for (let k = SIGN_WORD; k < words.length; k += 2) outside += words[k] >>> 31
  const totals = { sum, least, most }
  const { mean: meanPct, low: low90Pct, high: high90Pct } = spreadOf(differences, 0.05, 0.95, totals)
  return {
    meanPct,
    low90Pct,
    high90Pct,
    score: (100 * (a.length - outside)) / a.length,
    tightestMarginPct: Math.max(Math.abs(low90Pct), Math.abs(high90Pct)),
  }
}

interface WorkSpace {
  differences: Float64Array
  /** By how much each draw keeps within the margin; below zero beyond it. */
  excess: Float64Array
  /**
   * The same memory as words of 32 bits, for the sign. On which side of the margin a draw falls cannot be foretold by the
   * processor: a branch there would take longer than all the rest.
   */
  words: Uint32Array
}

/** Which of a number's two words holds its sign. */
const SIGN_WORD = new Uint32Array(Float64Array.of(-1).buffer)[1] === 0 ? 0 : 1

let work: WorkSpace | null = null

/** One work space for all pairs, of which a thousand runs have half a million. */
function workSpace(length: number): WorkSpace {
  if (work?.differences.length === length) return work
  const excess = new Float64Array(length)
  work = { differences: new Float64Array(length), excess, words: new Uint32Array(excess.buffer) }
  return work
}

/**
 * The scores of a pair at several margins, each as `conditionsDifference` would give it.
 *
 * @param marginsPct in ascending order, percent
 * @returns 0 to 100 for each margin
 */
export function scoresAt(a: Float64Array, b: Float64Array, marginsPct: readonly number[]): number[] {
  const sizes = a.map((demand, k) => Math.abs(100 * (b[k] / demand - 1))).sort()
  let within = 0
  return marginsPct.map((marginPct) => {
    while (within < sizes.length && sizes[within] <= marginPct) within++
    return (100 * within) / sizes.length
  })
}
