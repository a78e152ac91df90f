import { describe, expect, it } from 'vitest'
import { mean } from '../../src/base/statistics.ts'
import { claimsOf } from '../../src/claim/claims.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { toldClaim } from '../report/words/told-claims.ts'
import { claimed, exact, pair, plain } from './small-campaigns.ts'

describe('the next step', () => {
  it('is the one that narrows the interval most, with both widths', () => {
    const [claim] = claimed(pair()).claims
    const width = claim.adjusted!.consumptionChangePct.high95 - claim.adjusted!.consumptionChangePct.low95
    const steps = claim.nextSteps
    expect(steps.map((s) => s.step).sort()).toEqual([
      'longer-route',
      'more-runs',
      'nearer-anemometer',
      'weigh-the-fuel',
    ])
    for (const step of steps) {
      expect(step.widthBeforePct).toBeCloseTo(width, 9)
      expect(step.widthAfterPct).toBeGreaterThan(0)
      expect(step.widthAfterPct).toBeGreaterThanOrEqual(steps[0].widthAfterPct)
    }
    expect(steps[0].widthAfterPct).toBeLessThan(width)
  })

  it('is a scale where the pump is coarse, and more runs where the fuel is weighed already', () => {
    const [coarse] = claimed(pair({ fillSdLitres: 0.4 })).claims
    expect(coarse.nextSteps[0].step).toBe('weigh-the-fuel')
    const weighed = pair()
    for (const r of weighed.runs) r.row = { ...r.row, fuelLitres: Number.NaN, fuelKg: r.row.fuelLitres * 0.83 }
    expect(claimed(weighed).claims[0].nextSteps[0].step).toBe('more-runs')
  })

  it('is an anemometer where the wind is what nobody knows', () => {
    const windy = pair({
      setups: [
        { name: 'bare', effectPct: 0, runs: 6 },
        { name: 'skirts', effectPct: -6, runs: 6, windMps: 10 },
      ],
    })
    const [claim] = claimed(windy).claims
    expect(claim.uncertaintyShares!.conditions).toBeGreaterThan(0.5)
    expect(claim.nextSteps[0].step).toBe('nearer-anemometer')
  })

  it('foretells what more runs bring, within the luck of the draw', () => {
    const ratios = Array.from({ length: 20 }, (_, i) => {
      const steps = claimed(pair({ seed: `more/${i}` })).claims[0].nextSteps
      const now = claimed(pair({ seed: `more/${i}` }, -6, 4)).claims[0].adjusted!.consumptionChangePct
      return (now.high95 - now.low95) / steps.find((s) => s.step === 'more-runs')!.widthAfterPct
    })
    expect(mean(ratios)).toBeGreaterThan(0.93)
    expect(mean(ratios)).toBeLessThan(1.07)
  })
})

describe('drift', () => {
  const aba = (risePctPerDay: number): FuelRun[] =>
    exact(
      ['bare', 'bare', 'skirts', 'skirts', 'skirts', 'skirts', 'bare', 'bare'].map((setup, day) => ({
        setup,
        litres: (setup === 'bare' ? 13 : 12.2) * (1 + (risePctPerDay / 100) * day) * (1 + 0.0005 * ((day * 7) % 3)),
        day,
      })),
    )

  it('is not seen where there is none', () => {
    const [claim] = claimsOf(aba(0), ['a'], plain).claims
    const { drift } = claim
    expect(drift).toMatchObject({ resolved: false, corrected: false, spanHours: 7 * 24 })
    expect(toldClaim(claim, aba(0)).drift!.sentence).toContain('no drift is shown')
  })

  it('is seen, told, and taken out only when asked', () => {
    const [kept] = claimsOf(aba(1), ['a'], plain).claims
    expect(kept.drift!.resolved).toBe(true)
    expect(kept.drift!.changeOverSpanPct.estimate).toBeCloseTo(7, 0)
    const { statement } = toldClaim(kept, aba(1))
    expect(statement).toContain('a drift, which is not removed')
    // A statement is published: its readers have no command line.
    expect(statement).not.toMatch(/ --\w/)
    const late = aba(1).slice(0, 7)
    const unlucky = claimsOf(late, ['a'], plain).claims[0].adjusted!.consumptionChangePct.estimate
    const corrected = claimsOf(late, ['a'], { ...plain, correctDrift: true }).claims[0]
    const truth = 100 * (12.2 / 13 - 1)
    expect(Math.abs(corrected.adjusted!.consumptionChangePct.estimate - truth)).toBeLessThan(0.2)
    expect(Math.abs(unlucky - truth)).toBeGreaterThan(1)
    expect(corrected.drift!.corrected).toBe(true)
  })

  // As made: the change is 6 %, the baseline's over the week seven times what it rises a day.
  it('holds the claim back where it is as large as the change', () => {
    const heldBack = (rise: number, correctDrift = false) =>
      claimsOf(aba(rise), ['a'], { ...plain, correctDrift }).claims[0].heldBack
    expect(heldBack(1)).toBe('drift')
    expect(heldBack(0.5)).toBe(null)
    expect(heldBack(1, true)).toBe(null)
  })
})
