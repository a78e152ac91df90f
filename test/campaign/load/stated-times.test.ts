import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import { shownTime, statedTime, zoneOffsetS } from '../../../src/campaign/load/rows/stated-times.ts'
import type { Trace } from '../../../src/road/division/trace.ts'

const START = Date.UTC(2026, 4, 12, 6, 30) / 1000
const HOURS_3 = 3 * 3600
/** 100 km in three hours, evenly. */
const trace = {
  distanceM: Float64Array.of(0, 50_000, 100_000),
  time: Float64Array.of(START, START + HOURS_3 / 2, START + HOURS_3),
  spacingM: 50_000,
} as Trace
const span = { startTime: START, endTime: START + HOURS_3, trace }

describe('statedTime', () => {
  it.each([
    ['07:14', null, '2026-05-12T07:14:00Z'],
    ['9:14', 'Europe/Vienna', '2026-05-12T07:14:00Z'],
    ['07:14:30Z', 'Europe/Vienna', '2026-05-12T07:14:30Z'],
    ['2026-05-12T09:14+02:00', null, '2026-05-12T07:14:00Z'],
    ['2026-05-12 09:14', 'Europe/Vienna', '2026-05-12T07:14:00Z'],
    ['25 km', null, '2026-05-12T07:15:00Z'],
    ['25,0 km', null, '2026-05-12T07:15:00Z'],
    // A note is written to the minute: a little before the first fix is the first fix.
    ['06:29:30', null, '2026-05-12T06:30:00Z'],
  ])('%s in %s', (text, zone, want) => {
    expect(statedTime(text, 'from', span, zone).value).toBe(Date.parse(want) / 1000)
  })

  it.each([
    ['quarter past', null, 'stated-time-unreadable'],
    ['09:75', null, 'stated-time-unreadable'],
    ['04:00', null, 'stated-time-outside'],
    ['200 km', null, 'stated-time-outside'],
  ])('%s is refused', (text, zone, code) => {
    expect(statedTime(text, 'from', span, zone).problems.map((p) => p.code)).toEqual([code])
  })

  it('a drive noted a few minutes longer than its recording is all of it, and says so', () => {
    const read = (text: string, what: string) => {
      const { value, problems } = statedTime(text, what, span, null)
      return [value, ...problems.map(({ code, severity }) => `${severity} ${code}`)]
    }
    expect(read('06:26', 'from')).toEqual([START, 'note stated-time-near'])
    expect(read('09:33', 'to')).toEqual([START + HOURS_3, 'note stated-time-near'])
    // The other way round the time is in no drive.
    expect(read('09:33', 'from')).toEqual([null, 'error stated-time-outside'])
    expect(read('09:40', 'to')).toEqual([null, 'error stated-time-outside'])
  })

  it('says by how much a time of another zone is off', () => {
    const [problem] = statedTime('05:00', 'to', span, null).problems
    expect(problem.hint).toContain('2 h later would fit')
    expect(problem.message).toContain('from 2026-05-12 06:30 UTC to 2026-05-12 09:30 UTC')
  })

  it('asks for the date where a recording has the time twice', () => {
    const long = { ...span, endTime: START + 30 * 3600 }
    expect(statedTime('07:00', 'from', long, null).problems[0].code).toBe('stated-time-ambiguous')
    expect(statedTime('2026-05-13T07:00', 'from', long, null).value).toBe(Date.UTC(2026, 4, 13, 7) / 1000)
  })
})

describe('local time', () => {
  // luxon is the reference, over a year of one zone with summer time and one with half an hour.
  it.each(['Europe/Vienna', 'Asia/Kolkata', 'America/St_Johns'])('of %s is that of luxon', (zone) => {
    for (let day = 0; day < 365; day += 5) {
      const seconds = Date.UTC(2026, 0, 1, 12) / 1000 + day * 86_400
      const shown = DateTime.fromSeconds(seconds, { zone })
      expect(zoneOffsetS(seconds, zone)).toBe(shown.offset * 60)
      expect(shownTime(seconds, zone)).toBe(shown.toFormat('yyyy-MM-dd HH:mm'))
    }
  })
})

// Directive 2000/84/EC, article 3: summer time ends at 01:00 UTC on the last Sunday of October, 2026-10-25.
it('says that clocks went back where a recording seems to end before it begins', () => {
  const [startTime, endTime] = ['2026-10-25T00:40Z', '2026-10-25T01:12Z'].map((time) => Date.parse(time) / 1000)
  const night = { startTime, endTime, trace }
  const { problems } = statedTime('05:00', 'from', night, 'Europe/Madrid')
  expect(problems[0].message).toBe(
    'from: 05:00 is outside the recording, which goes from 2026-10-25 02:40 to 2026-10-25 02:12; clocks in Europe/Madrid went back by 60 min during it (in UTC it goes from 00:40 to 01:12)',
  )
  const winter = { ...night, startTime: startTime + 86_400, endTime: endTime + 86_400 }
  expect(statedTime('05:00', 'from', winter, 'Europe/Madrid').problems[0].message).not.toContain('clocks')
})
