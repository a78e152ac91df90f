import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { ReportPair } from '../../src/report/contract.ts'
import { pairsText, rowsIn } from '../../src/work/pair-rows.ts'

const pair = (a: string, b: string): ReportPair => ({
  a,
  b,
  difference_pct: null,
  score: null,
  tightest_margin_pct: null,
  verdict: 'unknown',
  cause: 'missing',
  missing: ['wind'],
  outside_model: null,
  common_share: 1,
  remark_codes: [],
  reason: `No wind, "${a}" and ${b}`,
  contributions_pct: null,
  contributions_interval90_pct: null,
  remarks: [],
})

/** The text for runs by their keys, and how many pairs were made for it. */
function textOf(keys: string[], before: ReturnType<typeof rowsIn>): { text: string; made: number } {
  let made = 0
  const between = (a: number, b: number): ReportPair => {
    made++
    return pair(keys[a], keys[b])
  }
  const pieces = [...pairsText({ bases: keys, between }, keys, before)]
  return { text: pieces.map((piece) => Buffer.from(piece as string).toString()).join(''), made }
}

const names = fc.uniqueArray(fc.string({ unit: fc.constantFrom('a', 'b', 'c'), minLength: 1, maxLength: 3 }), {
  maxLength: 9,
})

describe('the rows of pairs.csv', () => {
  it('are the same whatever was there before, and only those of new runs are made', () => {
    fc.assert(
      fc.property(names, names, (old, now) => {
        const before = rowsIn(Buffer.from(textOf(old, null).text), old)
        expect(before).not.toBeNull()
        expect(textOf(now, before).text).toBe(textOf(now, null).text)
      }),
    )
    const runs = ['a', 'b', 'c', 'd', 'e']
    const before = rowsIn(Buffer.from(textOf(runs, null).text), runs)
    expect(textOf(runs, before).made).toBe(0)
    expect(textOf(['a', 'b', 'x', 'c', 'd', 'e'], before).made).toBe(5)
    expect(textOf(['a', 'c', 'd', 'e'], before).made).toBe(0)
    expect(textOf(['b', 'a', 'c', 'd', 'e'], before).made).toBe(1)
  })

  it('are not taken from a text that has not one line for each pair', () => {
    const { text } = textOf(['a', 'b', 'c'], null)
    expect(rowsIn(Buffer.from(text), ['a', 'b'])).toBeNull()
    expect(rowsIn(Buffer.from(`${text}x`), ['a', 'b', 'c'])).toBeNull()
    expect(rowsIn(Buffer.from(''), [])).toBeNull()
  })
})
