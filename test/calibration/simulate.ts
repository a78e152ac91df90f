import { CLAIM_CASES } from './claim-cases.ts'
import { type SimulatedPairs, simulatePairs } from './pair-campaign.ts'
import { PAIR_CASES } from './pair-cases.ts'
import { type SimulatedClaims, simulateClaims } from './simulated-claims.ts'

/** One campaign of a case, by names alone: so that another thread can simulate and judge it. */
export interface Task {
  kind: keyof Simulated
  /** Name of the case. */
  name: string
  seed: string
  /** Of pairs, whether what each condition contributes is judged as well: the simulator takes a third of the time again. */
  wantsShares: boolean
}

export interface Simulated {
  pairs: SimulatedPairs
  claims: SimulatedClaims
}

/** All of a campaign that does not depend on how it is judged, as plain data. */
export const simulate: { [K in Task['kind']]: (task: Task) => Simulated[K] } = {
  pairs: ({ name, seed, wantsShares }) => simulatePairs({ ...named(PAIR_CASES, name).settings, seed }, wantsShares),
  claims: ({ name, seed }) => simulateClaims({ ...named(CLAIM_CASES, name).settings, seed }),
}

function named<T extends { name: string }>(cases: readonly T[], name: string): T {
  const found = cases.find((each) => each.name === name)
  if (!found) throw new Error(`no case is called ${name}`)
  return found
}
