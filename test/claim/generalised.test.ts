import { CholeskyDecomposition, inverse, Matrix } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import { backwardSolved, choleskyOf, forwardSolved } from '../../src/base/cholesky.ts'
import { drawsOf } from '../../src/base/draws.ts'
import {
  contrastFactors,
  factored,
  plainFactors,
  restrictedLogLikelihood,
  roadModel,
  type ScatterPoint,
} from '../../src/claim/model/generalised.ts'
import type { Observation, Way } from '../../src/claim/model/observation.ts'
import { randomOf } from '../simulator/random.ts'
import { emptyRow } from './synthetic-campaign.ts'

const at = (repeatability: number, sessionShare = 0, ways: ScatterPoint['ways'] = {}): ScatterPoint => ({
  repeatability,
  sessionShare,
  ways,
})

function observation(
  setup: string,
  day: number,
  y: number,
  way: Way = 'l',
  sds: Record<string, number> = {},
): Observation {
  return {
    run: {
      id: `${setup}-${day}`,
      route: 0,
      setup,
      startTime: day * 86_400,
      endTime: day * 86_400 + 3600,
      distanceM: 1e5 + day,
      row: emptyRow(),
      demandDraws: null,
      nominalDemandJPerM: 1,
      nominalDragJPerM: 1,
      leftOut: null,
    },
    way,
    y,
    errors: Object.entries(sds).map(([name, sd]) => ({ source: 'fills' as const, name, sd })),
    conditions: null,
    session: `${day}`,
  }
}

describe('Cholesky factors', () => {
  it('are those of ml-matrix, with the determinant, and solve', () => {
    const random = randomOf('cholesky')
    const size = 7
    const root = Matrix.from1DArray(
      size,
      size,
      Array.from({ length: size * size }, () => random.normal()),
    )
    const matrix = root.mmul(root.transpose()).add(Matrix.eye(size, size).mul(0.1))
    const mine = choleskyOf(Float64Array.from(matrix.to1DArray()), size)!
    const theirs = new CholeskyDecomposition(matrix).lowerTriangularMatrix
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) expect(mine.lower[i * size + j]).toBeCloseTo(theirs.get(i, j), 10)
    }
    const b = Array.from({ length: size }, () => random.normal())
    const x = backwardSolved(mine, forwardSolved(mine, b))
    const wanted = inverse(matrix).mmul(Matrix.columnVector(b)).to1DArray()
    x.forEach((value, i) => {
      expect(value).toBeCloseTo(wanted[i], 8)
    })
    const logDeterminant = 2 * theirs.diagonal().reduce((sum, d) => sum + Math.log(d), 0)
    expect(mine.logDeterminant).toBeCloseTo(logDeterminant, 10)
  })

  it('do not exist where columns depend on each other', () => {
    expect(choleskyOf(Float64Array.of(1, 1, 1, 1), 2)).toBeNull()
    expect(choleskyOf(Float64Array.of(1, 2, 2, 1), 2)).toBeNull()
  })
})

