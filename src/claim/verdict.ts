import type { Interval95 } from './types.ts'
import { moreOrLess, rangeInWords, signedFigure } from './wording.ts'

export type ClaimVerdict = 'supported' | 'unresolved' | 'explained by conditions' | 'not testable'

export interface Judgement {
  verdict: ClaimVerdict
  /** One sentence. */
  reason: string
}

export const excludesZero = ({ low95, high95 }: Interval95): boolean => low95 > 0 || high95 < 0

/**
 * The verdict of a claim from the change of consumption as measured and at like conditions.
 * @param adjusted null where it cannot be told; `missing` then says why
 */
export function judge(raw: Interval95 | null, adjusted: Interval95 | null, missing: string): Judgement {
  if (!adjusted) return { verdict: 'not testable', reason: `Cannot be tested: ${missing}.` }
  const range = rangeInWords(adjusted)
  if (excludesZero(adjusted)) {
    const reason = `At like conditions the consumption changes by ${signedFigure(adjusted.estimate)} %, and the 95 % interval, ${range}, excludes zero.`
    return { verdict: 'supported', reason }
  }
  if (raw && excludesZero(raw)) return { verdict: 'explained by conditions', reason: explained(raw, adjusted, range) }
  const reason = `The 95 % interval of the change at like conditions, ${range}, contains zero: these runs neither show a change nor rule one out.`
  return { verdict: 'unresolved', reason }
}

/** The conditions may have made the change, or only be too little known to rule that out: the sentence says which. */
function explained(raw: Interval95, adjusted: Interval95, range: string): string {
  const measured = `As measured the consumption is ${moreOrLess(raw.estimate)}`
  const taken = 1 - adjusted.estimate / raw.estimate
  if (taken >= 0.5) {
    return `${measured}, but at like conditions ${signedFigure(adjusted.estimate)} % are left (95 % interval ${range}): the conditions explain the difference.`
  }
  return `${measured}, and at like conditions still ${signedFigure(adjusted.estimate)} %, but the conditions are not known well enough to rule out that they made the difference (95 % interval ${range}).`
}
