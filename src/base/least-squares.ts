import { Matrix, SingularValueDecomposition } from 'ml-matrix'
import { rootSumOfSquares, square } from './arithmetic.ts'

/** A linear model made ready: what of it the rows can tell, and the solution for any right-hand side. */
export interface LinearModel {
  rowCount: number
  columnCount: number
  /** How many independent things the rows tell of the columns. */
  rank: number
  /**
   * Independent directions of the coefficients that the rows say nothing about, each of length 1; none where `rank` is
   * `columnCount`.
   */
  nullSpace: Float64Array[]
  /**
   * (XᵀWX)⁺, row by row: times the variance of an observation of weight 1 it is the covariance of the coefficients.
   * It means something only for what the rows tell (see `isEstimable`).
   */
  covariance: Float64Array[]
  /** The coefficients that fit `y` best; one of several where the rows do not tell them all. */
  solve(y: ArrayLike<number>): Float64Array
}

/** Columns scaled to length 1 that depend on each other to within this are taken to depend wholly. */
const RANK_TOLERANCE = 1e-10

/**
 * Weighted linear least squares by the singular value decomposition of the scaled columns, so that columns of very
 * different size cost no digits and columns that depend on each other are found.
 * @param rows the design, one row per observation, all of one length, no NaN
 * @param weights of the observations, above 0: the inverse of their variances up to a factor; all 1 when left out
 * @source Golub, Van Loan, Matrix Computations, 4th ed. 2013, 5.5 (rank-deficient least squares), 5.3 (column scaling)
 */
export function linearModel(rows: number[][], weights?: ArrayLike<number>): LinearModel {
  const rowCount = rows.length
  const columnCount = rows[0]?.length ?? 0
  if (columnCount === 0) return emptyModel(rowCount)
  const root = Float64Array.from({ length: rowCount }, (_, i) => Math.sqrt(weights ? weights[i] : 1))
  const scale = Float64Array.from(
    { length: columnCount },
    (_, j) => rootSumOfSquares(rows.map((row, i) => row[j] * root[i])) || 1,
  )
  // ml-matrix wants at least as many rows as columns: rows of 0 change nothing.
  const padded = Array.from({ length: Math.max(rowCount, columnCount) }, (_, i) =>
    Array.from(scale, (length, j) => (i < rowCount ? (rows[i][j] * root[i]) / length : 0)),
  )
  const {
    leftSingularVectors: u,
    diagonal,
    rightSingularVectors: v,
  } = new SingularValueDecomposition(new Matrix(padded))
  const largest = Math.max(...diagonal)
  const kept = indices(columnCount).filter((k) => diagonal[k] > RANK_TOLERANCE * largest)
  const lost = indices(columnCount).filter((k) => !kept.includes(k))
  const unscaled = (weightOf: (k: number) => number): Float64Array => {
    const sums = new Float64Array(columnCount)
    for (const k of kept) {
      const size = weightOf(k)
      for (let j = 0; j < columnCount; j++) sums[j] += v.get(j, k) * size
    }
    return sums.map((sum, j) => sum / scale[j])
  }
  return {
    rowCount,
    columnCount,
    rank: kept.length,
    nullSpace: lost.map((k) => unitLength(Float64Array.from(scale, (length, j) => v.get(j, k) / length))),
    covariance: indices(columnCount).map((i) => unscaled((k) => v.get(i, k) / square(diagonal[k]) / scale[i])),
    solve: (y) => {
      const projected = kept.map((k) => root.reduce((sum, w, i) => sum + u.get(i, k) * w * y[i], 0) / diagonal[k])
      return unscaled((k) => projected[kept.indexOf(k)])
    },
  }
}

/**
 * Whether the rows tell the value of a sum of coefficients (an "estimable function").
 * @param combination the factor of each coefficient
 * @source Searle, Linear Models, 1971, 5.4 (from memory)
 */
export function isEstimable(model: LinearModel, combination: ArrayLike<number>): boolean {
  const length = rootSumOfSquares(combination)
  return model.nullSpace.every((direction) => Math.abs(dot(direction, combination)) <= 1e-8 * length)
}

/** Variance of a sum of coefficients, for an observation of weight 1 and variance 1; Infinity where the rows do not tell it. */
export function varianceOf(model: LinearModel, combination: ArrayLike<number>): number {
  if (!isEstimable(model, combination)) return Number.POSITIVE_INFINITY
  return dot(
    model.covariance.map((row) => dot(row, combination)),
    combination,
  )
}

/** Sum of the products of two lists of one length. */
export function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i]
  return sum
}

/** 1 at one place of a list, else 0: picks one coefficient. */
export function unit(length: number, at: number): Float64Array {
  return Float64Array.from({ length }, (_, i) => (i === at ? 1 : 0))
}

const indices = (count: number): number[] => Array.from({ length: count }, (_, i) => i)

function unitLength(direction: Float64Array): Float64Array {
  const length = rootSumOfSquares(direction)
  return direction.map((x) => x / length)
}

function emptyModel(rowCount: number): LinearModel {
  return { rowCount, columnCount: 0, rank: 0, nullSpace: [], covariance: [], solve: () => new Float64Array(0) }
}
