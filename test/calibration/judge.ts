import { type JudgedClaims, judgeClaims } from './claim-campaign.ts'
import { remembered } from './kept.ts'
import { type JudgedPairs, judgePairs } from './pair-campaign.ts'
import { simulate, type Task } from './simulate.ts'

export interface Judgements {
  pairs: JudgedPairs
  claims: JudgedClaims
}

const JUDGES = {
  pairs: async (task: Task, keptIn: string | null) => judgePairs(remembered(keptIn, task, simulate.pairs)),
  claims: async (task: Task, keptIn: string | null) => judgeClaims(remembered(keptIn, task, simulate.claims)),
}

/**
 * Judges one campaign.
 * @param keptIn the folder in which simulated campaigns are kept; null for none
 */
export default async function judge({ task, keptIn }: { task: Task; keptIn: string | null }) {
  try {
    return await JUDGES[task.kind](task, keptIn)
  } catch (error) {
    throw new Error(`${task.seed}: ${error instanceof Error ? error.message : error}`, { cause: error })
  }
}
