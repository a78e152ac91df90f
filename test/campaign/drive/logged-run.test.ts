import { describe, expect, it } from 'vitest'
import { logFlags } from '../../../src/campaign/drive/log-flags.ts'
import { loggedRun, usedAmount } from '../../../src/campaign/drive/logged-run.ts'
import { flagWords } from '../../../src/report/words/drives/flags.ts'
import type { LoggedOfDrive, LoggedTotal } from '../../../src/track/logged.ts'

const total = (changes: Partial<LoggedTotal>): LoggedTotal => ({
  by: 'fuel-rate',
  unit: 'l',
  amount: 1,
  sd: 0.01,
  regained: 0,
  coveredShare: 1,
  names: ['x'],
  turned: false,
  resets: 0,
  ...changes,
})
const logged = (totals: LoggedTotal[], changes: Partial<LoggedOfDrive> = {}): LoggedOfDrive => ({
  quantities: [{ quantity: 'fuelRateLps', name: 'x' }],
  totals,
  chargeStart: Number.NaN,
  chargeEnd: Number.NaN,
  odometerM: Number.NaN,
  odometerStepM: Number.NaN,
  ambientTemperatureK: Number.NaN,
  ...changes,
})
const codes = (of: LoggedOfDrive, distanceM = 10_000): string[] =>
  logFlags(of, loggedRun(of, 'petrol'), distanceM).map(({ code }) => code)

describe('the ways to the fuel of a drive', () => {
  const air = total({ by: 'air-flow', unit: 'kg of air', amount: 10 })

  it('air makes litres of petrol by its mass and density, and none of diesel', () => {
    // 10 kg of air at 14.1 to 14.6 of air to fuel (Heywood 1988, table D.4, from memory; with 10 % of ethanol) and
    // 0.72 to 0.775 kg/l (EN 228): by hand from 10/14.6/0.775 to 10/14.1/0.72 litres.
    const [fuel] = loggedRun(logged([air]), 'petrol')!.fuel
    expect(fuel.amount).toBeGreaterThan(10 / 14.6 / 0.775)
    expect(fuel.amount).toBeLessThan(10 / 14.1 / 0.72)
    expect(fuel.sd / fuel.amount).toBeGreaterThan(0.03)
    expect(loggedRun(logged([air]), 'diesel')!.fuel).toEqual([])
  })

  it('the most direct one counts that covers the drive', () => {
    const both = loggedRun(logged([air, total({ amount: 0.93 })]), 'petrol')!
    expect(both.fuel.map(({ by, used }) => [by, used])).toEqual([
      ['fuel-rate', true],
      ['air-flow', false],
    ])
    expect(usedAmount(both.fuel)).toBe(0.93)
    const gappy = loggedRun(logged([air, total({ coveredShare: 0.9 })]), 'petrol')!
    expect(gappy.fuel.map(({ by, used }) => [by, used])).toEqual([
      ['fuel-rate', false],
      ['air-flow', true],
    ])
  })

  it('that differ are told, with by how much', () => {
    expect(codes(logged([air, total({ amount: 0.93 })]))).toEqual([])
    // A fuel rate in US gallons that passes for litres.
    const wrong = logged([air, total({ amount: 0.93 / 3.785 })])
    expect(codes(wrong)).toEqual(['logged-fuel-disagrees'])
    const [flag] = logFlags(wrong, loggedRun(wrong, 'petrol'), 10_000)
    expect(flag.figures!.difference_pct).toBeCloseTo(278, -1)
  })

  it("the battery's energy beside an engine is shown and not counted", () => {
    const of = logged([total({}), total({ by: 'power', unit: 'Wh', amount: 500 })])
    expect(loggedRun(of, 'hybrid')!.energy.map(({ amount, used }) => [amount, used])).toEqual([[0.5, false]])
    expect(loggedRun(of, 'hybrid')!.fuel.map(({ used }) => used)).toEqual([true])
  })

  it('gaps, resets and turned currents are told', () => {
    expect(codes(logged([total({ coveredShare: 0.9 })]))).toEqual(['logged-fuel-incomplete'])
    expect(codes(logged([total({ by: 'fuel-total', resets: 2 })]))).toEqual(['logged-total-reset'])
    expect(codes(logged([total({ by: 'power', unit: 'Wh', amount: 3000, turned: true })]))).toEqual([
      'logged-current-turned',
    ])
  })
})

describe('the odometer', () => {
  const odometer = (odometerM: number, odometerStepM = 100) => logged([], { odometerM, odometerStepM })

  it('is held against the track, with its own step in mind', () => {
    expect(codes(odometer(10_200))).toEqual([])
    expect(codes(odometer(11_000, 1000))).toEqual([])
    expect(codes(odometer(11_000))).toEqual(['odometer-differs'])
  })

  it('in miles that pass for kilometres is named', () => {
    const [flag] = logFlags(odometer(10_000 / 1.609344), loggedRun(odometer(10_000 / 1.609344), 'petrol'), 10_000)
    expect(flagWords({ ...flag, message: '' }).join('')).toContain('1.609')
  })
})
