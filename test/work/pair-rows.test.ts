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
  fuel_informed_difference_pct: null,
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
  const pieces = [...pairsText({ ids: keys, bases: keys, roads: [], between }, keys, before)]
  return { text: pieces.map((piece) => Buffer.from(piece as string).toString()).join(''), made }
}

// A key begins with the number of the run's road.
const name = fc.tuple(fc.integer({ min: 0, max: 2 }), fc.string({ unit: fc.constantFrom('a', 'b'), maxLength: 2 }))
const names = fc.uniqueArray(
  name.map(([road, text]) => `${road}:${text}`),
  { maxLength: 12 },
)
const onOneRoad = (runs: string[]): string[] => runs.map((run) => `0:${run}`)

describe('the rows of pairs.csv', () => {
  it('are the same whatever was there before, and only those of new runs are made', () => {
    fc.assert(
      fc.property(names, names, (old, now) => {
        const before = rowsIn(Buffer.from(textOf(old, null).text), old)
        expect(before).not.toBeNull()
        expect(textOf(now, before).text).toBe(textOf(now, null).text)
      }),
    )
    const runs = onOneRoad(['a', 'b', 'c', 'd', 'e'])
    const before = rowsIn(Buffer.from(textOf(runs, null).text), runs)
    expect(textOf(runs, before).made).toBe(0)
    expect(textOf(onOneRoad(['a', 'b', 'x', 'c', 'd', 'e']), before).made).toBe(5)
    expect(textOf(onOneRoad(['a', 'c', 'd', 'e']), before).made).toBe(0)
    expect(textOf(onOneRoad(['b', 'a', 'c', 'd', 'e']), before).made).toBe(1)
  })

  it('are those of runs on one road, in the order of the runs', () => {
    const { text, made } = textOf(['0:a', '1:b', '0:c', '1:d', '2:e', '0:f'], null)
    expect(made).toBe(4)
    const runs = text
      .trimEnd()
      .split('\n')
      .slice(1)
      .map((row) => row.split(',').slice(0, 2).join(' '))
    expect(runs).toEqual(['0:a 0:c', '0:a 0:f', '1:b 1:d', '0:c 0:f'])
  })

  it('are not taken from a text that has not one line for each pair', () => {
    const { text } = textOf(onOneRoad(['a', 'b', 'c']), null)
    expect(rowsIn(Buffer.from(text), onOneRoad(['a', 'b']))).toBeNull()
    expect(rowsIn(Buffer.from(`${text}x`), onOneRoad(['a', 'b', 'c']))).toBeNull()
    expect(rowsIn(Buffer.from(''), [])).toBeNull()
  })
})
