import { beforeAll, describe, expect, it } from 'vitest'
import { stepAirOf } from '../../src/demand/step-air.ts'
import { type OnRoute, stepsOf } from '../../src/demand/steps.ts'
import type { Steps } from '../../src/demand/types.ts'
import type { ElevationProfile, Match, Path } from '../../src/road/types.ts'
import { type Drive, GAP, MOVING, type Motion, STANDING } from '../../src/track/types.ts'

const T0 = 1.6e9
const SPACING_M = 25

/** A drive due east along the equator-like parallel of 50°, one sample a second, by its speed at each of them. */
function driven(speeds: number[], more: Partial<Motion> = {}): Drive {
  const count = speeds.length
  const distanceM = new Float64Array(count)
  for (let i = 1; i < count; i++) distanceM[i] = distanceM[i - 1] + (speeds[i - 1] + speeds[i]) / 2
  const motion: Motion = {
    startTime: T0,
    stepS: 1,
    count,
    latitude: new Float64Array(count).fill(50),
    longitude: distanceM.map((m) => 8 + m / 71_700),
    speedMps: Float64Array.from(speeds),
    fineSpeedMps: Float64Array.from(speeds),
    coarseSpeedMps: Float64Array.from(speeds),
    courseDeg: new Float64Array(count).fill(90),
    distanceM,
    elevationM: distanceM.map((m) => 210 + m / 50),
    state: Uint8Array.from(speeds, (v) => (v > 0 ? MOVING : STANDING)),
    ...more,
  }
  // The steps are cut from the motion alone.
  return { motion } as Drive
}

/** The drive is its own reference: it lies on the axis where it drove, but for `lost` points off the road. */
function onRoute({ motion }: Drive, profile: ElevationProfile | null, lost: number[] = []): OnRoute {
  const lengthM = motion.distanceM[motion.count - 1]
  const count = Math.ceil(lengthM / SPACING_M) + 1
  const distanceM = Float64Array.from({ length: count }, (_, i) => Math.min(lengthM, i * SPACING_M))
  const axisM = distanceM.map((m, i) => (lost.includes(i) ? Number.NaN : m))
  return { path: { distanceM, spacingM: SPACING_M } as Path, match: { axisM } as Match, profile }
}

/** A road that rises 1 m in 100 m from 300 m. */
const rising = (lengthM: number): ElevationProfile => {
  const axisM = Float64Array.from({ length: 41 }, (_, i) => (i * lengthM) / 40)
  const spreadM = axisM.map(() => 0)
  return { axisM, elevationM: axisM.map((m) => 300 + m / 100), spreadM, witnesses: 1, terrain: null }
}

const sum = (values: Float64Array): number => values.reduce((total, v) => total + v, 0)
const steady = (seconds: number, mps: number): number[] => new Array(seconds + 1).fill(mps)

/** Pulls away, drives, brakes, stands half a minute, drives on. */
const town = [
  ...Array.from({ length: 10 }, (_, i) => 1 + i),
  ...steady(60, 11),
  ...Array.from({ length: 10 }, (_, i) => 10 - i),
  ...steady(30, 0),
  ...Array.from({ length: 10 }, (_, i) => 1 + i),
  ...steady(40, 12),
]

