import { describe, expect, it } from 'vitest'
import { statedWindows } from '../../../src/campaign/load/rows/stated-windows.ts'
import type { Trace } from '../../../src/road/division/trace.ts'

const START = Date.UTC(2026, 4, 12, 7) / 1000
/** Three hours at 10 m/s. */
const span = {
  startTime: START,
  endTime: START + 10_800,
  trace: {
    distanceM: Float64Array.of(0, 54_000, 108_000),
    time: Float64Array.of(START, START + 5400, START + 10_800),
    spacingM: 25,
  } as Trace,
}
const minutes = (cell: string, zone: string | null = null) =>
  statedWindows(cell, 'without', span, zone).value?.map((w) => [(w.fromTime - START) / 60, (w.toTime - START) / 60])
const codes = (cell: string) => statedWindows(cell, 'without', span, null).problems.map(({ code }) => code)

describe('windows of a drive', () => {
  it.each([
    [
      '07:15-07:30; 09:02-09:10',
      [
        [15, 30],
        [122, 130],
      ],
    ],
    [
      '09:02 to 09:10;07:15–07:30',
      [
        [15, 30],
        [122, 130],
      ],
    ],
    ['07:15Z-07:30Z', [[15, 30]]],
    ['2026-05-12T07:15Z/2026-05-12T07:30Z', [[15, 30]]],
    ['12 km - 15 km', [[20, 25]]],
  ])('are read: %s', (cell, want) => {
    expect(minutes(cell)).toEqual(want)
  })

  it('are local where the campaign names a zone: Zurich is two hours ahead of UTC in May', () => {
    expect(minutes('09:15-09:30', 'Europe/Zurich')).toEqual([[15, 30]])
  })

  it.each([
    ['lunch', 'stated-window-unreadable'],
    ['07:30-07:15', 'stated-times-reversed'],
    ['07:10-07:30; 07:20-07:40', 'stated-windows-overlap'],
    ['05:10-05:30', 'stated-time-outside'],
    ['7h-8h', 'stated-time-unreadable'],
  ])('that cannot be are refused: %s', (cell, code) => {
    expect(codes(cell)[0]).toBe(code)
  })
})
