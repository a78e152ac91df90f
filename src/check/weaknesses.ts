import { sum } from '../base/statistics.ts'
import type { WorkingState } from '../campaign/computed-campaign.ts'
import type { WeaknessFacts } from '../report/words/checks/weaknesses.ts'
import { type Change, widthsWith } from './sensitivity.ts'
import type { Probe } from './weakness-probe.ts'
import { PROBES } from './weakness-probes.ts'

/** Something that makes the answer worse, with what it costs. */
export interface Weakness {
  code: WeaknessFacts['code']
  facts: WeaknessFacts
  /** Ids of the runs concerned; empty where it is the campaign's. */
  runs: string[]
  /** Runs that have no answer at all because of it. */
  withoutAnswer: string[]
  /** Percentage points by which the mean interval would be narrower without this; null where there is no answer yet. */
  costPoints: number | null
  /** True where the figure rests on the assumed air of `UNOBSERVED`. */
  rough: boolean
  /** True where some answer does not exist at all because of it. */
  blocks: boolean
}

/** What the costs are measured in. */
export interface CostMeasure {
  of: 'claims' | 'pairs'
  count: number
  /** Mean width of the intervals as they are, percentage points. */
  widthPoints: number
  /** Whether any of them exists only under the assumed air of `UNOBSERVED`. */
  assumed: boolean
}

/**
 * Every weakness of a campaign that the ensemble can put a figure to. Each is taken away alone, and the intervals are
 * computed anew with the same draws: the costs add up in squares at best, not in points.
 */
export function weaknessesOf(state: WorkingState): { measure: CostMeasure | null; weaknesses: Weakness[] } {
  const now = widthsNow(state)
  const weaknesses = PROBES.flatMap((probe) => {
    const seen = probe.look(state)
    if (seen === null) return []
    const { change, ...rest } = seen
    const applies = now !== null && (now.of === 'claims' || !probe.ofClaimsOnly)
    // Where nothing is claimed yet, the errors of a fill bear on nothing.
    if (!applies && probe.ofClaimsOnly === 'always there') return []
    const costPoints = applies ? costOf(probe, change, state, now) : null
    const blocks = probe.supplies === true && now !== null && now.assumed
    return [{ ...rest, code: rest.facts.code, costPoints, rough: probe.rough, blocks }]
  })
  const measure = now && {
    of: now.of,
    count: now.widths.size,
    widthPoints: meanOf([...now.widths.values()]),
    assumed: now.assumed,
  }
  return { measure, weaknesses }
}

interface Now {
  of: 'claims' | 'pairs'
  /** As reported, or under the assumed air where nothing can be reported. */
  widths: Map<string, number>
  reported: Set<string>
  assumed: boolean
  anyUnobserved: boolean
}

function widthsNow(state: WorkingState): Now | null {
  const anyUnobserved = state.records.some((r) => r.runAir.missing.length > 0)
  const filled = widthsWith(state, {}, true)
  if (filled.byAnswer.size === 0) return null
  const real = anyUnobserved ? widthsWith(state, {}, false) : filled
  const comparable = real.of === filled.of ? real.byAnswer : new Map<string, number>()
  const widths = new Map([...filled.byAnswer].map(([key, width]) => [key, comparable.get(key) ?? width]))
  const reported = new Set(comparable.keys())
  return { of: filled.of, widths, reported, assumed: reported.size < widths.size, anyUnobserved }
}

function costOf(probe: Probe, change: Change, state: WorkingState, now: Now): number | null {
  const then = widthsUnder(probe, change, state, now)
  const gains = [...now.widths].flatMap(([key, width]) => {
    const narrowed = then.get(key)
    return narrowed === undefined ? [] : [width - narrowed]
  })
  return gains.length === 0 ? null : Math.max(0, meanOf(gains))
}

/** What is missing is put right in the assumed air; all else is put right in what is reported, where there is something. */
function widthsUnder(probe: Probe, change: Change, state: WorkingState, now: Now): Map<string, number> {
  const filled = (): Map<string, number> => widthsWith(state, change, true).byAnswer
  if (probe.supplies || !now.anyUnobserved || now.reported.size === 0) return filled()
  const real = widthsWith(state, change, false)
  if (now.reported.size === now.widths.size) return real.byAnswer
  return new Map([...filled(), ...(real.of === now.of ? real.byAnswer : [])])
}

const meanOf = (values: number[]): number => sum(values) / values.length