describe('the steps of a drive', () => {
  const drive = driven(town)
  const { motion } = drive
  const lengthM = motion.distanceM[motion.count - 1]
  let steps: Steps
  beforeAll(() => {
    steps = stepsOf(drive, onRoute(drive, null))
  })

  it('are the whole drive: its distance, time and kinetic energy', () => {
    expect(sum(steps.distanceM)).toBeCloseTo(lengthM, 9)
    expect(sum(steps.durationS)).toBe(motion.count - 1)
    // ½(12² − 1²) J/kg from the first sample to the last.
    expect(sum(steps.kineticJPerKg)).toBeCloseTo((144 - 1) / 2, 9)
  })

  it('end after ten metres or where the vehicle begins or ends to stand', () => {
    const standing = [...steps.durationS.keys()].filter((i) => steps.durationS[i] > 5)
    expect(standing.length).toBe(1)
    const at = standing[0]
    // From the last moving sample, at 1 m/s, to the last of 31 standing ones: 31 s, and half a metre to come to rest.
    expect(steps.durationS[at]).toBe(31)
    expect(steps.distanceM[at]).toBeCloseTo(0.5, 12)
    const moving = [...steps.distanceM].filter((_, i) => i !== at)
    // Ten metres and no more than one second's way beyond; the ends of a stretch may fall short.
    expect(Math.max(...moving)).toBeLessThan(10 + 12)
    expect(moving.filter((m) => m < 10).length).toBeLessThanOrEqual(3)
  })

  it('a step’s time is its middle, its speed the distance over the time', () => {
    let begun = T0
    steps.time.forEach((t, i) => {
      expect(t).toBeCloseTo(begun + steps.durationS[i] / 2, 6)
      begun += steps.durationS[i]
      expect(steps.speedMps[i]).toBeCloseTo(steps.distanceM[i] / steps.durationS[i], 12)
    })
  })

  it('lie on the axis one after the other', () => {
    const from = [...steps.axisFromM]
    expect(from[0]).toBe(0)
    expect([...steps.axisToM].slice(0, -1)).toEqual(from.slice(1))
    expect(steps.axisToM[steps.axisToM.length - 1]).toBeCloseTo(lengthM, 9)
    steps.axisToM.forEach((to, i) => {
      expect(to - from[i]).toBeCloseTo(steps.distanceM[i], 9)
    })
  })

  it('go where the vehicle went', () => {
    expect(steps.courseEast.every((e) => Math.abs(e - 1) < 1e-12)).toBe(true)
    expect(steps.courseNorth.every((n) => Math.abs(n) < 1e-12)).toBe(true)
    steps.longitude.forEach((longitude, i) => {
      const metres = (longitude - 8) * 71_700
      // Within a sample of the middle: 6 m.
      expect(Math.abs(metres - (steps.axisFromM[i] + steps.axisToM[i]) / 2)).toBeLessThan(6.5)
    })
    expect(steps.latitude.every((v) => v === 50)).toBe(true)
  })

  it('on a grid of two seconds take twice the time at half the speed', () => {
    const slow = driven(town, { stepS: 2 })
    const { durationS, time, speedMps, kineticJPerKg } = stepsOf(slow, onRoute(slow, null))
    durationS.forEach((s, i) => {
      expect(s).toBe(2 * steps.durationS[i])
      expect(time[i] - T0).toBeCloseTo(2 * (steps.time[i] - T0), 6)
      expect(speedMps[i]).toBeCloseTo(steps.speedMps[i] / 2, 12)
      expect(kineticJPerKg[i]).toBe(steps.kineticJPerKg[i])
    })
  })

  it('leave the drive as it was', () => {
    const holed = driven(steady(30, 10))
    holed.motion.speedMps[12] = Number.NaN
    stepsOf(holed, onRoute(holed, null))
    expect(holed.motion.speedMps[12]).toBeNaN()
  })

  it('head where the middle of each step does', () => {
    const turning = driven(steady(60, 4))
    turning.motion.courseDeg = turning.motion.courseDeg.map((_, i) => 5 * i)
    const { courseEast, courseNorth, time } = stepsOf(turning, onRoute(turning, null))
    time.forEach((t, i) => {
      const middle = (5 * Math.floor(t - T0) * Math.PI) / 180
      expect(courseEast[i]).toBeCloseTo(Math.sin(middle), 12)
      expect(courseNorth[i]).toBeCloseTo(Math.cos(middle), 12)
    })
  })

  it('are no more than some thousands, however long the drive', () => {
    const far = driven(steady(5000, 30))
    const { distanceM } = stepsOf(far, onRoute(far, null))
    // 150 km in at most 3000 steps are 50 m each: whole seconds of 30 m make them 60.
    expect(distanceM.length).toBe(2500)
    expect([...distanceM].every((m) => Math.abs(m - 60) < 1e-6)).toBe(true)
  })

  it('a jump of the position makes no speed that was never driven', () => {
    const jumping = driven(steady(20, 10))
    for (let i = 10; i < 21; i++) jumping.motion.distanceM[i] += 200
    const { speedMps, distanceM } = stepsOf(jumping, onRoute(jumping, null))
    expect(Math.max(...speedMps)).toBe(10)
    expect(Math.max(...distanceM)).toBeGreaterThan(200)
  })
})

