import { spreadOf } from '../base/spread.ts'

/**
 * Whether two drives can be compared: as they are, after an adjustment, surely not, not known closely enough to tell, or
 * not known at all because something needed is missing.
 */
export type PairVerdict = 'comparable' | 'adjustable' | 'not-comparable' | 'undecided' | 'unknown'

/** What the unchanged vehicle would have used more (+) or less (-) in b than in a, because of conditions alone. */
export interface ConditionsDifference {
  meanPct: number
  low90Pct: number
  high90Pct: number
  /** 0 to 100: 100 times the share of draws within the margin. */
  score: number
  /** Smallest margin at which the pair would pass, percent. */
  tightestMarginPct: number
}

/** A difference that is known may be adjusted for up to this size, percent. */
export const MOST_ADJUSTABLE_PCT = 10

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

/** Why a pair that was judged by its difference is not comparable, or is undecided. */
export type DifferenceCause = 'too-large' | 'surely-different' | 'not-known-well-enough'

/**
 * Two one-sided tests at 5 % each: comparable exactly when the 90 % interval lies within the margins. Failing that,
 * adjustable when the difference is known to within the margin and is small enough to be carried by the model. What is
 * left is not comparable where the whole interval lies beyond the margin, else undecided: a wider margin never makes a
 * verdict worse.
 *
 * @source Schuirmann, J. Pharmacokinetics and Biopharmaceutics 15 (1987) 657
 */
export function verdictOf(
  { meanPct, low90Pct, high90Pct, tightestMarginPct }: ConditionsDifference,
  marginPct: number,
): { verdict: PairVerdict; cause: DifferenceCause | null } {
  if (tightestMarginPct <= marginPct) return { verdict: 'comparable', cause: null }
  const isKnown = (high90Pct - low90Pct) / 2 <= marginPct
  if (isKnown && Math.abs(meanPct) < MOST_ADJUSTABLE_PCT) return { verdict: 'adjustable', cause: null }
  const isOutside = low90Pct > marginPct || high90Pct < -marginPct
  if (!isOutside) return { verdict: 'undecided', cause: 'not-known-well-enough' }
  return { verdict: 'not-comparable', cause: isKnown ? 'too-large' : 'surely-different' }
}
