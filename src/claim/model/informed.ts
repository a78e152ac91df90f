import { square } from '../../base/arithmetic.ts'
import { backwardSolved, choleskyOf, forwardSolved } from '../../base/cholesky.ts'
import { dot } from '../../base/least-squares.ts'
import { present } from '../../base/present.ts'
import { mean } from '../../base/statistics.ts'
import { conditionsCovariance, factored, type RoadModel, type ScatterPoint } from './generalised.ts'
import type { Scatter } from './scatter.ts'

/** What conditions make of the drives of one road, once their fuel is known as well. */
export interface InformedDemands {
  /** Ids of the drives. */
  runs: string[]
  /** The scatter's possible values, each with its probability and what the fuel says then. */
  points: { probability: number; demands: Demands }[]
}

interface Demands {
  /** ln of each drive's demand, up to a constant of the road. */
  logs: Float64Array
  /** Covariance of their errors, row-major. */
  covariance: Float64Array
}

/** Of fewer drives the fuel says nothing of the conditions that its own scatter would not hide. A choice. */
export const LEAST_INFORMED_DRIVES = 6

/**
 * The demands of a road's drives given their fuel: a drive that took more than others of its setup had, in part, harder
 * conditions than the weather reports say. The errors of the demands are jointly normal with the fuel's own, and each
 * setup has a level of its own, so that no change of the vehicle is taken for weather.
 * @returns null for too few drives
 * @source conditioning of a normal distribution on linear readings with unknown levels: best linear unbiased prediction,
 * Robinson, Statistical Science 6 (1991) 15 (from memory)
 */
export function informedDemands(model: RoadModel, { points }: Scatter): InformedDemands | null {
  const { observations, columns } = model
  if (observations.length < LEAST_INFORMED_DRIVES || observations.length < columns.length + 2) return null
  if (observations.some(({ conditions, run }) => conditions === null || run.demandDraws === null)) return null
  const prior = Float64Array.from(observations, ({ run }) => mean(present(run.demandDraws).map(Math.log)))
  const conditions = conditionsCovariance(observations)
  const informed = points.flatMap(({ point, probability }) => {
    const demands = demandsAt(model, point, prior, conditions)
    return demands ? [{ probability, demands }] : []
  })
  return informed.length === points.length ? { runs: observations.map(({ run }) => run.id), points: informed } : null
}

function demandsAt(
  model: RoadModel,
  point: ScatterPoint,
  prior: Float64Array,
  conditions: Float64Array,
): Demands | null {
  const size = prior.length
  const factor = factored(model, point)
  if (!factor) return null
  const levels = model.columns.map((column) => forwardSolved(factor, column))
  const products = new Float64Array(square(levels.length))
  levels.forEach((a, i) => {
    levels.forEach((b, j) => {
      products[i * levels.length + j] = dot(a, b)
    })
  })
  const information = choleskyOf(products, levels.length)
  if (!information) return null
  /** A column less what the setups' levels explain of it. */
  const withoutLevels = (column: Float64Array): Float64Array => {
    const sides = levels.map((level) => dot(level, column))
    const pulls = backwardSolved(information, forwardSolved(information, sides))
    return column.map((value, k) => value - levels.reduce((sum, level, i) => sum + pulls[i] * level[k], 0))
  }
  const whitened = (column: ArrayLike<number>): Float64Array => withoutLevels(forwardSolved(factor, column))
  const y = whitened(model.observations.map((o) => o.y))
  const shared = Array.from({ length: size }, (_, i) => whitened(conditions.subarray(i * size, (i + 1) * size)))
  const covariance = conditions.slice()
  for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) covariance[i * size + j] -= dot(shared[i], shared[j])
  // An adjusted consumption is too high by what its drive needed more than the model says.
  return { logs: prior.map((log, i) => log + dot(shared[i], y)), covariance }
}

/** Of a difference in ln: its mean, and the standard deviation of its error. */
export function informedDifference(
  { runs, points }: InformedDemands,
  a: string,
  b: string,
): { log: number; sd: number } | null {
  const [i, j] = [runs.indexOf(a), runs.indexOf(b)]
  if (i < 0 || j < 0) return null
  const at = points.map(({ probability, demands: { logs, covariance } }) => {
    const of = (row: number, column: number): number => covariance[row * runs.length + column]
    return { probability, log: logs[j] - logs[i], variance: of(i, i) + of(j, j) - 2 * of(i, j) }
  })
  const log = at.reduce((sum, { probability, log }) => sum + probability * log, 0)
  const variance = at.reduce((sum, each) => sum + each.probability * (each.variance + square(each.log - log)), 0)
  return { log, sd: Math.sqrt(Math.max(0, variance)) }
}
