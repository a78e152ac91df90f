/**
 * Whether two drives can be compared: as they are, after an adjustment, surely not, not known closely enough to tell, or
 * not known at all because something needed is missing.
 */
export type PairVerdict = 'comparable' | 'adjustable' | 'not-comparable' | 'undecided' | 'unknown'

/** What is known of a difference, percent. */
export interface KnownDifference {
  meanPct: number
  low90Pct: number
  high90Pct: number
  /** Smallest margin at which the pair would pass. */
  tightestMarginPct: number
}

/** A difference that is known may be adjusted for up to this size, percent. */
export const MOST_ADJUSTABLE_PCT = 10

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
  { meanPct, low90Pct, high90Pct, tightestMarginPct }: KnownDifference,
  marginPct: number,
): { verdict: PairVerdict; cause: DifferenceCause | null } {
  if (tightestMarginPct <= marginPct) return { verdict: 'comparable', cause: null }
  const isKnown = (high90Pct - low90Pct) / 2 <= marginPct
  if (isKnown && Math.abs(meanPct) < MOST_ADJUSTABLE_PCT) return { verdict: 'adjustable', cause: null }
  const isOutside = low90Pct > marginPct || high90Pct < -marginPct
  if (!isOutside) return { verdict: 'undecided', cause: 'not-known-well-enough' }
  return { verdict: 'not-comparable', cause: isKnown ? 'too-large' : 'surely-different' }
}
