import type { KineticPart } from '../demand/kinetic-part.ts'

/**
 * How far the kinetic parts of drives of one road truly differ: an observation with noise of a true difference whose
 * spread on this road is estimated from the drives themselves. A recording's noise passes for driving in the very band
 * of real driving, so a difference counts as far as it is reliable: it is drawn towards the drives' mean by the share of
 * the noise in its variance.
 */
export interface TrueMotion {
  /** For each drive: its kinetic part as it is best taken to be, ln. */
  log: Float64Array
  /** Its standard deviation, of that drive alone. */
  sd: Float64Array
  /** What all drives of the road share of the doubt, times one draw of the road. */
  sharedSd: Float64Array
  /** And what the smoothing does to all of them, times another: more to those that depend more on it. */
  commonSd: Float64Array
}

interface LogNormal {
  median: number
  logSd: number
}

/**
 * Beliefs before any drive is seen: of the spread of true differences of driving, and of a factor on the stated standard
 * deviations of the recordings. Common practice, no source; held against telephones in one car in the tests.
 */
export const MOTION_PRIORS: { spread: LogNormal; noiseFactor: LogNormal } = {
  spread: { median: 0.03, logSd: 1 },
  noiseFactor: { median: 1, logSd: 0.3 },
}
const SPREAD_NODES = 22
const FACTOR_NODES = 9
/** The grid reaches so many standard deviations to both sides. */
const REACH = 2.5

/**
 * The true kinetic parts of the drives of one road, the hyperparameters integrated out over a grid weighted by the
 * marginal likelihood, the mean of the road with a flat prior.
 * @source the normal hierarchical model: Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section 5.4
 */
export function trueMotion(parts: readonly KineticPart[], priors = MOTION_PRIORS): TrueMotion {
  const cells = gridOf(priors).map(({ spread, factor, logPrior }) => {
    const cell = conditional(parts, spread, factor)
    return { ...cell, logWeight: logPrior + cell.logLikelihood }
  })
  const most = cells.reduce((best, { logWeight }) => Math.max(best, logWeight), Number.NEGATIVE_INFINITY)
  const weights = cells.map(({ logWeight }) => Math.exp(logWeight - most))
  const total = weights.reduce((sum, w) => sum + w, 0)
  const averaged = (of: (cell: (typeof cells)[number], i: number) => number): Float64Array =>
    Float64Array.from(parts, (_, i) => cells.reduce((sum, cell, c) => sum + weights[c] * of(cell, i), 0) / total)
  const log = averaged((cell, i) => cell.log[i])
  const variance = averaged((cell, i) => cell.variance[i] + (cell.log[i] - log[i]) * (cell.log[i] - log[i]))
  return {
    log,
    sd: variance.map(Math.sqrt),
    sharedSd: averaged((cell, i) => cell.shared[i]),
    commonSd: averaged((cell, i) => cell.common[i]),
  }
}

interface Cell {
  spread: number
  factor: number
  logPrior: number
}

function gridOf({ spread, noiseFactor }: typeof MOTION_PRIORS): Cell[] {
  const nodes = (count: number): number[] =>
    Array.from({ length: count }, (_, i) => REACH * ((2 * i) / (count - 1) - 1))
  return nodes(SPREAD_NODES).flatMap((a) =>
    nodes(FACTOR_NODES).map((b) => ({
      spread: spread.median * Math.exp(a * spread.logSd),
      factor: noiseFactor.median * Math.exp(b * noiseFactor.logSd),
      logPrior: -(a * a + b * b) / 2,
    })),
  )
}

const ownVariance = ({ sd, commonSd }: KineticPart): number => sd * sd - commonSd * commonSd

/** Given the spread of true differences and the factor on the noise. */
function conditional(
  parts: readonly KineticPart[],
  spread: number,
  factor: number,
): Pick<TrueMotion, 'log'> & Record<'variance' | 'shared' | 'common', Float64Array> & { logLikelihood: number } {
  const spread2 = spread * spread
  const precision = Float64Array.from(parts, (part) => 1 / (spread2 + factor * factor * ownVariance(part)))
  const sum = precision.reduce((total, w) => total + w, 0)
  const meanOf = (value: (part: KineticPart) => number): number =>
    parts.reduce((total, part, i) => total + precision[i] * value(part), 0) / sum
  const mean = meanOf(({ log }) => log)
  const meanCommon = meanOf(({ commonSd }) => commonSd)
  const reliability = precision.map((w) => spread2 * w)
  const squares = parts.reduce((total, { log }, i) => total + precision[i] * (log - mean) * (log - mean), 0)
  return {
    log: Float64Array.from(parts, ({ log }, i) => mean + reliability[i] * (log - mean)),
    variance: reliability.map((r) => spread2 * (1 - r)),
    // As the estimate itself goes with what is recorded.
    common: Float64Array.from(parts, ({ commonSd }, i) => meanCommon + reliability[i] * (commonSd - meanCommon)),
    // The road's mean is the less certain the more a drive leans on it.
    shared: reliability.map((r) => (1 - r) / Math.sqrt(sum)),
    logLikelihood: precision.reduce((total, w) => total + Math.log(w) / 2, 0) - Math.log(sum) / 2 - squares / 2,
  }
}
