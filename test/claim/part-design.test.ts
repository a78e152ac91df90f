import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { standardDeviation } from '../../src/base/statistics.ts'
import { consistencyOf, percentInterval } from '../../src/claim/evidence/consistency.ts'
import { designOf, designRow, type PartRun } from '../../src/claim/parts/part-design.ts'
import { effectsOfParts } from '../../src/claim/parts/parts.ts'

const K = 2000

/** A run whose own error has the standard deviation `sd`. */
const run = (id: string, y: number, sd: number, parts: string[] = [], route = 0): PartRun => ({
  id,
  route,
  parts,
  y,
  draws: drawsOf(`design/${id}`, K, 1).map((z) => y + sd * z),
})

describe('the design of the parts', () => {
  it('has a level for each route, then a column for each part, in order', () => {
    const design = designOf([
      run('c', 0, 1, ['skirts', 'covers'], 7),
      run('a', 0, 1, [], 3),
      run('b', 0, 1, ['covers', 'skirts'], 7),
      run('d', 0, 1, ['covers'], 3),
    ])
    expect(design.routes).toEqual([3, 7])
    expect(design.parts).toEqual(['covers', 'skirts'])
    expect(designRow(design.routes, design.parts, { route: 7, parts: ['skirts'] })).toEqual([0, 1, 0, 1])
    // The order in which parts are named, and a part named twice, make no other cell.
    const cells = design.cells.map(({ route, parts, shares }) => ({ route, parts, runs: shares.map((s) => s.index) }))
    expect(cells.length).toBe(3)
    expect(cells).toContainEqual({ route: 3, parts: [], runs: [1] })
    expect(cells).toContainEqual({ route: 3, parts: ['covers'], runs: [3] })
    expect(cells).toContainEqual({ route: 7, parts: ['covers', 'skirts'], runs: [0, 2] })
    expect(designOf([run('a', 0, 1, ['x', 'x']), run('b', 0, 1, ['x'])]).cells.length).toBe(1)
  })

  it('has its cells in one order, however the runs come', () => {
    const runs = [run('a', 0, 1), run('b', 0, 1, ['x']), run('c', 0, 1, [], 1), run('d', 0, 1, ['x', 'y'], 1)]
    const order = (of: PartRun[]): string[] => designOf(of).cells.map(({ route, parts }) => `${route} ${parts.join()}`)
    expect(order(runs.toReversed())).toEqual(order(runs))
  })

  it('takes runs of one cell together by inverse variance', () => {
    // Many other runs, so that the mean of all hardly holds the errors of these two.
    const others = Array.from({ length: 60 }, (_, i) => run(`other ${i}`, 0, 0.02, ['x']))
    const { cells } = designOf([run('sure', 1, 0.01), run('unsure', 4, 0.02), ...others])
    const bare = cells.find(({ parts }) => parts.length === 0)!
    // Weights 4 : 1, mean (4·1 + 1·4)/5 = 1.6; variance 1e-4·4/5. Chance correlations with the mean leave some percent.
    expect(bare.shares[0].share).toBeCloseTo(0.8, 1)
    expect(bare.shares[0].share + bare.shares[1].share).toBeCloseTo(1, 12)
    expect(bare.y).toBeCloseTo(1 * bare.shares[0].share + 4 * bare.shares[1].share, 12)
    expect(Math.abs(bare.weight / 12_500 - 1)).toBeLessThan(0.1)
    expect(Math.abs(standardDeviation(bare.draws) / Math.sqrt(0.8e-4) - 1)).toBeLessThan(0.05)
  })

  it('of independent errors alike, the weight is the inverse of their variance, however few the runs', () => {
    for (const count of [2, 3, 8]) {
      const runs = Array.from({ length: count }, (_, i) => run(`few ${count}/${i}`, 0, 0.01, [`part ${i}`]))
      const { runWeight } = designOf(runs)
      expect(Math.abs(runWeight / 1e4 - 1)).toBeLessThan(0.12)
    }
    // A single run has nothing to be held against: its whole error counts.
    expect(Math.abs(designOf([run('alone', 0, 0.01)]).runWeight / 1e4 - 1)).toBeLessThan(0.001)
    expect(designOf([]).runWeight).toBeNaN()
  })

  it('no run counts for more than a hundred of the least sure', () => {
    // Against the mean of all, which holds a 400th of each rough one's variance, the perfect one would count for 400.
    const rough = Array.from({ length: 400 }, (_, i) => ({
      ...run('', 0, 0, ['x']),
      draws: drawsOf(`rough ${i}`, 50, 1),
    }))
    const runs = [{ ...run('perfect', 0, 0), draws: new Float64Array(50) }, ...rough]
    const weightOf = (parts: number): number => designOf(runs).cells.find((c) => c.parts.length === parts)!.weight
    const ratio = weightOf(0) / (weightOf(1) / 400)
    expect(ratio).toBeGreaterThan(70)
    expect(ratio).toBeLessThan(140)
    const exact = designOf([run('p', 0, 0), run('q', 0, 0, ['x'])])
    expect(exact.cells.map(({ weight }) => weight)).toEqual([1e12, 1e12])
  })
})

