import type { Contributions, Share } from './contribution-draws.ts'

/**
 * The shares of a difference when the drives' motion is judged: what that changes of the difference, in its mean and in
 * its doubt, belongs to the speed. The doubt about the motion is drawn apart from all other, so that variances add.
 * @param asRecorded the difference that the shares add up to
 * @param judged the difference that they shall add up to
 */
export function withJudgedMotion(shares: Contributions, asRecorded: Share, judged: Share): Contributions {
  const { speed } = shares
  const meanPct = speed.meanPct + judged.meanPct - asRecorded.meanPct
  const reach = (side: (share: Share) => number): number => {
    const added = side(judged) * side(judged) - side(asRecorded) * side(asRecorded)
    return Math.sqrt(side(speed) * side(speed) + Math.max(0, added))
  }
  return {
    ...shares,
    speed: {
      meanPct,
      low90Pct: meanPct - reach(({ meanPct: mean, low90Pct }) => mean - low90Pct),
      high90Pct: meanPct + reach(({ meanPct: mean, high90Pct }) => high90Pct - mean),
    },
  }
}
