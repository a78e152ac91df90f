import { square } from '../../base/arithmetic.ts'
import { backwardSolved, type Cholesky, choleskyOf, forwardSolved } from '../../base/cholesky.ts'
import { dot } from '../../base/least-squares.ts'
import { withoutMean } from '../../base/statistics.ts'
import { drawKey } from '../fuel/measure.ts'
import type { FuelRun } from '../types.ts'
import { areAttributed, type Observation, type Way } from './observation.ts'

/** What is not known beforehand of how readings scatter; see `Scatter`. Standard deviations of a logarithm. */
export interface ScatterPoint {
  /** Of one drive against another of the same setup, beyond all known errors. */
  repeatability: number
  /** Share of its variance that drives of one session have in common, 0 to 1. */
  sessionShare: number
  /** Of one reading of each way that is no fuel; what is not listed has none. */
  ways: Readonly<Partial<Record<Way, number>>>
}

/** Observations of one road with all that is known of their errors: ready for any scatter. */
export interface RoadModel {
  observations: readonly Observation[]
  /** Covariance of the known errors, row-major. */
  known: Float64Array
  /** Columns of the design: each setup's level, then how far each way but the first is off. */
  columns: Float64Array[]
  setups: string[]
}

/** Two ways that count the same injections: half of the variance of their scatter is common to both in a drive. Common practice, no source. */
const SAME_SOURCE_SHARE = 0.5
const SAME_SOURCE: ReadonlySet<Way> = new Set<Way>(['trip computer', 'logged fuel'])

/** @param trend whether a trend in time that all setups have in common is taken out as well */
export function roadModel(observations: readonly Observation[], trend = false): RoadModel {
  const setups = [...new Set(observations.map(({ run }) => setupOf(run)))].sort()
  const ways = [...new Set(observations.map(({ way }) => way))]
  const column = (of: (o: Observation) => boolean): Float64Array =>
    Float64Array.from(observations, (o) => (of(o) ? 1 : 0))
  return {
    observations,
    known: knownCovariance(observations),
    columns: [
      ...setups.map((setup) => column(({ run }) => run.setup === setup)),
      ...ways.slice(1).map((way) => column((o) => o.way === way)),
      ...(trend ? [timesOf(observations)] : []),
    ],
    setups,
  }
}

/** Start times about their mean, in the longest departure from it: all within ±1. */
function timesOf(observations: readonly Observation[]): Float64Array {
  const times = withoutMean(Float64Array.from(observations, ({ run }) => run.startTime))
  const most = times.reduce((longest, time) => Math.max(longest, Math.abs(time)), 0)
  return times.map((time) => (most > 0 ? time / most : 0))
}

const setupOf = (run: FuelRun): string => run.setup ?? ''

/** Row-major: errors that have a name by what they share, others by their draws. */
const knownCovariance = (observations: readonly Observation[]): Float64Array =>
  covarianceOf(observations, ({ errors }) => errors)

/** The same of the errors of the conditions alone. */
export const conditionsCovariance = (observations: readonly Observation[]): Float64Array =>
  covarianceOf(observations, () => [])

function covarianceOf(
  observations: readonly Observation[],
  errorsOf: (o: Observation) => Observation['errors'],
): Float64Array {
  const size = observations.length
  const matrix = new Float64Array(size * size)
  const byAttribution = areAttributed(observations)
  const named = observations.map((o) => {
    const { attributed } = o
    const sds = new Map(errorsOf(o).map(({ name, sd }) => [name, sd]))
    if (byAttribution) for (const [name, sd] of attributed?.byName ?? []) sds.set(name, sd)
    return sds
  })
  const drawn = observations.map((o) => {
    const draws = byAttribution ? o.attributed?.rest : o.conditions
    return draws && withoutMean(draws)
  })
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      const [a, b] = [drawn[i], drawn[j]]
      let sum = a && b ? dot(a, b) / a.length : 0
      for (const [name, sd] of named[j]) sum += sd * (named[i].get(name) ?? 0)
      matrix[i * size + j] = sum
      matrix[j * size + i] = sum
    }
  }
  return matrix
}

/** The model's whole covariance at one scatter, factored; null where it is not positive definite. */
export function factored({ observations, known }: RoadModel, point: ScatterPoint): Cholesky | null {
  const size = observations.length
  const matrix = known.slice()
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      matrix[i * size + j] += scatterCovariance(observations[i], observations[j], point)
    }
  }
  return choleskyOf(matrix, size)
}

/** What the scatter adds to the covariance of two observations. */
export function scatterCovariance(a: Observation, b: Observation, point: ScatterPoint): number {
  const { repeatability, sessionShare, ways } = point
  const variance = repeatability * repeatability
  let sum = a.session === b.session ? sessionShare * variance : 0
  if (a.run !== b.run && drawKey(a.run) !== drawKey(b.run)) return sum
  sum += (1 - sessionShare) * variance
  if (a.way === b.way) return sum + square(ways[a.way] ?? 0)
  const bothCount = SAME_SOURCE.has(a.way) && SAME_SOURCE.has(b.way)
  return bothCount ? sum + SAME_SOURCE_SHARE * (ways[a.way] ?? 0) * (ways[b.way] ?? 0) : sum
}

