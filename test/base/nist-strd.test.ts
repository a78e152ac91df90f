import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { dot, isEstimable, linearModel, unit, varianceOf } from '../../src/base/least-squares.ts'
import { leastSquares } from './fit.ts'

/**
 * NIST Statistical Reference Datasets, linear regression, itl.nist.gov/div898/strd. Data and certified values from memory;
 * a recomputation with 60 digits gives every certified digit.
 */
const NORRIS: [y: number, x: number][] = [
  [0.1, 0.2],
  [338.8, 337.4],
  [118.1, 118.2],
  [888.0, 884.6],
  [9.2, 10.1],
  [228.1, 226.5],
  [668.5, 666.3],
  [998.5, 996.3],
  [449.1, 448.6],
  [778.9, 777.0],
  [559.2, 558.2],
  [0.3, 0.4],
  [0.1, 0.6],
  [778.1, 775.5],
  [668.8, 666.9],
  [339.3, 338.0],
  [448.9, 447.5],
  [10.8, 11.6],
  [557.7, 556.0],
  [228.3, 228.1],
  [998.0, 995.8],
  [888.8, 887.6],
  [119.6, 120.2],
  [0.3, 0.3],
  [0.6, 0.3],
  [557.6, 556.8],
  [339.3, 339.1],
  [888.0, 887.2],
  [998.5, 999.0],
  [778.9, 779.0],
  [10.2, 11.1],
  [117.6, 118.3],
  [228.9, 229.2],
  [668.4, 669.1],
  [449.2, 448.9],
  [0.2, 0.5],
]

/** y; deflator, gross national product, unemployed, armed forces, population, year. */
const LONGLEY = [
  [60323, 83.0, 234289, 2356, 1590, 107608, 1947],
  [61122, 88.5, 259426, 2325, 1456, 108632, 1948],
  [60171, 88.2, 258054, 3682, 1616, 109773, 1949],
  [61187, 89.5, 284599, 3351, 1650, 110929, 1950],
  [63221, 96.2, 328975, 2099, 3099, 112075, 1951],
  [63639, 98.1, 346999, 1932, 3594, 113270, 1952],
  [64989, 99.0, 365385, 1870, 3547, 115094, 1953],
  [63761, 100.0, 363112, 3578, 3350, 116219, 1954],
  [66019, 101.2, 397469, 2904, 3048, 117388, 1955],
  [67857, 104.6, 419180, 2822, 2857, 118734, 1956],
  [68169, 108.4, 442769, 2936, 2798, 120445, 1957],
  [66513, 110.8, 444546, 4681, 2637, 121950, 1958],
  [68655, 112.6, 482704, 3813, 2552, 123366, 1959],
  [69564, 114.2, 502601, 3931, 2514, 125368, 1960],
  [69331, 115.7, 518173, 4806, 2572, 127852, 1961],
  [70551, 116.9, 554894, 4007, 2827, 130081, 1962],
]

/** How many digits agree with the certified value (log relative error). */
const digits = (value: number, certified: number): number =>
  -Math.log10(Math.abs(value - certified) / Math.abs(certified) + 1e-17)

describe('least squares reproduce NIST StRD to 7 digits', () => {
  it('Norris', () => {
    expect(NORRIS).toHaveLength(36)
    const fit = leastSquares(
      NORRIS.map(([, x]) => [1, x]),
      NORRIS.map(([y]) => y),
    )
    const certified = [
      { b: -0.262323073774029, sd: 0.232818234301152 },
      { b: 1.00211681802045, sd: 0.000429796848199937 },
    ]
    certified.forEach(({ b, sd }, j) => {
      expect(digits(fit.coefficients[j], b)).toBeGreaterThan(7)
      expect(digits(fit.standardErrors[j], sd)).toBeGreaterThan(7)
    })
    expect(digits(fit.residualSd, 0.884796396144373)).toBeGreaterThan(7)
    expect(fit.degreesOfFreedom).toBe(34)
  })

  it('Longley', () => {
    const fit = leastSquares(
      LONGLEY.map(([, ...x]) => [1, ...x]),
      LONGLEY.map(([y]) => y),
    )
    const certified = [
      { b: -3482258.63459582, sd: 890420.383607373 },
      { b: 15.0618722713733, sd: 84.9149257747669 },
      { b: -0.035819179292591, sd: 0.0334910077722432 },
      { b: -2.02022980381683, sd: 0.488399681651699 },
      { b: -1.03322686717359, sd: 0.214274163161675 },
      { b: -0.0511041056535807, sd: 0.22607320006937 },
      { b: 1829.15146461355, sd: 455.478499142212 },
    ]
    certified.forEach(({ b, sd }, j) => {
      expect(digits(fit.coefficients[j], b)).toBeGreaterThan(7)
      expect(digits(fit.standardErrors[j], sd)).toBeGreaterThan(7)
    })
    expect(digits(fit.residualSd, 304.854073561965)).toBeGreaterThan(7)
  })
})