describe('the climb of a step', () => {
  const drive = driven(steady(100, 10))

  it('is the road’s where the road is known, and the heights are the road’s', () => {
    const steps = stepsOf(drive, onRoute(drive, rising(1000)))
    expect(sum(steps.climbM)).toBeCloseTo(10, 9)
    steps.climbM.forEach((climb, i) => {
      expect(climb).toBeCloseTo(steps.distanceM[i] / 100, 9)
      expect(steps.elevationM[i]).toBeCloseTo(300 + steps.axisFromM[i] / 100, 9)
    })
  })

  it('is the drive’s own where there is no profile', () => {
    const steps = stepsOf(drive, onRoute(drive, null))
    // The drive's heights rise 1 m in 50 m from 210 m.
    expect(sum(steps.climbM)).toBeCloseTo(20, 9)
    expect(steps.elevationM[0]).toBeCloseTo(210 + 0, 1)
  })

  it('off the road it is the drive’s own, its heights brought to the road’s datum', () => {
    // Points 8 to 12 of the path, 200 to 300 m, are a detour.
    const steps = stepsOf(drive, onRoute(drive, rising(1000), [8, 9, 10, 11, 12]))
    const off = [...steps.axisFromM.keys()].filter(
      (i) => Number.isNaN(steps.axisFromM[i]) && Number.isNaN(steps.axisToM[i]),
    )
    expect(off.length).toBeGreaterThan(5)
    const known = [...steps.axisFromM.keys()].filter((i) => Number.isFinite(steps.axisFromM[i]))
    // What is added: the mean over the known ends of (300 + x/100) − (210 + x/50).
    const ends = [...known.map((i) => steps.axisFromM[i]), 1000]
    const offset = ends.reduce((total, x) => total + 90 - x / 100, 0) / ends.length
    for (const i of off) {
      expect(steps.climbM[i]).toBeCloseTo(steps.distanceM[i] / 50, 9)
      const row = Math.floor(steps.time[i] - T0)
      expect(steps.elevationM[i]).toBeCloseTo(drive.motion.elevationM[row] + offset, 9)
    }
  })

  it('is nothing where nobody knows: no heights, or a gap without a road', () => {
    const blind = driven(steady(100, 10), { elevationM: new Float64Array(101).fill(Number.NaN) })
    expect([...stepsOf(blind, onRoute(blind, null)).climbM].every((m) => m === 0)).toBe(true)
    const holed = driven(steady(100, 10))
    holed.motion.state.fill(GAP, 40, 60)
    const { climbM, time } = stepsOf(holed, onRoute(holed, null))
    climbM.forEach((m, i) => {
      const inGap = time[i] > T0 + 41 && time[i] < T0 + 59
      if (inGap) expect(m).toBe(0)
    })
    expect(sum(climbM)).toBeLessThan(20 - 3.5)
    expect(sum(climbM)).toBeGreaterThan(20 - 4.5)
  })
})

