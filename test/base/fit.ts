import { dot, linearModel, unit, varianceOf } from '../../src/base/least-squares.ts'

export interface LinearFit {
  coefficients: Float64Array
  /** NaN where the rows do not tell the coefficient or no degrees of freedom are left. */
  standardErrors: Float64Array
  degreesOfFreedom: number
  /** Of an observation of weight 1; NaN without degrees of freedom. */
  residualSd: number
}

/** Least squares with the standard errors that the residuals themselves give. */
export function leastSquares(rows: number[][], y: ArrayLike<number>, weights?: ArrayLike<number>): LinearFit {
  const model = linearModel(rows, weights)
  const coefficients = model.solve(y)
  const degreesOfFreedom = model.rowCount - model.rank
  const squares = rows.reduce(
    (sum, row, i) => sum + (weights ? weights[i] : 1) * (y[i] - dot(row, coefficients)) ** 2,
    0,
  )
  const residualSd = degreesOfFreedom > 0 ? Math.sqrt(squares / degreesOfFreedom) : Number.NaN
  const standardErrors = coefficients.map((_, j) => {
    const variance = varianceOf(model, unit(model.columnCount, j))
    return Number.isFinite(variance) ? residualSd * Math.sqrt(variance) : Number.NaN
  })
  return { coefficients, standardErrors, degreesOfFreedom, residualSd }
}