describe('the linear model', () => {
  it('finds columns that depend on each other and says what is told all the same', () => {
    // The second and third column are always the same: their sum is told, neither alone is.
    const rows = [
      [1, 0, 0],
      [1, 1, 1],
      [1, 1, 1],
    ]
    const model = linearModel(rows)
    expect(model.rank).toBe(2)
    expect(model.nullSpace).toHaveLength(1)
    expect(isEstimable(model, [0, 1, 0])).toBe(false)
    expect(isEstimable(model, [0, 1, 1])).toBe(true)
    // One observation against the mean of two: 1 + 1/2.
    expect(varianceOf(model, [0, 1, 1])).toBeCloseTo(1.5, 12)
    expect(varianceOf(model, [0, 0, 1])).toBe(Number.POSITIVE_INFINITY)
    expect(dot(model.solve([10, 12, 14]), [0, 1, 1])).toBeCloseTo(3, 12)
  })

  it('takes fewer rows than columns, a column of zeros, and no columns', () => {
    const wide = linearModel([[1, 2, 0]])
    expect(wide.rank).toBe(1)
    expect(wide.nullSpace).toHaveLength(2)
    expect(dot(wide.solve([5]), [1, 2, 0])).toBeCloseTo(5, 12)
    expect(linearModel([[], []]).rank).toBe(0)
  })

  it('gives an observation of weight 4 the pull of four', () => {
    const once = linearModel([[1], [1]], [4, 1]).solve([10, 20])
    const repeated = linearModel([[1], [1], [1], [1], [1]]).solve([10, 10, 10, 10, 20])
    expect(once[0]).toBeCloseTo(repeated[0], 12)
  })

  it('leaves residuals at right angles to every column, null directions that change no row, and any order alike', () => {
    const design = fc
      .integer({ min: 1, max: 5 })
      .chain((columns) =>
        fc.array(
          fc.tuple(
            fc.array(fc.integer({ min: 0, max: 1 }), { minLength: columns, maxLength: columns }),
            fc.integer({ min: -9, max: 9 }),
          ),
          { minLength: 1, maxLength: 9 },
        ),
      )
    fc.assert(
      fc.property(design, (observations) => {
        const rows = observations.map(([row]) => row)
        const y = observations.map(([, value]) => value)
        const model = linearModel(rows)
        const solution = model.solve(y)
        for (let j = 0; j < model.columnCount; j++) {
          const product = rows.reduce((sum, row, i) => sum + row[j] * (y[i] - dot(row, solution)), 0)
          expect(Math.abs(product)).toBeLessThan(1e-9)
        }
        for (const direction of model.nullSpace) {
          for (const row of rows) expect(Math.abs(dot(row, direction))).toBeLessThan(1e-12)
        }
        expect(model.rank + model.nullSpace.length).toBe(model.columnCount)
        const backwards = linearModel(rows.toReversed()).solve(y.toReversed())
        for (let j = 0; j < model.columnCount; j++) {
          if (isEstimable(model, unit(model.columnCount, j)))
            expect(Math.abs(backwards[j] - solution[j])).toBeLessThan(1e-9)
        }
      }),
    )
  })
})
