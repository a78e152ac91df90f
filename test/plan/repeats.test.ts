import { describe, expect, it } from 'vitest'
import type { MeasuringWay } from '../../src/plan/choices.ts'
import { usualRepeatability } from '../../src/plan/design.ts'
import { runErrorsOf } from '../../src/plan/measuring.ts'
import { budgetShares, CONDITIONS_SD, type RepeatsQuestion, repeatsPlan } from '../../src/plan/repeats.ts'
import { repeatsText } from '../../src/plan/repeats-words.ts'

const measuring = (way: MeasuringWay) => ({
  way,
  fuel: 'diesel' as const,
  per100Km: 8,
  error: null,
  temperatureRead: false,
  meterTolerancePct: null,
})
const question = (over: Partial<RepeatsQuestion> = {}): RepeatsQuestion => ({
  effectPct: -3,
  shape: 'loop',
  routesM: [50_000, 100_000],
  measuring: measuring('pump'),
  conditionsSd: CONDITIONS_SD,
  repeatability: usualRepeatability(),
  ...over,
})

describe('the errors of one run', () => {
  it('a fill of 0.15 l on 8 l is 1.875 %', () => {
    expect(runErrorsOf(measuring('pump'), 100_000, 0).level).toBeCloseTo(0.01875, 10)
  })

  it('a pump that is the same for all cancels; different pumps have their tolerance, ±0.5 % with even probability', () => {
    expect(runErrorsOf(measuring('pump'), 1e5, 0).own.pump_meter).toBe(0)
    expect(runErrorsOf(measuring('any-pump'), 1e5, 0).own.pump_meter).toBeCloseTo(0.005 / Math.sqrt(3), 12)
  })
})

describe('a plan for repeats', () => {
  it('power grows with runs and with length, and the smallest effect found shrinks', () => {
    const { designs } = repeatsPlan(question())
    expect(designs.length).toBe(24)
    for (let i = 1; i < 12; i++) {
      expect(designs[i].power).toBeGreaterThan(designs[i - 1].power)
      expect(designs[i].detectable80).toBeLessThan(designs[i - 1].detectable80)
      expect(designs[12 + i].power).toBeGreaterThan(designs[i].power)
    }
  })

  it('no design with less driving than the cheapest has its power', () => {
    const { designs, cheapest } = repeatsPlan(question({ effectPct: -5 }))
    for (const { power, design, drivenM } of cheapest) {
      expect(design!.power).toBeGreaterThanOrEqual(power)
      const shorter = designs.filter((d) => 2 * d.runsPerSetup * d.routeM < drivenM - 1)
      expect(shorter.every((d) => d.power < power)).toBe(true)
    }
  })

  it('the budget adds up to the whole', () => {
    const { designs } = repeatsPlan(question())
    expect(budgetShares(designs[5]).reduce((sum, s) => sum + s.share, 0)).toBeCloseTo(1, 9)
  })

  it('says so where nothing is enough, and what weighs most', () => {
    const text = repeatsText(repeatsPlan(question({ effectPct: 0.2 })))
    expect(text).toContain('Nothing here reaches 80 %: 12 runs each on 100 km')
    expect(text).toContain('reading the fuel (fills, weighings, charges) weighs most')
  })

  it('the order of one run each is A-B-A', () => {
    expect(repeatsText(repeatsPlan(question({ effectPct: -40 })))).toContain('A, B and then A again')
  })
})