describe('generalised least squares', () => {
  it('weighs by inverse variances where errors are independent', () => {
    const sides = [
      observation('a', 0, 0, 'l', { one: 0.03 }),
      observation('a', 1, 0, 'l', { two: 0.01 }),
      ...Array.from({ length: 10 }, (_, i) => observation('b', 10 + i, 0)),
    ]
    const factors = contrastFactors(roadModel(sides), at(0.02), 'a', 'b')!
    // 1/(9 + 4) against 1/(1 + 4), in squares of 1 %.
    expect(factors[0]).toBeCloseTo(5 / 18, 10)
    expect(factors[1]).toBeCloseTo(13 / 18, 10)
    for (const factor of factors.slice(2)) expect(factor).toBeCloseTo(-1 / 10, 10)
    const plain = plainFactors(sides, at(0.02), 'a', 'b')!
    plain.forEach((factor, i) => {
      expect(factor).toBeCloseTo(factors[i], 10)
    })
  })

  it('is the formula of Aitken with a full covariance', () => {
    const random = randomOf('aitken')
    const sides = Array.from({ length: 8 }, (_, i) =>
      observation(i < 3 ? 'a' : i < 6 ? 'b' : 'c', i, random.normal(), 'l', {
        pump: 0.02 * random.uniform(),
        [`own ${i}`]: 0.02,
        [`pair ${i >> 1}`]: 0.03,
      }),
    )
    const model = roadModel(sides)
    const point = at(0.01)
    const size = sides.length
    const lower = Matrix.from1DArray(size, size, [...factored(model, point)!.lower])
    for (let i = 0; i < size; i++) for (let j = i + 1; j < size; j++) lower.set(i, j, 0)
    const v = inverse(lower.mmul(lower.transpose()))
    const x = new Matrix(model.columns.map((column) => [...column])).transpose()
    const solved = inverse(x.transpose().mmul(v).mmul(x)).mmul(x.transpose()).mmul(v)
    // Columns in the order of the setups' names.
    const wanted = solved.getRow(0).map((value, i) => value - solved.get(1, i))
    contrastFactors(model, point, 'a', 'b')!.forEach((factor, i) => {
      expect(factor).toBeCloseTo(wanted[i], 8)
    })
  })

  it('what all drives share changes no weight', () => {
    const of = (pump: number) =>
      contrastFactors(
        roadModel([
          observation('a', 0, 0, 'l', { pump, one: 0.03 }),
          observation('a', 1, 0, 'l', { pump, two: 0.01 }),
          observation('b', 2, 0, 'l', { pump }),
        ]),
        at(0.01),
        'a',
        'b',
      )!
    of(0.5).forEach((factor, i) => {
      expect(factor).toBeCloseTo(of(0)[i], 8)
    })
  })

  it('another way of reading that is off by any factor sharpens the difference all the same', () => {
    const of = (off: number): number => {
      const all = ['a', 'b'].flatMap((setup, s) =>
        [0, 1].flatMap((i) => [
          observation(setup, 2 * s + i, s * 0.1, 'l', { [`fill ${s}${i}`]: 0.03 }),
          observation(setup, 2 * s + i, s * 0.1 + off, 'trip computer'),
        ]),
      )
      const factors = contrastFactors(roadModel(all), at(0.005, 0, { 'trip computer': 0.01 }), 'b', 'a')!
      return factors.reduce((sum, factor, i) => sum + factor * all[i].y, 0)
    }
    expect(of(0)).toBeCloseTo(0.1, 10)
    expect(of(0.7)).toBeCloseTo(0.1, 10)
  })

  it('tells nothing of a setup that was not driven', () => {
    const model = roadModel([observation('a', 0, 0), observation('b', 1, 0)])
    expect(contrastFactors(model, at(0.01), 'c', 'b')).toBeNull()
    // With a trend through one drive of each nothing is left to tell.
    const withTrend = roadModel([observation('a', 0, 0), observation('b', 1, 0)], true)
    expect(contrastFactors(withTrend, at(0.01), 'a', 'b')).toBeNull()
  })
})

describe('the restricted likelihood', () => {
  it('of one group is that of the scaled chi-square: most likely at the sample’s variance', () => {
    const y = [0.01, 0.04, -0.02, 0.03, 0.055]
    const model = roadModel(y.map((value, i) => observation('a', i, value)))
    const mean = y.reduce((sum, value) => sum + value, 0) / 5
    const squares = y.reduce((sum, value) => sum + (value - mean) ** 2, 0)
    // Up to a constant −½·(4·ln σ² + Σ(y − ȳ)²/σ²) (Patterson and Thompson 1971, one mean).
    const wanted = (sd: number): number => -0.5 * (4 * Math.log(sd * sd) + squares / (sd * sd))
    const of = (sd: number): number => restrictedLogLikelihood(model, at(sd))
    expect(of(0.03) - of(0.01)).toBeCloseTo(wanted(0.03) - wanted(0.01), 9)
    expect(of(0.03) - of(0.08)).toBeCloseTo(wanted(0.03) - wanted(0.08), 9)
  })

  it('leaves out what conditions explain: errors that the draws have in common are no scatter', () => {
    const wind = drawsOf('test/wind', 400, 1)
    const y = [0, 0.1, 0.2, 0.3]
    const blown = y.map((value, i) => ({ ...observation('a', i, value), conditions: wind.map((z) => 0.1 * i * z) }))
    const plain = y.map((value, i) => observation('a', i, value))
    const gain = (all: Observation[]): number =>
      restrictedLogLikelihood(roadModel(all), at(0.01)) - restrictedLogLikelihood(roadModel(all), at(0.1))
    expect(gain(blown)).toBeGreaterThan(0)
    expect(gain(plain)).toBeLessThan(0)
  })
})
