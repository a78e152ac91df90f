import { type JudgedClaims, judgeClaims } from './claim-campaign.ts'
import { CLAIM_CASES } from './claim-cases.ts'
import { type JudgedPairs, judgePairs } from './pair-campaign.ts'
import { PAIR_CASES } from './pair-cases.ts'

/** One campaign of a case, by names alone: so that another thread can simulate and judge it. */
export interface Task {
  kind: keyof Judgements
  /** Name of the case. */
  name: string
  seed: string
  /** Of pairs, whether what each condition contributes is judged as well: the simulator takes a third of the time again. */
  wantsShares?: boolean
}

export interface Judgements {
  pairs: JudgedPairs
  claims: JudgedClaims
}

const JUDGES = {
  pairs: ({ name, seed, wantsShares = false }: Task) =>
    judgePairs({ ...named(PAIR_CASES, name).settings, seed }, wantsShares),
  claims: ({ name, seed }: Task) => judgeClaims({ ...named(CLAIM_CASES, name).settings, seed }),
}

export default (task: Task): Promise<Judgements[Task['kind']]> => JUDGES[task.kind](task)

function named<T extends { name: string }>(cases: readonly T[], name: string): T {
  const found = cases.find((each) => each.name === name)
  if (!found) throw new Error(`no case is called ${name}`)
  return found
}
