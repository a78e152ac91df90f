import { describe, expect, it } from 'vitest'
import { claimsOf } from '../../src/claim/claims.ts'
import type { RunConsumption } from '../../src/claim/fuel/consumption.ts'
import { scatterChange } from '../../src/claim/model/scatter-change.ts'
import { randomOf } from '../simulator/random.ts'
import { exact, plain } from './small-campaigns.ts'

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

describe('a correction that cannot be relied on', () => {
  /** Half as much fuel with skirts, and a demand that is off by a factor for each drive. */
  const claimWith = (factorOf: (i: number) => number) => {
    const setups = Array.from({ length: 12 }, (_, i) => (i % 2 === 0 ? 'bare' : 'skirts'))
    const runs = exact(
      setups.map((setup, day) => ({ setup, litres: (setup === 'bare' ? 13 : 6.5) * (1 + 0.002 * (day % 3)), day })),
    ).map((run, i) => ({ ...run, demandDraws: run.demandDraws!.map((joules) => joules * factorOf(i)) }))
    return claimsOf(runs, ['a'], plain).claims[0]
  }

  it('carries no verdict where it makes repeats differ more', () => {
    const noisy = claimWith((i) => [0.94, 0.95, 1.05, 1.04, 1.06, 0.95, 0.96, 1.06, 0.94, 0.95, 1.05, 1.05][i])
    expect(noisy.adjusted!.consumptionChangePct.high95).toBeLessThan(0)
    expect(noisy.scatterChange).toMatchObject({ grew: true })
    expect(noisy.scatterChange!.correctedSd).toBeGreaterThan(5 * noisy.scatterChange!.rawSd)
    expect(noisy).toMatchObject({ verdict: 'unresolved', heldBack: 'scatter-grew' })
  })

  it('carries none where it is larger than the model is meant for', () => {
    const large = claimWith((i) => (i % 2 === 0 ? 1 : 1.6))
    expect(large.adjusted!.consumptionChangePct.high95).toBeLessThan(0)
    expect(large).toMatchObject({ verdict: 'unresolved', heldBack: 'large-correction' })
    expect(claimWith(() => 1)).toMatchObject({ verdict: 'supported', heldBack: null })
  })
})
