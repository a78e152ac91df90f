import type { WorkingState } from '../campaign/computed-campaign.ts'
import type { RunRecord } from '../campaign/drive/run-record.ts'
import { isLeftOut } from '../campaign/load/recordings/left-out.ts'
import type { EnsembleRun } from '../demand/types.ts'
import type { WeaknessFacts } from '../report/words/checks/weaknesses.ts'
import type { Change } from './sensitivity.ts'

/** A source of error that a campaign may suffer from, and how to take it away. */
export interface Probe {
  code: string
  rough: boolean
  /** Whether it supplies what is missing altogether. */
  supplies?: boolean
  /** Set where it bears on claims and not on comparing drives; `always there`: with every fill, whatever the user does. */
  ofClaimsOnly?: 'can be mended' | 'always there'
  /** What is weak in this campaign; null where it does not suffer from it. */
  look: (state: WorkingState) => Seen | null
}

export interface Seen {
  facts: WeaknessFacts
  runs: string[]
  withoutAnswer: string[]
  change: Change
}

export const ids = (records: RunRecord[]): string[] => records.map((r) => r.run.id)
export const none = (like: Float64Array): Float64Array => new Float64Array(like.length)
export const runsWith = (state: WorkingState, test: (record: RunRecord) => boolean): RunRecord[] =>
  state.records.filter((r) => !isLeftOut(r.run) && test(r))

/** A weakness of some runs; `change` is made to the runs that pass the test and to no other. */
export function ofRuns(
  code: WeaknessFacts['code'],
  test: (record: RunRecord) => boolean,
  factsOf: (some: RunRecord[]) => WeaknessFacts,
  change: (run: EnsembleRun, record: RunRecord) => EnsembleRun,
  kind: { rough?: boolean; supplies?: boolean } = {},
): Probe {
  return {
    code,
    rough: kind.rough ?? false,
    supplies: kind.supplies ?? false,
    look: (state) => {
      const some = runsWith(state, test)
      if (some.length === 0) return null
      const changed = (run: EnsembleRun, record: RunRecord): EnsembleRun => (test(record) ? change(run, record) : run)
      const without = kind.supplies ? ids(some) : []
      return { facts: factsOf(some), runs: ids(some), withoutAnswer: without, change: { run: changed } }
    },
  }
}

/** The largest of a figure of some runs. */
export function worst(some: RunRecord[], of: (record: RunRecord) => number[]): number {
  return Math.max(...some.flatMap(of).filter(Number.isFinite), 0)
}
