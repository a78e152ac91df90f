import { describe, expect, it } from 'vitest'
import type { RunConsumption } from '../../src/claim/fuel/consumption.ts'
import { scatterChange } from '../../src/claim/model/scatter-change.ts'
import { randomOf } from '../simulator/random.ts'

const drives = (raw: number[], corrected: number[]): RunConsumption[] =>
  raw.map((logRaw, i) => ({ logRaw, logAdjusted: corrected[i] }) as RunConsumption)

describe('the scatter before and after correction', () => {
  it('is tested as paired variances are: Pitman’s and Morgan’s t', () => {
    // By hand: sums and differences of the residuals of one group of five.
    const raw = [1, -1, 2, -2, 0]
    const corrected = [3, -2, 5, -6, 0]
    const found = scatterChange([drives(raw, corrected)])!
    const d = raw.map((r, i) => corrected[i] - r)
    const s = raw.map((r, i) => corrected[i] + r)
    const dot = (a: number[], b: number[]): number => a.reduce((sum, x, i) => sum + x * b[i], 0)
    const r = dot(d, s) / Math.sqrt(dot(d, d) * dot(s, s))
    // Both lists have a mean of 0. n − 2 degrees of freedom: 5 drives, one mean, one correlation.
    const t = r * Math.sqrt(3 / (1 - r * r))
    expect(t).toBeGreaterThan(5.841) // t.995(3), any table
    expect(found.p).toBeLessThan(0.005)
    expect(found.grew).toBe(true)
    expect(found.rawSd).toBeCloseTo(Math.sqrt(10 / 4), 12)
    expect(found.correctedSd).toBeCloseTo(Math.sqrt(74 / 4), 12)
  })

  it('a correction that takes scatter out is no growth, nor one that does nothing', () => {
    expect(scatterChange([drives([3, -2, 5, -6, 0], [1, -1, 2, -2, 0])])!.grew).toBe(false)
    expect(scatterChange([drives([1, 2, 3, 4], [1, 2, 3, 4])])!.grew).toBe(false)
    expect(scatterChange([drives([1, 2], [2, 5]), drives([1], [9])])).toBeNull()
  })

  it('calls a harmless correction harmful in its share of cases and no more', () => {
    const random = randomOf('harmless')
    let grew = 0
    for (let i = 0; i < 2000; i++) {
      const side = () => Array.from({ length: 4 }, () => random.normal())
      if (scatterChange([drives(side(), side()), drives(side(), side())])!.grew) grew++
    }
    // 2 %, three binomial standard deviations of 2000.
    expect(grew / 2000).toBeGreaterThan(0.02 - 0.0094)
    expect(grew / 2000).toBeLessThan(0.02 + 0.0094)
  })
})
