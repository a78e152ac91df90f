import { describe, expect, it } from 'vitest'
import { windowsSvg } from '../../src/cli/plan/windows-picture.ts'
import { windowsText } from '../../src/cli/plan/windows-text.ts'
import type { Steps } from '../../src/demand/types.ts'
import {
  bestWindows,
  forecastErrors,
  headwindProfile,
  rankedSlots,
  reversedSteps,
  type Slot,
  shiftedSteps,
} from '../../src/plan/windows.ts'
import type { WindowsSubject } from '../../src/report/words/plans/windows.ts'

const steps: Steps = {
  time: Float64Array.of(1005, 1020, 1040),
  durationS: Float64Array.of(10, 20, 20),
  idlingS: Float64Array.of(10, 20, 20),
  doubtfulIdlingS: new Float64Array(3),
  distanceM: Float64Array.of(100, 300, 400),
  speedMps: Float64Array.of(10, 15, 20),
  kineticJPerKg: Float64Array.of(50, 20, -70),
  fineKineticJPerKg: Float64Array.of(50, 20, -70),
  coarseKineticJPerKg: Float64Array.of(50, 20, -70),
  climbM: Float64Array.of(1, -2, 4),
  elevationM: Float64Array.of(10, 9, 11),
  latitude: Float64Array.of(48, 48.001, 48.004),
  longitude: Float64Array.of(9, 9, 9),
  courseEast: Float64Array.of(0, 0, 1),
  courseNorth: Float64Array.of(1, 1, 0),
  axisFromM: Float64Array.of(0, 100, 400),
  axisToM: Float64Array.of(100, 400, 800),
}

const HOUR_S = 3600
const START = Date.parse('2026-03-28T22:00:00Z') / 1000
const slot = (hour: number, score: number, over: Partial<Slot> = {}): Slot => ({
  startTime: START + hour * HOUR_S,
  endTime: START + (hour + 1) * HOUR_S,
  leadH: hour,
  stepH: 1,
  missing: [],
  difference: { meanPct: 0.2, low90Pct: -1, high90Pct: 1.4, score, tightestMarginPct: 1.4 },
  sunAltitudeDeg: 30,
  phase: 'day',
  precipitationMm: 0,
  rain: false,
  windMps: 3,
  windFromDeg: 200,
  headwindMps: 1,
  headwindPartsMps: [1, 2, -1, 0],
  temperatureK: 283.15,
  slotClass: 'like',
  ...over,
})
const subject: WindowsSubject = {
  routeName: 'route-1',
  shape: 'one-way',
  baseline: ['a'],
  reference: 'a',
  marginPct: 1,
  timeZone: 'Europe/Berlin',
  mostStepH: 12,
  thereAndBack: null,
  otherDirection: null,
}

describe('a drive at another time or the other way', () => {
  it('begins at the time asked for, and keeps its course', () => {
    const shifted = shiftedSteps(steps, 5000)
    expect([...shifted.time]).toEqual([5005, 5020, 5040])
    expect(shifted.distanceM).toBe(steps.distanceM)
  })

  it('there and back is where it was: climbs cancel, headwinds swap', () => {
    const back = reversedSteps(steps)
    expect([...back.climbM]).toEqual([-4, 2, -1])
    expect([...back.time]).toEqual([1005, 1025, 1040])
    expect([...reversedSteps(back).axisFromM]).toEqual([...steps.axisFromM])
    const north = { east: new Float64Array(3), north: new Float64Array(3).fill(2) }
    // By hand: a wind of 2 m/s blowing north is a tailwind on the first half and abeam on the second.
    expect(headwindProfile(steps, north, 0.5, 2)).toEqual([-1, 0])
    expect(headwindProfile(back, north, 0.5, 2).map(Math.abs)).toEqual([0, 1])
    expect(headwindProfile(back, north, 0.5, 2)[1]).toBe(1)
  })
})

