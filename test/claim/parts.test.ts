import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import type { PartRun } from '../../src/claim/parts/part-design.ts'
import { effectsOfParts, partsOfSetup } from '../../src/claim/parts/parts.ts'

const TRUE_EFFECTS: Record<string, number> = { covers: -0.03, skirts: -0.05, tail: -0.02, rack: 0.04 }
const K = 400

/** A run whose figures are the truth plus `error`; its draws have a spread of `sd` of their own. */
function run(id: string, parts: string[], { route = 0, error = 0, sd = 0.01, level = -2.5 } = {}): PartRun {
  const y = level + route * 0.2 + parts.reduce((sum, part) => sum + (TRUE_EFFECTS[part] ?? 0), 0) + error
  return { id, route, parts, y, draws: drawsOf(`run/${id}`, K, 1).map((z) => y + sd * z) }
}

const percent = (log: number): number => 100 * Math.expm1(log)

describe('effectsOfParts', () => {
  it('finds each part from nested setups', () => {
    const { effects, groups } = effectsOfParts([
      run('a', []),
      run('b', ['covers']),
      run('c', ['covers', 'skirts']),
      run('d', ['covers', 'skirts', 'tail']),
    ])
    expect(groups).toEqual([])
    expect(effects.map(({ part }) => part)).toEqual(['covers', 'skirts', 'tail'])
    for (const { part, consumptionChangePct, inseparableFrom } of effects) {
      expect(consumptionChangePct?.estimate).toBeCloseTo(percent(TRUE_EFFECTS[part]), 9)
      expect(inseparableFrom).toEqual([])
    }
  })

  it('gives the interval of a difference of two runs: ±1.96·√2·1 %', () => {
    const [{ consumptionChangePct }] = effectsOfParts([run('a', []), run('b', ['covers'])]).effects
    const half = ((consumptionChangePct?.high95 ?? 0) - (consumptionChangePct?.low95 ?? 0)) / 2
    // In percent of 0.97; 400 draws leave the quantiles uncertain by about 7 %.
    expect(half / (1.96 * Math.SQRT2 * 0.97)).toBeGreaterThan(0.9)
    expect(half / (1.96 * Math.SQRT2 * 0.97)).toBeLessThan(1.1)
  })

  it('lets an error that all runs share cancel', () => {
    const shared = drawsOf('pump', K, 1)
    const withShared = [run('a', []), run('b', ['covers'])].map((one) => ({
      ...one,
      draws: one.draws.map((y, k) => y + 0.3 * shared[k]),
    }))
    const [mine] = effectsOfParts(withShared).effects
    const [plain] = effectsOfParts([run('a', []), run('b', ['covers'])]).effects
    expect(mine.consumptionChangePct?.low95).toBeCloseTo(plain.consumptionChangePct?.low95 ?? 0, 9)
    expect(mine.consumptionChangePct?.high95).toBeCloseTo(plain.consumptionChangePct?.high95 ?? 0, 9)
  })

  it('names parts that always came together, what they do together, and the run that would tell them apart', () => {
    const result = effectsOfParts(
      [run('a', []), run('b', ['covers', 'skirts']), run('c', ['covers', 'skirts', 'tail'])],
      { bare: [], 'wheel covers': ['covers'], full: ['covers', 'skirts', 'tail'] },
    )
    expect(result.groups).toHaveLength(1)
    const [group] = result.groups
    expect(group.parts).toEqual(['covers', 'skirts'])
    expect(group.neverLeftOff).toBe(false)
    expect(group.combinedChangePct?.estimate).toBeCloseTo(percent(-0.08), 9)
    // Nothing but one of the two, with or without the rest, tells them apart; the lighter change of a setup driven wins.
    expect(group.separatingRun?.parts).toEqual(['covers'])
    expect(group.separatingRun?.setup).toBe('wheel covers')
    expect(group.separatingRun?.tells).toEqual(['covers', 'skirts'])
    expect(group.separatingRun?.sdBeforePct).toBeNull()
    const covers = result.effects.find(({ part }) => part === 'covers')
    expect(covers).toMatchObject({ consumptionChangePct: null, inseparableFrom: ['skirts'] })
    const tail = result.effects.find(({ part }) => part === 'tail')
    expect(tail?.consumptionChangePct?.estimate).toBeCloseTo(percent(-0.02), 9)
  })

  it('finds combinations that hide each other though no two parts are alike', () => {
    // Two sums of three unknowns: covers + skirts and skirts + tail.
    const [group] = effectsOfParts([run('a', []), run('b', ['covers', 'skirts']), run('c', ['skirts', 'tail'])]).groups
    expect(group.parts).toEqual(['covers', 'skirts', 'tail'])
    expect(group.combinedChangePct).toBeNull()
    expect(group.separatingRun?.tells).toEqual(['covers', 'skirts', 'tail'])
    // The weighing design of Yates (1935): with the third pair each effect is half a sum and difference of all four runs,
    // of variance 4/4; any part alone would leave √2 %.
    expect(group.separatingRun?.parts).toEqual(['covers', 'tail'])
    expect(group.separatingRun?.sdAfterPct).toBeCloseTo(1, 2)
  })

  it('says that a part was never left off, and asks for the run without it', () => {
    const { effects, groups } = effectsOfParts([run('a', ['rack']), run('b', ['rack', 'covers'])])
    expect(groups).toHaveLength(1)
    expect(groups[0]).toMatchObject({ parts: ['rack'], neverLeftOff: true, combinedChangePct: null })
    expect(groups[0].separatingRun?.parts).toEqual([])
    expect(effects.find(({ part }) => part === 'covers')?.consumptionChangePct?.estimate).toBeCloseTo(percent(-0.03), 9)
  })

  it('needs no level in common between two roads', () => {
    const { effects } = effectsOfParts([
      run('a', [], { route: 0 }),
      run('b', ['covers'], { route: 0 }),
      run('c', ['covers'], { route: 1 }),
      run('d', ['covers', 'skirts'], { route: 1 }),
    ])
    expect(effects[0].consumptionChangePct?.estimate).toBeCloseTo(percent(-0.03), 9)
    expect(effects[1].consumptionChangePct?.estimate).toBeCloseTo(percent(-0.05), 9)
  })

  it('asks for more of the runs that are few', () => {
    const many = Array.from({ length: 9 }, (_, i) => run(`bare ${i}`, []))
    const { steadyingRun } = effectsOfParts([...many, run('b', ['covers'])])
    expect(steadyingRun?.parts).toEqual(['covers'])
    // √(1/9 + 1) and √(1/9 + 1/2) times 1 %; 400 draws of ten runs are by chance correlated, which leaves about 1 % of it.
    expect(steadyingRun?.sdBeforePct).toBeCloseTo(Math.sqrt(1 / 9 + 1), 1)
    expect(steadyingRun?.sdAfterPct).toBeCloseTo(Math.sqrt(1 / 9 + 1 / 2), 1)
  })

  it('notices that effects do not add up, and only then', () => {
    const square = (error: number): PartRun[] => [
      run('a', []),
      run('b', ['covers']),
      run('c', ['skirts']),
      run('d', ['covers', 'skirts'], { error }),
    ]
    // A misfit of 0.1 against a standard deviation of √4 · 0.01.
    expect(effectsOfParts(square(0.1)).additiveP).toBeLessThan(0.01)
    expect(effectsOfParts(square(0)).additiveP).toBe(1)
    expect(effectsOfParts(square(0.02)).additiveP).toBeGreaterThan(0.2)
    expect(effectsOfParts(square(0).slice(0, 3)).additiveP).toBeNull()
  })

  it('of a single run asks for the one without, and knows what it would be worth', () => {
    const [group] = effectsOfParts([run('a', ['covers'])]).groups
    expect(group).toMatchObject({
      parts: ['covers'],
      neverLeftOff: true,
      separatingRun: { parts: [], tells: ['covers'] },
    })
    // The difference of two runs of 1 %.
    expect(group.separatingRun?.sdAfterPct).toBeCloseTo(Math.SQRT2, 2)
  })

  it('has nothing to say without runs or without parts', () => {
    expect(effectsOfParts([])).toEqual({ effects: [], groups: [], steadyingRun: null, additiveP: null })
    expect(effectsOfParts([run('a', []), run('b', [])]).effects).toEqual([])
  })

  const campaign = fc.array(
    fc.record({
      parts: fc.subarray(Object.keys(TRUE_EFFECTS)),
      route: fc.integer({ min: 0, max: 1 }),
      error: fc.integer({ min: -30, max: 30 }).map((n) => n / 1000),
    }),
    { minLength: 1, maxLength: 9 },
  )
  const runsOf = (rows: { parts: string[]; route: number; error: number }[]): PartRun[] =>
    rows.map(({ parts, ...rest }, i) => run(`r${i}`, parts, rest))

  it('an exact copy of every run leaves effects and intervals; order does not matter', () => {
    fc.assert(
      fc.property(campaign, (rows) => {
        const runs = runsOf(rows)
        const once = effectsOfParts(runs)
        expectAlike(
          effectsOfParts([...runs, ...runs.map((one) => ({ ...one, id: `${one.id}'` }))]).effects,
          once.effects,
        )
        expectAlike(effectsOfParts(runs.toReversed()).effects, once.effects)
      }),
      { numRuns: 25 },
    )
  })

  it('other names for the parts give the same effects under the other names', () => {
    const other: Record<string, string> = { covers: 'z', skirts: 'a', tail: 'm', rack: 'b' }
    fc.assert(
      fc.property(campaign, (rows) => {
        const runs = runsOf(rows)
        const renamed = effectsOfParts(
          runs.map((one) => ({ ...one, parts: one.parts.map((part) => other[part]) })),
        ).effects
        const expected = effectsOfParts(runs).effects.map((effect) => ({
          ...effect,
          part: other[effect.part],
          inseparableFrom: effect.inseparableFrom.map((part) => other[part]).sort(),
        }))
        expectAlike(
          renamed,
          expected.sort((a, b) => (a.part < b.part ? -1 : 1)),
        )
      }),
      { numRuns: 25 },
    )
  })

  it('the run that it asks for does tell what it says', () => {
    fc.assert(
      fc.property(campaign, (rows) => {
        const runs = runsOf(rows)
        for (const { parts, separatingRun } of effectsOfParts(runs).groups) {
          if (separatingRun === null) continue
          expect(parts).toEqual(expect.arrayContaining(separatingRun.tells))
          const after = effectsOfParts([...runs, run('next', separatingRun.parts, { route: separatingRun.route })])
          for (const part of separatingRun.tells) {
            expect(after.effects.find((effect) => effect.part === part)?.consumptionChangePct).not.toBeNull()
          }
        }
      }),
      { numRuns: 40 },
    )
  })
})

