import { describe, expect, it } from 'vitest'
import { plainText } from '../../../src/base/sentence.ts'
import { type PairFacts, pairReason, pairRemark, reasonsTogether } from '../../../src/report/words/pairs.ts'
import { pair } from '../fixture.ts'

const between = (mean: number, low90: number, high90: number): Partial<PairFacts> => ({
  difference_pct: { mean, low90, high90 },
})
const known = (mean: number): Partial<PairFacts> => between(mean, mean, mean)
const reason = (changes: Partial<PairFacts>, marginPct = 1): string =>
  plainText(pairReason(pair('a', 'b', changes), { marginPct, roads: ['Hill road', 'Valley road'] }))

describe('the reason of a pair', () => {
  it.each([
    [{ cause: 'other-road' as const }, 'Different roads: Hill road and Valley road.'],
    [{ cause: 'opposite-direction' as const }, 'The same road in opposite directions: never compared.'],
    [{ cause: 'detour' as const }, 'One drive left the road for a detour that the other did not take.'],
    [
      { cause: 'incomplete-road' as const, common_share: 0.5 },
      'Both recordings share only 50 % of the road: one starts late, ends early or has a gap.',
    ],
    [
      { cause: 'missing' as const, missing: ['temperature' as const, 'wind' as const] },
      'Cannot be judged: no temperature observation is within reach and no wind observation is within reach.',
    ],
    [
      { cause: 'outside-model' as const, outside_model: 'wet-and-dry' as const },
      'Not comparable: one road was wet, the other dry, and the model cannot correct for that.',
    ],
    [known(0.3), 'Conditions account for +0.3 % (90 % interval +0.3 to +0.3 %), within ±1 %.'],
    [
      { ...known(-4), verdict: 'adjustable' as const },
      'Conditions account for −4.0 % (90 % interval −4.0 to −4.0 %): not within ±1 %, but known well enough to correct for.',
    ],
    [
      { ...known(12), verdict: 'not-comparable' as const, cause: 'too-large' as const },
      'Conditions account for +12.0 % (90 % interval +12.0 to +12.0 %): too large to correct for.',
    ],
    [
      { ...between(0, -5, 5), verdict: 'undecided' as const, cause: 'not-known-well-enough' as const },
      'Conditions account for 0 % (90 % interval −5.0 to +5.0 %): too uncertain to judge at ±1 %.',
    ],
    [
      { ...between(8, 5.6, 10.5), verdict: 'not-comparable' as const, cause: 'surely-different' as const },
      'Conditions account for +8.0 % (90 % interval +5.6 to +10.5 %): outside ±1 % and too uncertain to correct for.',
    ],
  ])('%#', (changes, want) => {
    expect(reason(changes)).toBe(want)
  })

  it('has one decimal, and shows an end beyond the margin beyond it', () => {
    // +1.0 % and "not within ±1 %" would contradict each other; +1.0 % and "within ±1 %" do not.
    const ends = (low: number, high: number, marginPct?: number): string =>
      /90 % interval ([^)]*) %\)/.exec(reason(between((low + high) / 2, low, high), marginPct))?.[1] ?? ''
    expect(ends(-1.54, 1.996, 2)).toBe('−1.5 to +2.0')
    expect(ends(-1.54, 2.004, 2)).toBe('−1.5 to +2.1')
    expect(ends(-1.0004, 0.42)).toBe('−1.1 to +0.4')
    expect(ends(-0.04, 1.04)).toBe('0.0 to +1.1')
    expect(ends(1.04, 3)).toBe('+1.1 to +3.0')
    expect(ends(-1.251, 1.249, 1.25), 'a margin of two decimals').toBe('−1.26 to +1.25')
  })
})

describe('remarks on a pair', () => {
  it.each([
    [{ code: 'tyre-pressure' as const, a: 2.2e5, b: 3e5 }, /2\.20 and 3\.00 bar/],
    [{ code: 'standing-share' as const, a: 0.05, b: 0.3 }, /5 % of the time .* 30 %/],
    [{ code: 'phase' as const, a: 'day' as const, b: 'night' as const }, /by day, the other by night/],
    [{ code: 'wetness-unknown' as const }, /^Road wet or dry: not reported\.$/],
  ])('%j', (remark, want) => {
    expect(plainText(pairRemark(remark))).toMatch(want)
  })

  it('show masses in the units of the reader', () => {
    // The avoirdupois pound is 0.45359237 kg (NIST SP 811): 100 kg are 220.46 lb.
    expect(plainText(pairRemark({ code: 'payload', a: 100, b: 0 }), 'us')).toContain('220 lb and 0 lb')
  })
})

it('pairs that fail for one reason are told of together, with the range of the figure', () => {
  const short = (common_share: number) => pair('a', 'b', { cause: 'incomplete-road', common_share })
  const count = (n: number): string => `${n} pairs`
  expect(plainText(reasonsTogether([short(0.853), short(0.861)], count) ?? [])).toBe(
    '2 pairs share only 85 to 86 % of the road.',
  )
})
