/** Probability of at most `successes` of `trials`, each with `rate`. */
export function binomialAtMost(successes: number, trials: number, rate: number): number {
  let logTerm = trials * Math.log(1 - rate)
  let sum = 0
  for (let k = 0; k <= successes; k++) {
    sum += Math.exp(logTerm)
    logTerm += Math.log(((trials - k) / (k + 1)) * (rate / (1 - rate)))
  }
  return sum
}

export const binomialAtLeast = (successes: number, trials: number, rate: number): number =>
  successes === 0 ? 1 : 1 - binomialAtMost(successes - 1, trials, rate)
