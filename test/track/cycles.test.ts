import { describe, expect, it } from 'vitest'
import { summaryOf } from '../../src/track/summary.ts'
import { CYCLES, drivenCycle } from './driven-cycle.ts'
import { mustDrive, type Point, trackOf, wander } from './tracks.ts'

function withErrors(points: Point[], sdM: number, memoryS: number, seed: number): Point[] {
  const north = wander(points.length, sdM, memoryS, seed)
  const east = wander(points.length, sdM, memoryS, seed + 1000)
  return points.map((p, i) => ({
    ...p,
    latitude: p.latitude + north[i] / 111200,
    longitude: p.longitude + east[i] / 74600,
  }))
}

describe.each(CYCLES)('a drive of the $name cycle', ({ name, wantM, wantS, meanMps, topMps, rounding }) => {
  const exact = drivenCycle(name)

  it('has the published distance within 0.1 %, mean and top speed', () => {
    const summary = summaryOf(mustDrive(trackOf(exact)))
    expect(Math.abs(summary.distanceM / wantM - 1)).toBeLessThan(1e-3 + rounding)
    expect(summary.durationS).toBe(wantS)
    expect(Math.abs(summary.meanSpeedMps / meanMps - 1)).toBeLessThan(2e-3)
    expect(Math.abs(summary.maxSpeedMps / topMps - 1)).toBeLessThan(5e-3)
  })

  it.each([1, 2, 3])(
    'keeps its distance within 0.5 % when fixes are 2 m off and wander in half a minute (%d)',
    (seed) => {
      const summary = summaryOf(mustDrive(trackOf(withErrors(exact, 2, 30, seed))))
      expect(Math.abs(summary.distanceM / wantM - 1)).toBeLessThan(5e-3)
    },
  )

  it('keeps its distance within 0.5 % when every fix is 2 m off by itself', () => {
    const summary = summaryOf(mustDrive(trackOf(withErrors(exact, 2, 0.01, 9))))
    expect(Math.abs(summary.distanceM / wantM - 1)).toBeLessThan(5e-3)
  })

  it('is the same drive when 3 of 1,000 fixes are missing', () => {
    const holes = exact.filter((_, i) => i === 0 || i % 331 !== 7)
    const whole = mustDrive(trackOf(exact))
    const { motion } = mustDrive(trackOf(holes))
    const rms = Math.sqrt(
      motion.speedMps.reduce((sum, speed, k) => sum + (speed - whole.motion.speedMps[k]) ** 2, 0) / motion.count,
    )
    expect(rms).toBeLessThan(0.05)
    expect(Math.abs(motion.distanceM[motion.count - 1] / wantM - 1)).toBeLessThan(5e-3)
  })
})

describe('standing in the WLTC', () => {
  // 242 s below 1 km/h (13.4 %, published share), of which none is distance.
  it('is found within 10 % of its time, with and without wandering fixes', () => {
    const exact = drivenCycle('wltc_3b')
    for (const points of [exact, withErrors(exact, 2, 30, 4)]) {
      const { standingTimeS } = summaryOf(mustDrive(trackOf(points)))
      expect(Math.abs(standingTimeS / 242 - 1)).toBeLessThan(0.1)
    }
  })
})