describe('effects of parts', () => {
  it('that always came in pairs are named pair by pair, and no others', () => {
    const { groups, effects } = effectsOfParts([
      run('bare', 0, 0.01),
      run('front', -0.03, 0.01, ['covers', 'skirts']),
      run('rear', -0.05, 0.01, ['rack', 'tail']),
      run('mirror', -0.01, 0.01, ['mirrors']),
    ])
    expect(groups.map(({ parts }) => parts)).toEqual([
      ['covers', 'skirts'],
      ['rack', 'tail'],
    ])
    expect(groups.map((g) => g.combinedChangePct!.estimate)).toEqual([
      expect.closeTo(100 * Math.expm1(-0.03), 9),
      expect.closeTo(100 * Math.expm1(-0.05), 9),
    ])
    expect(effects.find(({ part }) => part === 'mirrors')).toMatchObject({ inseparableFrom: [], neverLeftOff: false })
    expect(effects.find(({ part }) => part === 'tail')).toMatchObject({
      consumptionChangePct: null,
      inseparableFrom: ['rack'],
      neverLeftOff: false,
    })
  })

  it('of which one is in every run are exchanged, those that come together are not', () => {
    const groupsOf = (...runs: string[][]) =>
      effectsOfParts(runs.map((parts, i) => run(`exchange ${i}`, 0.01 * i, 0.01, parts))).groups
    const tyres = groupsOf(['summer tyres'], ['winter tyres'], ['summer tyres'])
    expect(tyres).toMatchObject([{ parts: ['summer tyres', 'winter tyres'], exchanged: true, neverLeftOff: true }])
    expect(groupsOf(['a'], ['b'], ['c'])).toMatchObject([{ parts: ['a', 'b', 'c'], exchanged: true }])
    expect(groupsOf([], ['covers', 'skirts'])).toMatchObject([{ exchanged: false }])
    expect(groupsOf(['rack'], ['rack', 'box'])).toMatchObject([{ parts: ['rack'], exchanged: false }])
    expect(groupsOf(['covers', 'skirts'], ['covers', 'skirts'])).toMatchObject([{ exchanged: false }])
  })

  it('three that came together are one group, beside a pair that shares a road never driven without', () => {
    const { groups } = effectsOfParts([
      run('a', 0, 0.01, [], 0),
      run('b', 0, 0.01, ['x', 'y', 'z'], 0),
      run('c', 0, 0.01, ['p', 'q'], 1),
      run('d', 0, 0.01, ['p', 'q', 'x', 'y', 'z'], 1),
    ])
    expect(groups.map(({ parts, neverLeftOff }) => ({ parts, neverLeftOff }))).toEqual(
      expect.arrayContaining([
        { parts: ['x', 'y', 'z'], neverLeftOff: false },
        { parts: ['p', 'q'], neverLeftOff: true },
      ]),
    )
    expect(groups.length).toBe(2)
  })

  it('weigh runs by how sure they are', () => {
    const fillers = Array.from({ length: 60 }, (_, i) => run(`filler ${i}`, 0, 0.02, ['rack'], 1))
    const bare = [run('bare sure', 0, 0.01), run('bare unsure', 0.05, 0.02)]
    const { effects } = effectsOfParts([...bare, run('fitted', -0.1, 0.01, ['skirts']), ...fillers])
    // The bare level is (4·0 + 0.05)/5 = 0.01: ln(fitted/bare) = −0.11.
    const skirts = effects.find(({ part }) => part === 'skirts')!.consumptionChangePct!
    expect(skirts.estimate).toBeCloseTo(100 * Math.expm1(-0.11), 0)
    // ±1.96·√(0.01² + 0.8·0.01²) of the logarithm.
    const half = 1.96 * Math.sqrt(1.8e-4)
    expect(Math.log1p(skirts.high95 / 100) - Math.log1p(skirts.low95 / 100)).toBeCloseTo(2 * half, 2)
    expect(skirts.low95).toBeLessThan(skirts.estimate)
    expect(skirts.high95).toBeGreaterThan(skirts.estimate)
  })

  it('that do not add up are noticed as often as errors alone would do so', () => {
    // Four cells and three coefficients: the misfit d of y_ab − y_a − y_b + y_0 has the standard deviation √4·1 %; the
    // chance of one beyond two of its standard deviations is 4.55 %.
    const square = effectsOfParts([
      run('0', 0, 0.01),
      run('a', 0.1, 0.01, ['a']),
      run('b', 0.2, 0.01, ['b']),
      run('ab', 0.3 + 0.04, 0.01, ['a', 'b']),
    ])
    expect(square.additiveP).toBeGreaterThan(0.025)
    expect(square.additiveP).toBeLessThan(0.065)
  })

  it('are asked of whatever weights the runs are given', () => {
    // The level of the bare runs and of the fitted: +1 for a fitted run, −1 shared out over the bare ones, 0 for others.
    const factors: number[][] = []
    const runs = [run('a', 0, 0.01), run('b', 0, 0.01), run('c', 0, 0.01, ['x'])]
    effectsOfParts(runs, {}, (given) => {
      factors.push(given)
      return { estimate: 0, low95: 0, high95: 0 }
    })
    expect(factors.length).toBe(1)
    expect(factors[0][2]).toBeCloseTo(1, 9)
    expect(factors[0][0] + factors[0][1]).toBeCloseTo(-1, 9)
    expect(factors[0][0]).toBeCloseTo(-0.5, 1)
  })
})