/**
 * ln of the likelihood of the scatter from what the readings differ by within their setups, up to a constant: the levels
 * are integrated out.
 * @source Patterson, Thompson, "Recovery of inter-block information when block sizes are unequal", Biometrika 58 (1971)
 * 545 (restricted maximum likelihood); Harville, Biometrika 61 (1974) 383 (as a marginal likelihood)
 */
export function restrictedLogLikelihood(model: RoadModel, point: ScatterPoint): number {
  const covariance = factored(model, point)
  if (!covariance) return Number.NEGATIVE_INFINITY
  const y = forwardSolved(
    covariance,
    model.observations.map((o) => o.y),
  )
  const fit = fitted(covariance, model.columns)
  if (!fit) return Number.NEGATIVE_INFINITY
  const explained = forwardSolved(
    fit.information,
    fit.whitened.map((column) => dot(column, y)),
  )
  return -0.5 * (covariance.logDeterminant + fit.information.logDeterminant + dot(y, y) - dot(explained, explained))
}

/** Columns divided by the covariance's root, and XᵀV⁻¹X factored; null where columns depend on each other. */
function fitted(
  covariance: Cholesky,
  columns: readonly Float64Array[],
): { whitened: Float64Array[]; information: Cholesky } | null {
  const whitened = columns.map((column) => forwardSolved(covariance, column))
  const count = columns.length
  const products = new Float64Array(count * count)
  for (let i = 0; i < count; i++) for (let j = 0; j <= i; j++) products[i * count + j] = dot(whitened[i], whitened[j])
  const information = choleskyOf(products, count)
  return information && { whitened, information }
}

/**
 * What each observation counts for in the difference between two setups: generalised least squares with the covariance at
 * one scatter.
 * @returns null where the observations do not tell the difference
 * @source Aitken, Proc. Royal Society of Edinburgh 55 (1935) 42 (generalised least squares)
 */
export function contrastFactors(
  model: RoadModel,
  point: ScatterPoint,
  setup: string,
  baseline: string,
): Float64Array | null {
  const between = new Map([
    [setup, 1],
    [baseline, -1],
  ])
  return levelFactors(model, point, between)
}

/**
 * The same for any sum of the setups' levels.
 * @param factors of the setups' levels, which sum to 0
 */
export function levelFactors(
  model: RoadModel,
  point: ScatterPoint,
  factors: ReadonlyMap<string, number>,
): Float64Array | null {
  const { setups, columns } = model
  if ([...factors.keys()].some((setup) => !setups.includes(setup))) return null
  const covariance = factored(model, point)
  const fit = covariance && fitted(covariance, columns)
  if (!fit) return null
  const contrast = columns.map((_, j) => factors.get(setups[j]) ?? 0)
  const pulls = backwardSolved(fit.information, forwardSolved(fit.information, contrast))
  const whitened = new Float64Array(model.observations.length)
  fit.whitened.forEach((column, j) => {
    for (let i = 0; i < whitened.length; i++) whitened[i] += pulls[j] * column[i]
  })
  return backwardSolved(covariance, whitened)
}

/**
 * The same with weights by each observation's own errors alone: for more observations than are worth a full covariance.
 * What all drives share cancels in the difference.
 */
export function plainFactors(
  observations: readonly Observation[],
  point: ScatterPoint,
  setup: string,
  baseline: string,
): Float64Array | null {
  const common = meanConditions(observations)
  const pulls = observations.map(
    (o) => 1 / (ownVariance(o, common) + square(point.repeatability) + square(point.ways[o.way] ?? 0)),
  )
  const total = (name: string): number =>
    observations.reduce((sum, { run }, i) => sum + (run.setup === name ? pulls[i] : 0), 0)
  const [mine, base] = [total(setup), total(baseline)]
  if (!(mine > 0) || !(base > 0)) return null
  return Float64Array.from(observations, ({ run }, i) =>
    run.setup === setup ? pulls[i] / mine : run.setup === baseline ? -pulls[i] / base : 0,
  )
}

function ownVariance({ errors, conditions }: Observation, common: Float64Array): number {
  const named = errors.reduce((sum, { sd }) => sum + square(sd), 0)
  if (!conditions) return named
  const own = withoutMean(conditions.map((value, k) => value - common[k]))
  return named + dot(own, own) / own.length
}

function meanConditions(observations: readonly Observation[]): Float64Array {
  const sum = new Float64Array(observations[0]?.conditions?.length ?? 0)
  for (const { conditions } of observations) {
    if (conditions) for (let k = 0; k < sum.length; k++) sum[k] += conditions[k] / observations.length
  }
  return sum
}
