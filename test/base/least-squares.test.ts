import { describe, expect, it } from 'vitest'
import { isEstimable, linearModel, varianceOf } from '../../src/base/least-squares.ts'
import { leastSquares } from './fit.ts'

describe('a linear model', () => {
  it('tells columns of very different size apart', () => {
    // y = 3 − 2e12·x: a straight line through three points.
    const rows = [1, 2, 4].map((x) => [1, x * 1e-12])
    const model = linearModel(rows)
    expect(model.rank).toBe(2)
    const [level, slope] = model.solve([1, -1, -5])
    expect(level).toBeCloseTo(3, 9)
    expect(slope / -2e12).toBeCloseTo(1, 9)
  })

  it('and observations of very different weight', () => {
    const model = linearModel(
      [
        [1, 0],
        [0, 1],
      ],
      [1e24, 1],
    )
    expect(model.rank).toBe(2)
    expect([...model.solve([5, 7])]).toEqual([expect.closeTo(5, 9), expect.closeTo(7, 9)])
    // Variances of what is observed once: the inverse weights.
    expect(varianceOf(model, [1, 0]) / 1e-24).toBeCloseTo(1, 9)
    expect(varianceOf(model, [0, 1])).toBeCloseTo(1, 9)
    expect(varianceOf(model, [1, 1])).toBeCloseTo(1, 9)
  })

  it('weights pull: the mean of 1 and 4 with weights 2 and 1 is 2', () => {
    expect(linearModel([[1], [1]], [2, 1]).solve([1, 4])[0]).toBeCloseTo(2, 12)
  })

  it('names the directions that nothing is told of, each of length 1', () => {
    // a + 1000·b is observed, a and b are not: the direction (1000, −1) is free.
    const model = linearModel([
      [1, 1000],
      [2, 2000],
    ])
    expect(model.rank).toBe(1)
    expect(model.nullSpace.length).toBe(1)
    const [direction] = model.nullSpace
    expect(Math.hypot(...direction)).toBeCloseTo(1, 12)
    expect(direction[0] / direction[1]).toBeCloseTo(-1000, 6)
    expect(isEstimable(model, [1, 1000])).toBe(true)
    expect(isEstimable(model, [1, 0])).toBe(false)
    expect(isEstimable(model, [0, 1])).toBe(false)
    expect(varianceOf(model, [1, 0])).toBe(Number.POSITIVE_INFINITY)
    // (1 + 2·2)·… : the sum is observed once with factor 1 and once with factor 2, variance 1/(1 + 4).
    expect(varianceOf(model, [1, 1000])).toBeCloseTo(0.2, 9)
  })

  it('whether a sum is told does not depend on its scale; nothing of everything is told', () => {
    const model = linearModel([
      [1, 1, 0],
      [0, 1, 1],
    ])
    for (const scale of [1e-9, 1, 1e9]) {
      expect(isEstimable(model, [0.3 * scale, 1.3 * scale, scale])).toBe(true)
      expect(isEstimable(model, [0.3 * scale, 1.4 * scale, scale])).toBe(false)
    }
    expect(isEstimable(model, [0, 0, 0])).toBe(true)
  })

  it('without rows or columns tells nothing and solves to nothing', () => {
    for (const model of [linearModel([]), linearModel([[], []])]) {
      expect(model).toMatchObject({ columnCount: 0, rank: 0, nullSpace: [], covariance: [] })
      expect(model.solve([1, 2])).toEqual(new Float64Array(0))
    }
  })

  it('a column of zeros is told nothing of', () => {
    const model = linearModel([
      [1, 0],
      [1, 0],
    ])
    expect(model.rank).toBe(1)
    expect(isEstimable(model, [1, 0])).toBe(true)
    expect(isEstimable(model, [0, 1])).toBe(false)
  })
})

describe('a fit', () => {
  it('without degrees of freedom has no residual spread, whatever rounding leaves', () => {
    for (let i = 1; i < 40; i++) {
      const fit = leastSquares(
        [
          [1, 1 / i],
          [1, Math.sqrt(i) + 3],
        ],
        [Math.sin(i), Math.cos(i)],
      )
      expect(fit.degreesOfFreedom).toBe(0)
      expect(fit.residualSd).toBeNaN()
      expect(fit.standardErrors.every(Number.isNaN)).toBe(true)
    }
  })

  it('has the standard error of a mean: 1, 2, 3, 4 have 2.5 ± √(5/3)/2', () => {
    const fit = leastSquares([[1], [1], [1], [1]], [1, 2, 3, 4])
    expect(fit.coefficients[0]).toBeCloseTo(2.5, 12)
    expect(fit.residualSd).toBeCloseTo(Math.sqrt(5 / 3), 12)
    expect(fit.standardErrors[0]).toBeCloseTo(Math.sqrt(5 / 3) / 2, 12)
  })

  it('gives no error to a coefficient that the rows do not tell', () => {
    const fit = leastSquares(
      [
        [1, 0, 0],
        [1, 0, 0],
        [0, 1, 1],
      ],
      [1, 2, 3],
    )
    expect(fit.degreesOfFreedom).toBe(1)
    expect(fit.standardErrors[0]).toBeCloseTo(0.5, 12)
    expect([...fit.standardErrors.slice(1)]).toEqual([Number.NaN, Number.NaN])
  })

  it('weighted: observations of weight w count as w of them', () => {
    // 1 twice and 4 once: mean 2, Σw(y − 2)² = 2 + 4 = 6 over one degree of freedom of two observations.
    const fit = leastSquares([[1], [1]], [1, 4], [2, 1])
    expect(fit.residualSd).toBeCloseTo(Math.sqrt(6), 12)
    expect(fit.standardErrors[0]).toBeCloseTo(Math.sqrt(6 / 3), 12)
  })
})
