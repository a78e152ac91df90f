import { GAP, type Motion } from './types.ts'

/** Samples of a motion, from the first to before the last. */
export interface Stretch {
  from: number
  past: number
}

/** Slower than a stroll a vehicle that is under way does not go on the mean, m/s. Common practice, no source. */
const SLOWEST_MPS = 0.5

/**
 * Gaps over which a vehicle came hardly forward: it stood there, with the logger off or its position held, and nothing of
 * its driving is hidden.
 */
export function slowGaps({ state, count, stepS, distanceM }: Motion): Stretch[] {
  const found: Stretch[] = []
  for (let from = 0; from < count; from++) {
    if (state[from] !== GAP) continue
    let past = from + 1
    while (past < count && state[past] === GAP) past++
    const [before, after] = [Math.max(0, from - 1), Math.min(count - 1, past)]
    const lastsS = (after - before) * stepS
    if (distanceM[after] - distanceM[before] < SLOWEST_MPS * lastsS) found.push({ from, past })
    from = past
  }
  return found
}