type Effects = ReturnType<typeof effectsOfParts>['effects']

function expectAlike(got: Effects, want: Effects): void {
  expect(got.map(({ part, inseparableFrom, neverLeftOff }) => ({ part, inseparableFrom, neverLeftOff }))).toEqual(
    want.map(({ part, inseparableFrom, neverLeftOff }) => ({ part, inseparableFrom, neverLeftOff })),
  )
  got.forEach(({ consumptionChangePct }, i) => {
    const wanted = want[i].consumptionChangePct
    if (wanted === null) expect(consumptionChangePct).toBeNull()
    else {
      for (const key of ['estimate', 'low95', 'high95'] as const)
        expect(consumptionChangePct?.[key]).toBeCloseTo(wanted[key], 7)
    }
  })
}

describe('partsOfSetup', () => {
  it('takes a setup that is not defined as a part of its own name, and an undefined baseline as bare', () => {
    const setups = { full: ['covers', 'skirts', 'covers'], rack: ['rack'] }
    expect(partsOfSetup('full', setups, 'stock')).toEqual(['covers', 'skirts'])
    expect(partsOfSetup('stock', setups, 'stock')).toEqual([])
    expect(partsOfSetup('rack', setups, 'rack')).toEqual(['rack'])
    expect(partsOfSetup('toString', setups, 'stock')).toEqual(['toString'])
  })
})
