import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { senseOf } from '../../src/claim/sense.ts'
import type { FuelRun, Interval95 } from '../../src/claim/types.ts'

/** Only what the sense check reads. */
const run = (nominalDragJPerM: number, nominalDemandJPerM: number): FuelRun =>
  ({ nominalDragJPerM, nominalDemandJPerM }) as FuelRun

const change = (estimate: number, half: number): Interval95 => ({
  estimate,
  low95: estimate - half,
  high95: estimate + half,
})

/**
 * A car of 1500 kg and 0.65 m² at a steady 100 km/h in still air of 1.189 kg/m³: 298.17 N of drag in 445.27 N, from the
 * road-load formula.
 */
const CAR_AT_100 = run(298.17, 445.27)

describe('senseOf', () => {
  it('knows the share of drag and what it makes of a change', () => {
    const sense = senseOf([CAR_AT_100], change(-5, 2))
    expect(sense?.dragShare).toBeCloseTo(0.67, 3)
    // 5 % over 0.6696.
    expect(sense?.impliedDragAreaChangePct.estimate).toBeCloseTo(-7.467, 3)
    expect(sense?.mostSavingPct).toBeCloseTo(-66.96, 2)
    expect(sense?.verdict).toBe('possible')
  })

  it('has an interval that holds the change and the share', () => {
    // Half-width 2 / 0.6696 = 2.987 by the change; the share's log-odds ±0.392 are 0.5779 to 0.7500, half 0.0861,
    // which is 7.467 · 0.0861 / 0.6696 = 0.960; together 3.137.
    const sense = senseOf([CAR_AT_100], change(-5, 2))
    expect(sense?.dragShareLow95).toBeCloseTo(0.5779, 3)
    expect(sense?.dragShareHigh95).toBeCloseTo(0.75, 3)
    expect(sense?.impliedDragAreaChangePct.low95).toBeCloseTo(-7.467 - 3.137, 2)
    expect(sense?.impliedDragAreaChangePct.high95).toBeCloseTo(-7.467 + 3.137, 2)
  })

  it('flags a saving that vanishing drag could not give', () => {
    // In town drag is a third: 74.54 N of 221.64 N at 50 km/h; its log-odds and 0.392 more give 42.9 %.
    const town = run(74.54, 221.64)
    expect(senseOf([town], change(-30, 5))?.verdict).toBe('possible')
    expect(senseOf([town], change(-50, 20))?.verdict).toBe('estimate beyond')
    const beyond = senseOf([town], change(-50, 5))
    expect(beyond?.verdict).toBe('beyond')
    expect(beyond?.impliedDragAreaChangePct.estimate).toBeLessThan(-100)
  })

  it('sets no bound to a rise', () => {
    expect(senseOf([CAR_AT_100], change(150, 1))?.verdict).toBe('possible')
  })

  it('takes the mean road of several runs and none that does not know its drag', () => {
    expect(senseOf([run(300, 600), run(420, 600), run(Number.NaN, 600)], change(-5, 1))?.dragShare).toBeCloseTo(0.6, 12)
    expect(senseOf([run(Number.NaN, 600)], change(-5, 1))).toBeNull()
    expect(senseOf([], change(-5, 1))).toBeNull()
  })

  it('a smaller share of drag implies a larger change, and the interval holds the estimate', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 5, max: 94 }),
        fc.integer({ min: -200, max: 200 }),
        fc.integer({ min: 1, max: 100 }),
        (share, tenths, half) => {
          const of = (percent: number) =>
            senseOf([run(percent, 100)], change(tenths / 10, half / 10))?.impliedDragAreaChangePct
          const [small, large] = [of(share), of(share + 1)]
          expect(Math.abs(small?.estimate ?? 0)).toBeGreaterThanOrEqual(Math.abs(large?.estimate ?? 0))
          expect(small?.low95).toBeLessThan(small?.estimate ?? 0)
          expect(small?.high95).toBeGreaterThan(small?.estimate ?? 0)
        },
      ),
    )
  })
})