describe('a gap in the recording', () => {
  const gapped = (): Drive => {
    const drive = driven([...steady(50, 10), ...steady(49, 20)])
    drive.motion.state.fill(GAP, 40, 60)
    drive.motion.speedMps.fill(Number.NaN, 40, 60)
    drive.motion.courseDeg.fill(Number.NaN, 40, 60)
    return drive
  }

  it('makes and loses no kinetic energy', () => {
    const drive = gapped()
    const steps = stepsOf(drive, onRoute(drive, null))
    expect(sum(steps.kineticJPerKg)).toBeCloseTo((400 - 100) / 2, 9)
    expect(steps.kineticJPerKg.every(Number.isFinite)).toBe(true)
  })

  it('is driven along its chord', () => {
    const drive = gapped()
    // Towards the north-east: as far north as east on the ground, at 50° cos 50° of the degrees.
    drive.motion.latitude = drive.motion.distanceM.map((m) => 50 + (m * Math.cos((50 * Math.PI) / 180)) / 71_700)
    const steps = stepsOf(drive, onRoute(drive, null))
    const inGap = [...steps.time.keys()].filter((i) => steps.time[i] > T0 + 42 && steps.time[i] < T0 + 58)
    expect(inGap.length).toBeGreaterThan(2)
    // Its degrees are taken at one latitude: half a part in a thousand.
    for (const i of inGap) {
      expect(Math.abs(steps.courseEast[i] - Math.SQRT1_2)).toBeLessThan(1e-3)
      expect(Math.abs(steps.courseNorth[i] - Math.SQRT1_2)).toBeLessThan(1e-3)
    }
  })
})

describe('off the axis', () => {
  it('a place between a point on the road and one off it is nowhere; so is a step back or a leap of the match', () => {
    const drive = driven(steady(100, 10))
    const leaping = onRoute(drive, null)
    // From point 20 on the match lies 300 m further: more than eight spacings of 25 m.
    leaping.match.axisM = leaping.match.axisM.map((m, i) => (i >= 20 ? m + 300 : m))
    const { axisFromM } = stepsOf(drive, leaping)
    const lost = [...axisFromM].filter(Number.isNaN)
    expect(lost.length).toBeGreaterThan(0)
    expect(lost.length).toBeLessThan(4)
    const back = onRoute(drive, null)
    back.match.axisM = back.match.axisM.map((m, i) => (i >= 20 ? m - 300 : m))
    expect([...stepsOf(drive, back).axisFromM].filter(Number.isNaN).length).toBe(lost.length)
  })
})

describe('the air at the steps', () => {
  const column = (...values: number[]): Float64Array => Float64Array.from(values)
  const along = {
    time: column(0, 100, 300),
    temperatureK: column(280, 290, 270),
    relativeHumidity: column(0, 0, 0),
    pressurePa: column(0, 0, 0),
    densityKgM3: column(1.2, 1.1, 1.3),
    windEastMps: column(0, 4, 0),
    windNorthMps: column(1, 2, 3),
    undirectedMps: column(0, 1, 0),
    windDepartureSdMps: column(2, 1, 3),
    temperatureDepartureSdK: column(0, 0, 0),
  }
  const at = (...times: number[]) => stepAirOf(along, { time: column(...times) } as Parameters<typeof stepAirOf>[1])

  it('is that of the place nearest in time, of the later of two as near', () => {
    const air = at(-50, 0, 49, 50, 100, 199, 200, 300, 400)
    expect([...air.node]).toEqual([0, 0, 0, 1, 1, 1, 2, 2, 2])
    expect([...air.temperatureK]).toEqual([280, 280, 280, 290, 290, 290, 270, 270, 270])
    expect([...air.densityKgM3]).toEqual([1.2, 1.2, 1.2, 1.1, 1.1, 1.1, 1.3, 1.3, 1.3])
    expect([...air.windEastMps]).toEqual([0, 0, 0, 4, 4, 4, 0, 0, 0])
    expect([...air.windNorthMps]).toEqual([1, 1, 1, 2, 2, 2, 3, 3, 3])
    expect([...air.undirectedMps]).toEqual([0, 0, 0, 1, 1, 1, 0, 0, 0])
    expect([...air.departureSdMps]).toEqual([2, 2, 2, 1, 1, 1, 3, 3, 3])
  })

  it('has one value where all places have one time', () => {
    const still = { ...along, time: column(5, 5, 5) }
    const steps = { time: column(5, 6) } as Parameters<typeof stepAirOf>[1]
    expect(stepAirOf(still, steps).temperatureK.every(Number.isFinite)).toBe(true)
  })
})
