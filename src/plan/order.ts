import { square } from '../base/arithmetic.ts'
/** The order of the runs: A is the baseline, B the setup with the change. */
export interface DrivingOrder {
  runs: ('A' | 'B')[]
  /** `spread`: the fewer ones at equal distances among the others. */
  name: 'A-B-B-A' | 'A-B-A-B' | 'A-A-B-B' | 'spread'
  /** How far a steady trend shifts the difference B − A, in units of what the trend does from one run to the next. */
  trendShift: number
  /** How often the vehicle has to be changed between runs. */
  changes: number
  /** Variance that the levels of the fills give the difference, in units of one fill's variance. */
  fillVariance: number
}

/**
 * The orders worth considering for n runs of each setup, the best balanced first, each once.
 * @param chained whether the fill after a run is the fill before the next
 * @param baselineRuns where the baseline has another number of runs: the fewer ones are then spread evenly over the others
 */
export function drivingOrders(runsPerSetup: number, chained: boolean, baselineRuns = runsPerSetup): DrivingOrder[] {
  if (baselineRuns !== runsPerSetup) return unequalOrders(baselineRuns, runsPerSetup, chained)
  const alternating = Array.from({ length: 2 * runsPerSetup }, (_, i): 'A' | 'B' => (i % 2 === 0 ? 'A' : 'B'))
  const mirrored = mirroredRounds(2, runsPerSetup).map((setup): 'A' | 'B' => (setup === 0 ? 'A' : 'B'))
  const blocks = alternating.map((_, i): 'A' | 'B' => (i < runsPerSetup ? 'A' : 'B'))
  const orders = [
    orderOf('A-B-B-A', mirrored, chained),
    orderOf('A-B-A-B', alternating, chained),
    orderOf('A-A-B-B', blocks, chained),
  ]
  // Of one run each there is one order.
  return runsPerSetup === 1 ? orders.slice(0, 1) : orders
}

/** The second half mirrors the first, so that a steady drift cancels wherever it can. */

function unequalOrders(baselineRuns: number, changeRuns: number, chained: boolean): DrivingOrder[] {
  const count = baselineRuns + changeRuns
  const fewer = Math.min(baselineRuns, changeRuns)
  const placeOf = (k: number): number => Math.floor(((k + 0.5) * count) / fewer)
  const places = new Set(
    Array.from({ length: fewer }, (_, k) => {
      const fromEnd = fewer - 1 - k
      return k <= fromEnd ? placeOf(k) : count - 1 - placeOf(fromEnd)
    }),
  )
  const [few, many] = baselineRuns < changeRuns ? (['A', 'B'] as const) : (['B', 'A'] as const)
  const spread = Array.from({ length: count }, (_, i) => (places.has(i) ? few : many))
  const blocks = Array.from({ length: count }, (_, i): 'A' | 'B' => (i < baselineRuns ? 'A' : 'B'))
  return [orderOf('spread', spread, chained), orderOf('A-A-B-B', blocks, chained)]
}

/**
 * Rounds of all setups, each the other way round than the one before: A-B-B-A of two, A-B-C-C-B-A of three. A steady drift
 * cancels in an even number of rounds.
 * @returns the index of the setup of each drive
 */
export function mirroredRounds(setups: number, runsPerSetup: number): number[] {
  return Array.from({ length: setups * runsPerSetup }, (_, i) => {
    const place = i % setups
    return Math.floor(i / setups) % 2 === 0 ? place : setups - 1 - place
  })
}

function orderOf(name: DrivingOrder['name'], runs: ('A' | 'B')[], chained: boolean): DrivingOrder {
  const count = (letter: string): number => runs.filter((r) => r === letter).length
  const factors = runs.map((r) => (r === 'B' ? 1 / count('B') : -1 / count('A')))
  return {
    runs,
    name,
    trendShift: factors.reduce((sum, f, i) => sum + f * i, 0),
    changes: runs.filter((r, i) => i > 0 && r !== runs[i - 1]).length,
    fillVariance: chained ? chainVariance(factors) : 2 * factors.reduce((sum, f) => sum + f * f, 0),
  }
}

/** A level too high counts for the run before it and against the run after it. */
function chainVariance(factors: number[]): number {
  const ends = [0, ...factors, 0]
  return ends.slice(1).reduce((sum, f, i) => sum + square(f - ends[i]), 0)
}
