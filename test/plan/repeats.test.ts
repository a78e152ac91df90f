import { describe, expect, it } from 'vitest'
import { repeatsText } from '../../src/cli/plan/repeats-text.ts'
import type { MeasuringWay } from '../../src/plan/choices.ts'
import { usualRepeatability } from '../../src/plan/design.ts'
import { runErrorsOf } from '../../src/plan/measuring.ts'
import { budgetShares, CONDITIONS_SD, type RepeatsQuestion, repeatsPlan } from '../../src/plan/repeats.ts'

const measuring = (way: MeasuringWay) => ({
  way,
  fuel: 'diesel' as const,
  per100Km: 8,
  error: null,
  temperatureRead: false,
  meterTolerancePct: null,
  also: null,
})
const question = (over: Partial<RepeatsQuestion> = {}): RepeatsQuestion => ({
  effectPct: -3,
  shape: 'loop',
  routesM: [50_000, 100_000],
  measuring: measuring('pump'),
  conditionsSd: CONDITIONS_SD,
  repeatability: usualRepeatability(),
  baselineDrives: null,
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
    expect(text).toContain('80 % is not reached: 12 drives of each setup on 100 km')
    expect(text).toContain('Largest source of uncertainty: measuring the fuel or energy')
  })

  it('names another way of measuring where one is enough', () => {
    const filled = repeatsPlan(question({ effectPct: -2 }))
    const weighed = repeatsPlan(question({ effectPct: -2, measuring: measuring('scale') }))
    expect(filled.enoughBy).toBe('scale')
    const beside = repeatsPlan(question({ effectPct: -2, measuring: { ...measuring('pump'), also: 'trip-computer' } }))
    expect(beside.strongest.power).toBeLessThan(0.8)
    expect(weighed.designs[weighed.designs.length - 1].power).toBeGreaterThanOrEqual(0.8)
    expect(repeatsText(filled)).toContain(
      'fuel weighed before and after each drive, with 12 drives of each setup on 100 km',
    )
    expect(repeatsPlan(question({ effectPct: 0.2 })).enoughBy).toBeNull()
    expect(repeatsPlan(question({ effectPct: -10 })).enoughBy).toBeNull()
  })

  it('does not name a reading that is planned with already', () => {
    const logged = { ...measuring('any-pump'), meterTolerancePct: 20, also: 'logged' as const }
    const ways = [-2.3, -2.5, -2.7].map((effectPct) =>
      repeatsPlan(question({ effectPct, routesM: [5_000], measuring: logged })),
    )
    expect(ways.map((plan) => plan.enoughBy)).not.toContain('logged')
  })

  it('names the shortest road that would be enough, in steps of 10 km, or that none is', () => {
    const short = repeatsPlan(question({ effectPct: -2 }))
    expect(short.cheapest[0].design).toBeNull()
    const enoughM = short.longEnoughM!
    const powerOn = (routeM: number): number =>
      Math.max(...repeatsPlan(question({ effectPct: -2, routesM: [routeM] })).designs.map((d) => d.power))
    expect(powerOn(enoughM)).toBeGreaterThanOrEqual(0.8)
    expect(powerOn(enoughM - 10_000)).toBeLessThan(0.8)
    expect(repeatsText(short)).toContain(`12 drives of each setup on ${enoughM / 1000} km`)
    const runs = short.enoughRuns!
    expect(runs).toBeGreaterThan(12)
    expect(repeatsText(short)).toContain(`It takes ${runs} drives of each setup on 100 km`)
    // Twice as many drives have half the variance: the number for 2 % is near that of the normal test,
    // (1.960 + 0.842)² of the variance of one drive each (Cohen 1988, from memory) over the square of ln 0.98.
    const oneEach = short.designs.find((d) => d.runsPerSetup === 12 && d.routeM === 100_000)!.standardError ** 2 * 12
    expect(runs / ((2.802 ** 2 * oneEach) / Math.log(0.98) ** 2)).toBeGreaterThan(0.9)
    expect(runs / ((2.802 ** 2 * oneEach) / Math.log(0.98) ** 2)).toBeLessThan(1.25)
    // What differs from drive to drive, and an error in percent of the charge, are the same on any length.
    const never = repeatsPlan(question({ effectPct: 0.2, measuring: measuring('battery') }))
    expect(never.longEnoughM).toBeNull()
    expect(repeatsText(never)).toMatch(/A longer road alone is not enough|Neither a longer road/)
  })

  it('tells how many drives a baseline driven already asks for, and that more of them end at what it is itself worth', () => {
    const fixed = repeatsPlan(question({ effectPct: -6, baselineDrives: 3, measuring: measuring('scale') }))
    const [first] = fixed.designs
    expect(first).toMatchObject({ runsPerSetup: 1, baselineRuns: 3 })
    // One drive against three has 4/6 of the variance of one against one (1 + 1/3 against 2).
    const single = repeatsPlan(question({ effectPct: -6, measuring: measuring('scale') })).designs[0]
    expect(first.standardError ** 2 / single.standardError ** 2).toBeCloseTo(4 / 6, 9)
    expect(repeatsText(fixed)).toMatch(/with and 3 without the change/)
    const few = repeatsPlan(question({ effectPct: -1, baselineDrives: 1 }))
    expect(few.enoughRuns).toBeNull()
    expect(repeatsText(few)).toContain('12 drives with and 1 without the change')
    const some = repeatsPlan(question({ effectPct: -3, baselineDrives: 1, measuring: measuring('scale') }))
    const baseline = some.enoughBaselineRuns!
    const powerOf = (baselineDrives: number) =>
      Math.max(
        ...repeatsPlan(question({ effectPct: -3, baselineDrives, measuring: measuring('scale') })).designs.map(
          (d) => d.power,
        ),
      )
    expect(powerOf(baseline)).toBeGreaterThanOrEqual(0.8)
    expect(powerOf(baseline - 1)).toBeLessThan(0.8)
    expect(repeatsText(some)).not.toContain('A-B-A-B')
    expect(repeatsText(some)).toContain(`12 drives with and ${baseline} without the change on 100 km`)
  })

  it('weighs what is read as well with the pump', () => {
    const alone = repeatsPlan(question()).designs[0]
    const both = repeatsPlan(question({ measuring: { ...measuring('pump'), also: 'trip-computer' } })).designs[0]
    const parts = (d: typeof alone) =>
      d.budget.fills ** 2 + d.budget.fuel_temperature ** 2 + d.budget.other_readings ** 2
    // Two measurements of one quantity: the sum of their weights (JCGM 100:2008, annex H, and any text on weighted means).
    expect(1 / parts(both)).toBeCloseTo(1 / parts(alone) + 1 / (2 * 0.02 ** 2), 3)
    expect(both.power).toBeGreaterThan(alone.power)
  })

  it('the order of one run each is A-B-A', () => {
    expect(repeatsText(repeatsPlan(question({ effectPct: -40 })))).toContain('A, B and then A again')
  })
})
