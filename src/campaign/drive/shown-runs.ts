import type { Roads } from '../load/routes.ts'
import type { Run } from '../load/runs.ts'

/** More are not told apart in one drawing, and the page stays small. */
const MOST_RUNS = 24

/** Places of the runs that the page shows along their roads: the first with each setup on each road, then the earliest. */
export function shownAmong(runs: Run[], { contexts }: Roads): Set<number> {
  const seen = new Set<string>()
  const firsts: number[] = []
  const others: number[] = []
  for (const [i, run] of runs.entries()) {
    const key = `${contexts[i].index}\n${run.row?.setup ?? ''}`
    ;(seen.has(key) ? others : firsts).push(i)
    seen.add(key)
  }
  return new Set([...firsts, ...others].slice(0, MOST_RUNS))
}
