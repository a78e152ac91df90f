import type { ReportPair } from './contract.ts'

/** Beyond this size a difference is not adjusted for (the rule of the verdict `adjustable`). */
const LARGE_PCT = 10

/**
 * Why a pair is not comparable, as far as its figures tell: another road, a difference not known well enough or too
 * large, or a condition that the calculation does not carry.
 */
export type Cause = 'road' | 'unsure' | 'large' | 'outside'

/** The cause of the verdict `not-comparable`. */
export function causeOf({ difference_pct: difference }: ReportPair, marginPct: number): Cause {
  if (difference === null) return 'road'
  if ((difference.high90 - difference.low90) / 2 > marginPct) return 'unsure'
  return Math.abs(difference.mean) >= LARGE_PCT ? 'large' : 'outside'
}
