import { describe, expect, it } from 'vitest'
import { sessionsOf } from '../../src/track/sessions.ts'
import { trackOf } from './tracks.ts'

const START = Date.UTC(2026, 4, 12, 8) / 1000
/** Eastward at 20 m/s, a fix a second. */
const driving = (fromS: number, seconds: number, longitude = 8) =>
  Array.from({ length: seconds }, (_, i) => ({
    time: START + fromS + i,
    latitude: 47,
    longitude: longitude + (i * 20) / 76_000,
    elevation: 400,
  }))

describe('sessionsOf', () => {
  it('parts a track at a pause of an hour, a night too', () => {
    const track = trackOf([...driving(0, 300), ...driving(3 * 3600, 300), ...driving(30 * 3600, 200)])
    expect(sessionsOf(track).map(({ time }) => time.length)).toEqual([300, 300, 200])
  })

  it('leaves a track without one as it is', () => {
    const track = trackOf([...driving(0, 300), ...driving(3000, 300)])
    expect(sessionsOf(track)).toEqual([track])
  })

  it('does not part where the clock was set while driving', () => {
    const before = driving(0, 300)
    const after = driving(2 * 3600, 300, before[299].longitude + 20 / 76_000)
    expect(sessionsOf(trackOf([...before, ...after]))).toHaveLength(1)
  })

  it('keeps stray rows with a session, and every row in one', () => {
    const stray = [{ ...driving(6 * 3600, 1)[0] }]
    const sessions = sessionsOf(trackOf([...driving(0, 300), ...driving(3 * 3600, 300), ...stray]))
    expect(sessions.map(({ time }) => time.length)).toEqual([300, 301])
  })

  it('does not part where two clocks wrote one drive by turns', () => {
    const points = driving(0, 300).map((point, i) => ({ ...point, time: point.time + (i % 2) * 7200 }))
    expect(sessionsOf(trackOf(points))).toHaveLength(1)
  })

  it('takes rows in any order', () => {
    const points = [...driving(3 * 3600, 300), ...driving(0, 200)]
    expect(sessionsOf(trackOf(points)).map(({ time }) => [time[0] - START, time.length])).toEqual([
      [0, 200],
      [3 * 3600, 300],
    ])
  })
})
