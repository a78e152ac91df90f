import type { MatchOutline } from './types.ts'

/** Share of the road driven by either of two members that both drove, 0 to 1. */
export function commonShare(a: MatchOutline, b: MatchOutline): number {
  const [missedByA, missedByB] = [missedBins(a), missedBins(b)]
  const missedByBoth = missedByA.reduce((count, bin) => count + 1 - b.covered[bin], 0)
  const either = a.covered.length - missedByBoth
  const both = either - (missedByA.length - missedByBoth) - (missedByB.length - missedByBoth)
  return either === 0 ? 0 : both / either
}

const missed = new WeakMap<MatchOutline, number[]>()

/** The parts of the road that a member did not drive: few, where a thousand runs are compared with each other. */
function missedBins(match: MatchOutline): number[] {
  const known = missed.get(match)
  if (known) return known
  const bins: number[] = []
  for (const [bin, covered] of match.covered.entries()) if (covered === 0) bins.push(bin)
  missed.set(match, bins)
  return bins
}
