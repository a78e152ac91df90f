import { verdictOf } from '../../compare/verdict.ts'
import type { ReportPair } from '../contract.ts'

/** The verdict of a difference, percent, at a margin. */
export function differenceVerdict(
  { mean, low90, high90 }: NonNullable<ReportPair['difference_pct']>,
  marginPct: number,
): ReturnType<typeof verdictOf> {
  const tightestMarginPct = Math.max(Math.abs(low90), Math.abs(high90))
  return verdictOf({ meanPct: mean, low90Pct: low90, high90Pct: high90, tightestMarginPct }, marginPct)
}