describe('slots', () => {
  it('the errors of a forecast grow with the lead time, and do not shrink before it', () => {
    expect(forecastErrors(48).windMps).toBeGreaterThan(forecastErrors(2).windMps)
    expect(forecastErrors(-5)).toEqual(forecastErrors(0))
  })

  it('and with the hours to the nearest time of the forecast, beyond the half hour of an hourly one', () => {
    expect(forecastErrors(10, 0.5)).toEqual(forecastErrors(10))
    // What the straight line missed on the record of Köln-Bonn (DWD 02667) and at O'Hare (NOAA ISD 725300), m/s and K.
    const added = (gapH: number, key: 'windMps' | 'temperatureK'): number =>
      Math.sqrt(forecastErrors(10, gapH)[key] ** 2 - forecastErrors(10)[key] ** 2)
    expect(added(3, 'windMps')).toBeGreaterThan(1.2)
    expect(added(3, 'windMps')).toBeLessThan(1.6)
    expect(added(6, 'windMps')).toBeGreaterThan(1.7)
    expect(added(6, 'windMps')).toBeLessThan(2.3)
    expect(Math.abs(added(3, 'temperatureK') / 1.28 - 1)).toBeLessThan(0.15)
    expect(Math.abs(added(6, 'temperatureK') / 2.77 - 1)).toBeLessThan(0.15)
  })

  it('dry and lit like the baseline come first, rain and what is not forecast last', () => {
    const slots = [
      slot(0, 99, { slotClass: 'rain', rain: true }),
      slot(1, 0, { slotClass: 'unknown', difference: null }),
      slot(2, 40),
      slot(3, 90, { slotClass: 'other-light', phase: 'night' }),
      slot(4, 70),
    ]
    expect(rankedSlots(slots).map((s) => s.leadH)).toEqual([4, 2, 3, 0, 1])
  })

  it('neighbours nearly as good make one window', () => {
    const windows = bestWindows([slot(0, 50), slot(1, 80), slot(2, 90), slot(3, 85), slot(4, 30), slot(5, 70)])
    expect(windows.map((w) => [w.first.leadH, w.best.leadH, w.last.leadH])).toEqual([
      [1, 2, 3],
      [5, 5, 5],
    ])
  })

  it('no window where it only rains', () => {
    const rain = [slot(0, 90, { slotClass: 'rain', rain: true })]
    expect(bestWindows(rain)).toEqual([])
    expect(windowsText(rain, subject, 5)).toContain('No start can be recommended')
  })
})

describe('the plan in words', () => {
  it('tells times in the route’s zone, over the change of the clocks', () => {
    // 2026-03-28T22:00Z is 23:00 in Berlin; the clocks go forward at 01:00Z on the 29th (EU directive 2000/84/EC).
    const text = windowsText([slot(0, 90), slot(2, 40), slot(3, 88)], subject, 5)
    expect(text).toContain('Sat 28 Mar, start at 23:00, by daylight, dry')
    expect(text).toContain('Sun 29 Mar, start at 03:00')
  })

  it('says where the forecast is coarse, and where it says nothing, why', () => {
    const coarse = windowsText([slot(0, 90, { stepH: 6 })], subject, 5)
    expect(coarse).toContain('Forecast times are 6 h apart here')
    expect(coarse).toContain('6 h steps')
    const none = { difference: null, slotClass: 'unknown' } as const
    const text = windowsText(
      [
        slot(0, 0, { ...none, stepH: 24, missing: ['temperature', 'wind'] }),
        slot(1, 0, { ...none, missing: ['wind'] }),
      ],
      subject,
      5,
    )
    expect(text).toContain('forecast times are 24 h apart here, expected 12 h at most')
    expect(text).toContain('the forecast has no wind here')
  })

  it('a day of 25 hours has 25 places under its scale', () => {
    // 2026-10-25: the clocks go back at 01:00Z in Berlin (EU directive 2000/84/EC); its midnight is 22:00Z on the 24th.
    const first = Date.parse('2026-10-24T22:00:00Z') / 1000
    const slots = Array.from({ length: 25 }, (_, h) => slot(0, 95, { startTime: first + h * HOUR_S }))
    expect(windowsText(slots, subject, 1)).toContain(`Sun 25 Oct  ${'█'.repeat(25)}\n`)
  })

  it('advises a there-and-back where it narrows the interval, and only there', () => {
    const d = slot(0, 50).difference!
    const both = { ...d, low90Pct: -0.4, high90Pct: 0.6 }
    expect(windowsText([slot(0, 50)], { ...subject, thereAndBack: { oneWay: d, both } }, 5)).toContain(
      '±0.5 % instead of ±1.2 %',
    )
    expect(windowsText([slot(0, 50)], { ...subject, thereAndBack: { oneWay: d, both: d } }, 5)).not.toContain('back')
  })

  it('the picture has a bar for each start', () => {
    const svg = windowsSvg([slot(0, 90), slot(1, 60), slot(2, 30, { phase: 'night' })], subject)
    expect(svg.match(/<g>/g)?.length).toBe(3)
    expect(svg).toContain('23:00: score 90')
    expect(svg).not.toMatch(/NaN|undefined/)
  })
})