describe('two estimates with a part of their errors in common', () => {
  it('by hand: 10 ± 1 and 13 ± 2 with a covariance of ½', () => {
    // Weights (4 − ½) : (1 − ½) = 7 : 1; variance (1·4 − ¼)/(1 + 4 − 1) = 15/16; chi-square 3²/4.
    const result = consistencyOf(
      [10, 13],
      [
        [1, 0.5],
        [0.5, 4],
      ],
    )!
    expect(result.weights).toEqual([expect.closeTo(7 / 8, 12), expect.closeTo(1 / 8, 12)])
    expect(result.weightedMean).toBeCloseTo(10 + 3 / 8, 12)
    expect(result.standardError).toBeCloseTo(Math.sqrt(15 / 16), 12)
    expect(result.chiSquare).toBeCloseTo(9 / 4, 12)
    expect(result.degreesOfFreedom).toBe(1)
    // Two-sided normal probability beyond 1.5: 0.133614, any table.
    expect(result.p).toBeCloseTo(0.133614, 6)
    expect(result.fromOthers).toEqual([expect.closeTo(-3, 12), expect.closeTo(3, 12)])
    // Of two, each departs from the mean by as many of its standard deviations as the other.
    expect(result.normalisedResiduals).toEqual([expect.closeTo(-1.5, 12), expect.closeTo(1.5, 12)])
  })

  it('one estimate agrees with nothing', () => {
    expect(consistencyOf([10], [[1]])).toBeNull()
    expect(consistencyOf([], [])).toBeNull()
  })

  it('a change in percent with its interval: ln 0.9 ± 0.02', () => {
    const { estimate, low95, high95 } = percentInterval(Math.log(0.9), 0.02)
    expect(estimate).toBeCloseTo(-10, 12)
    // 0.9·e^±0.0392 = 0.865403 and 0.935981 (e^0.03919928 = 1.0399777).
    expect(low95).toBeCloseTo(100 * (0.9 / 1.0399777 - 1), 4)
    expect(high95).toBeCloseTo(100 * (0.9 * 1.0399777 - 1), 4)
  })
})
