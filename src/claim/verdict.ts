import type { Interval95 } from './types.ts'

export type ClaimVerdict = 'supported' | 'unresolved' | 'explained by conditions' | 'not testable'

/** What keeps a claim from being tested, with the setups that it is about. */
export interface ClaimMissing {
  /**
   * Never driven; driven, but all runs left out; driven without usable fuel; the baseline on other roads only; runs
   * whose wind or temperature is not known; a fuel log alone; no run beside the control vehicle, or too few.
   */
  code:
    | 'not-driven'
    | 'all-left-out'
    | 'no-usable-fuel'
    | 'baseline-elsewhere'
    | 'no-conditions'
    | 'no-tracks'
    | 'no-control-pairs'
    | 'few-control-pairs'
  setups: string[]
}

export const excludesZero = ({ low95, high95 }: Interval95): boolean => low95 > 0 || high95 < 0

/**
 * Why a change whose interval excludes zero is not supported all the same: the correction cannot be relied on, the
 * baseline drifted by as much, roads of which nobody says whether they were wet would explain it, the drives move as no
 * vehicle of the stated mass does, or the ways of measuring disagree by as much.
 */
export type HeldBack =
  | 'large-correction'
  | 'scatter-grew'
  | 'drift'
  | 'wet-unknown'
  | 'vehicle-doubtful'
  | 'evidence-apart'

/**
 * The verdict of a claim from the change of consumption as measured and corrected to equal conditions; the adjusted change is null
 * where it cannot be told.
 */
export function judge(
  raw: Interval95 | null,
  adjusted: Interval95 | null,
  heldBack: HeldBack | null = null,
): ClaimVerdict {
  if (!adjusted) return 'not testable'
  if (heldBack !== null) return 'unresolved'
  if (excludesZero(adjusted)) return 'supported'
  return raw && excludesZero(raw) ? 'explained by conditions' : 'unresolved'
}
