import { mean, quantileSorted } from '../base/statistics.ts'

export type PairVerdict = 'comparable' | 'adjustable' | 'not-comparable' | 'unknown'

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
  const differences = new Float64Array(a.length)
  let within = 0
  for (let k = 0; k < a.length; k++) {
    differences[k] = 100 * (b[k] / a[k] - 1)
    if (Math.abs(differences[k]) <= marginPct) within++
  }
  const meanPct = mean(differences)
  differences.sort()
  const low90Pct = quantileSorted(differences, 0.05)
  const high90Pct = quantileSorted(differences, 0.95)
  return {
    meanPct,
    low90Pct,
    high90Pct,
    score: (100 * within) / a.length,
    tightestMarginPct: Math.max(Math.abs(low90Pct), Math.abs(high90Pct)),
  }
}

/**
 * Two one-sided tests at 5 % each: comparable exactly when the 90 % interval lies within the margins. Failing that,
 * adjustable when the difference is known to within the margin and is small enough to be carried by the model.
 *
 * @source Schuirmann, J. Pharmacokinetics and Biopharmaceutics 15 (1987) 657
 */
export function verdictOf(difference: ConditionsDifference, marginPct: number): PairVerdict {
  if (difference.tightestMarginPct <= marginPct) return 'comparable'
  const halfWidthPct = (difference.high90Pct - difference.low90Pct) / 2
  return halfWidthPct <= marginPct && Math.abs(difference.meanPct) < MOST_ADJUSTABLE_PCT
    ? 'adjustable'
    : 'not-comparable'
}
