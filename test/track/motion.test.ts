import { describe, expect, it } from 'vitest'
import { turnDegrees } from '../../src/base/units.ts'
import { motionOf } from '../../src/track/motion/motion.ts'
import { type Fixes, GAP, MOVING, STANDING } from '../../src/track/types.ts'
import { normalDraws, wander } from './tracks.ts'

const LATITUDE = 49
const NORTH_M = 111229.0
const EAST_M = 73169.6

/** Fixes at times (s) on a path given in metres east and north. */
function fixesOn(
  times: number[],
  path: (t: number) => [east: number, north: number],
  noiseM = 0,
  longitude = 10,
): Fixes {
  const normal = normalDraws(21)
  const places = times.map((t) => path(t).map((m) => m + noiseM * normal()))
  return {
    time: Float64Array.from(times, (t) => 1.7e9 + t),
    latitude: Float64Array.from(places, ([, north]) => LATITUDE + north / NORTH_M),
    longitude: Float64Array.from(places, ([east]) => longitude + east / EAST_M),
    elevation: new Float64Array(times.length).fill(Number.NaN),
  }
}

const seconds = (count: number) => Array.from({ length: count }, (_, i) => i)
const total = ({ motion }: ReturnType<typeof motionOf>) => motion.distanceM[motion.count - 1]

describe('speed and course', () => {
  it('of steady driving east are steady, whatever the sampling', () => {
    const normal = normalDraws(8)
    const times = [0]
    while (times[times.length - 1] < 600) times.push(times[times.length - 1] + Math.max(0.3, 1.5 + 0.8 * normal()))
    const { motion } = motionOf(fixesOn(times, (t) => [25 * t, 0], 1))
    for (let k = 5; k < motion.count - 5; k++) {
      expect(Math.abs(motion.speedMps[k] - 25)).toBeLessThan(1.6)
      expect(Math.abs(turnDegrees(90, motion.courseDeg[k]))).toBeLessThan(4)
    }
  })

  it('round a circle of 60 m are those of the circle', () => {
    const angle = (t: number) => (12 * t) / 60
    const result = motionOf(fixesOn(seconds(200), (t) => [60 * Math.sin(angle(t)), 60 - 60 * Math.cos(angle(t))]))
    for (let k = 5; k < 194; k++) {
      expect(Math.abs(result.motion.speedMps[k] - 12)).toBeLessThan(0.2)
      const heading = 90 - (angle(k) * 180) / Math.PI
      expect(Math.abs(turnDegrees(heading, result.motion.courseDeg[k]))).toBeLessThan(1)
    }
    expect(Math.abs(total(result) / (199 * 12) - 1)).toBeLessThan(0.01)
  })

  it('cross the antimeridian', () => {
    const result = motionOf(fixesOn(seconds(100), (t) => [20 * t, 0], 0, 179.99))
    expect(Math.abs(total(result) / 1980 - 1)).toBeLessThan(1e-3)
    expect(result.motion.longitude.every((longitude) => longitude >= -180 && longitude < 180)).toBe(true)
    expect(result.motion.speedMps[50]).toBeCloseTo(20, 1)
  })

  it('lie on a grid that ends on the last fix', () => {
    const { motion } = motionOf(fixesOn([0, 1.3, 2.1, 3.7, 5.2, 6.6, 8.4], (t) => [10 * t, 0]))
    expect(motion.count).toBe(9)
    expect((motion.count - 1) * motion.stepS).toBeCloseTo(8.4, 6)
  })
})

describe('gaps', () => {
  const times = seconds(400).filter((t) => t < 150 || t > 270)
  const result = motionOf(fixesOn(times, (t) => [0, 15 * t], 1))

  it('are bridged by the chord, without a speed', () => {
    expect(result.gaps).toHaveLength(1)
    expect(result.gaps[0].toTime - result.gaps[0].fromTime).toBe(122)
    expect(Math.abs(result.gaps[0].chordM - 122 * 15)).toBeLessThan(5)
    const { state, speedMps, courseDeg } = result.motion
    for (let k = 150; k <= 270; k++) {
      expect(state[k]).toBe(GAP)
      expect(speedMps[k]).toBeNaN()
      expect(courseDeg[k]).toBeNaN()
    }
    expect(state[149]).toBe(MOVING)
    expect(state[271]).toBe(MOVING)
    expect(Math.abs(total(result) / (399 * 15) - 1)).toBeLessThan(3e-3)
  })

  it('leave the speeds beside them alone', () => {
    for (const k of [149, 148, 271, 272]) expect(Math.abs(result.motion.speedMps[k] - 15)).toBeLessThan(2)
  })

  it('are none where the device only speaks when it moves', () => {
    const path = (t: number): [number, number] => [0, t < 100 ? 10 * t : t < 190 ? 1000 : 1000 + 10 * (t - 190)]
    const silent = motionOf(
      fixesOn(
        seconds(290).filter((t) => t <= 100 || t >= 190),
        path,
      ),
    )
    expect(silent.gaps).toEqual([])
    expect(silent.motion.state[145]).toBe(STANDING)
    expect(Math.abs(total(silent) / 1990 - 1)).toBeLessThan(3e-3)
  })
})

describe('standing', () => {
  it('adds no distance, though the fixes drift by metres for ten minutes', () => {
    const path = (t: number): [number, number] => [0, t < 60 ? 10 * t : t < 660 ? 600 : 600 + 10 * (t - 660)]
    const still = fixesOn(seconds(721), path)
    const north = wander(721, 4, 60, 31)
    const east = wander(721, 4, 60, 32)
    still.latitude.forEach((_, i) => {
      still.latitude[i] += north[i] / NORTH_M
      still.longitude[i] += east[i] / EAST_M
    })
    const result = motionOf(still)
    expect(Math.abs(total(result) - 1200)).toBeLessThan(30)
    const stood = result.motion.state.reduce((n, state) => n + (state === STANDING ? 1 : 0), 0)
    expect(stood).toBeGreaterThan(560)
    expect(stood).toBeLessThan(605)
    expect(result.standingDrift).toBeGreaterThan(500)
    result.motion.state.forEach((state, k) => {
      if (state === STANDING) expect(result.motion.speedMps[k]).toBe(0)
    })
  })

  it('is not what a crawl in a jam is, at 0.8 m/s', () => {
    const result = motionOf(fixesOn(seconds(300), (t) => [0.8 * t, 0], 0.5))
    expect(result.motion.state.every((state) => state === MOVING)).toBe(true)
    expect(Math.abs(total(result) / (299 * 0.8) - 1)).toBeLessThan(0.05)
  })

  it('keeps the course it stopped with', () => {
    const path = (t: number): [number, number] => [t < 60 ? 8 * t : 480, 0]
    const { motion } = motionOf(fixesOn(seconds(120), path, 0.5))
    expect(motion.state[100]).toBe(STANDING)
    expect(motion.courseDeg[100]).toBe(motion.courseDeg[80])
    expect(Math.abs(turnDegrees(90, motion.courseDeg[100]))).toBeLessThan(30)
  })
})

describe('the noise of a device', () => {
  it.each([3, 6, 12])('of %d m is found from the track itself', (noiseM) => {
    const { positionNoiseM } = motionOf(fixesOn(seconds(1800), (t) => [20 * t, 300 * Math.sin(t / 60)], noiseM))
    expect(Math.abs(positionNoiseM / noiseM - 1)).toBeLessThan(0.2)
  })
})
