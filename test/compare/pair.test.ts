import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { type ComparableRun, comparePair } from '../../src/compare/pair.ts'
import { COVERAGE_BINS, type Match } from '../../src/road/types.ts'

const z = drawsOf('pair', 400, 1)
/** Draws of a demand this many percent above 500 J/m, with this spread. */
const demand = (percent: number, sdPct = 0): Float64Array => z.map((d) => 500 * (1 + (percent + sdPct * d) / 100))

const driven = (from: number, to: number): Match =>
  ({ covered: Uint8Array.from({ length: COVERAGE_BINS }, (_, i) => (i >= from && i < to ? 1 : 0)) }) as Match

const outside = {
  wet: false,
  phase: 'day' as const,
  payloadKg: 0,
  tyrePressurePa: Number.NaN,
  accessoriesW: 0,
  standingShare: 0,
  startTime: 0,
  endTime: 100,
}

function run(more: Partial<ComparableRun> = {}): ComparableRun {
  return {
    route: 0,
    routeName: 'Hill road',
    relation: 'same',
    match: driven(0, COVERAGE_BINS),
    draws: demand(0),
    missing: [],
    outside,
    ...more,
  }
}
const later = { ...outside, startTime: 1000, endTime: 1100 }
const compare = (b: Partial<ComparableRun>, marginPct = 1, a: Partial<ComparableRun> = {}) =>
  comparePair(run(a), run({ outside: later, ...b }), marginPct, (p, q) => p + q === 3)

describe('whether a pair is comparable, and why not', () => {
  it.each([
    { what: 'equal conditions', b: { draws: demand(0.3) }, verdict: 'comparable', cause: null },
    { what: 'a known difference', b: { draws: demand(4) }, verdict: 'adjustable', cause: null },
    {
      what: 'a difference too large to adjust for',
      b: { draws: demand(12) },
      verdict: 'not-comparable',
      cause: 'too-large',
    },
    {
      what: 'a difference hardly known',
      b: { draws: demand(0, 3) },
      verdict: 'undecided',
      cause: 'not-known-well-enough',
    },
    {
      what: 'a difference hardly known, but surely beyond the margin',
      b: { draws: demand(8, 2) },
      verdict: 'not-comparable',
      cause: 'surely-different',
    },
    { what: 'another road', b: { route: 5, routeName: 'Valley road' }, verdict: 'not-comparable', cause: 'other-road' },
    { what: 'a detour', b: { relation: 'detour' as const }, verdict: 'not-comparable', cause: 'detour' },
    { what: 'a part of the road', b: { match: driven(0, 200) }, verdict: 'not-comparable', cause: 'incomplete-road' },
    { what: 'no weather', b: { draws: null, missing: ['wind' as const] }, verdict: 'unknown', cause: 'missing' },
    { what: 'a wet road', b: { outside: { ...later, wet: true } }, verdict: 'not-comparable', cause: 'outside-model' },
  ])('$what: $verdict', ({ b, verdict, cause }) => {
    const there = compare(b)
    expect([there.verdict, there.cause]).toEqual([verdict, cause])
    // Which of the two is named first changes nothing.
    const back = comparePair(run({ outside: later, ...b }), run(), 1, () => false)
    expect([back.verdict, back.cause]).toEqual([verdict, cause])
  })

  it('the road comes before all else, and what is missing before the wet', () => {
    const worst = {
      relation: 'detour' as const,
      draws: null,
      missing: ['wind' as const],
      outside: { ...later, wet: true },
    }
    expect(compare(worst).cause).toBe('detour')
    expect(compare({ ...worst, relation: 'same' }).cause).toBe('missing')
    expect(compare({ ...worst, route: 9 }).cause).toBe('other-road')
  })

  it('a road driven the other way is named so', () => {
    const back = compare({ route: 2 }, 1, { route: 1 })
    expect(back.cause).toBe('opposite-direction')
    expect(back.difference).toBeNull()
  })

  it('nine tenths of the road in both is enough', () => {
    expect(compare({ match: driven(0, 360) }).verdict).toBe('comparable')
    expect(compare({ match: driven(0, 359) })).toMatchObject({
      cause: 'incomplete-road',
      commonShare: 359 / COVERAGE_BINS,
    })
  })

  it('the difference is given wherever both demands are known and the road is one', () => {
    expect(compare({ draws: demand(4) }).difference?.meanPct).toBeCloseTo(4, 9)
    expect(compare({ draws: demand(4), outside: { ...later, wet: true } }).difference?.meanPct).toBeCloseTo(4, 9)
    expect(compare({ route: 5 }).difference).toBeNull()
    expect(compare({ draws: null }).difference).toBeNull()
    expect(compare({}, 1, { draws: null }).difference).toBeNull()
  })

  it('what both lack is listed once', () => {
    const lacking = { draws: null, missing: ['wind' as const] }
    expect(compare(lacking, 1, lacking).missing).toEqual(['wind'])
  })

  it('too large is what is known to within the margin: half of the interval', () => {
    // Half of the interval is 1.645 · 0.4 = 0.66.
    expect(compare({ draws: demand(12, 0.4) }).cause).toBe('too-large')
    expect(compare({ draws: demand(12, 0.7) }).cause).toBe('surely-different')
  })

  it('remarks go with every verdict', () => {
    for (const b of [{}, { route: 5 }, { draws: null }, { draws: demand(4) }]) {
      expect(compare({ ...b, outside: { ...later, wet: null } }).remarks).toEqual([{ code: 'wetness-unknown' }])
    }
  })
})
