/** What a conditions difference is shared out among. */
export const FACTORS = ['airDensity', 'wind', 'rollingTemperature', 'speed', 'route'] as const
export type Factor = (typeof FACTORS)[number]
/** Those that can be taken from either run, in the order of their bits in a set of factors; what is left is the route's. */
export const EXCHANGED = FACTORS.slice(0, 4)

/**
 * Each exchanged factor's share of a difference, percent: its average effect over all orders of exchanging them.
 *
 * @param demand for every set of factors taken from the second run, by its bits
 * @source Shapley, "A value for n-person games", Contributions to the Theory of Games II (1953) 307
 */
export function shapleyShares(demand: Float64Array): number[] {
  return EXCHANGED.map((_, f) => {
    let share = 0
    for (let set = 0; set < demand.length; set++) {
      if (set & (1 << f)) continue
      share += (100 * SHAPLEY_WEIGHTS[set] * (demand[set | (1 << f)] - demand[set])) / demand[0]
    }
    return share
  })
}

/** |S|!·(n − |S| − 1)!/n! for a set of factors given as bits. */
function shapleyWeight(set: number): number {
  const factorial = [1, 1, 2, 6, 24]
  const size = EXCHANGED.reduce((n, _, f) => n + ((set >> f) & 1), 0)
  return (factorial[size] * factorial[EXCHANGED.length - size - 1]) / factorial[EXCHANGED.length]
}
const SHAPLEY_WEIGHTS = Array.from({ length: 1 << EXCHANGED.length }, (_, set) => shapleyWeight(set))
