import { describe, expect, it } from 'vitest'
import type { TrackColumns } from '../../src/read/types.ts'
import { driveOf } from '../../src/track/drive.ts'
import { cleanTrack } from '../../src/track/repair/clean.ts'
import { summaryOf } from '../../src/track/summary.ts'
import type { Repairs } from '../../src/track/types.ts'
import { mustDrive, normalDraws, type Point, trackOf } from './tracks.ts'

const START = Date.UTC(2024, 4, 6, 8) / 1000
const METRES_PER_DEGREE = { north: 111229.0, east: 73169.6 }

/** A drive north at a pace (m/s, by second), 49 degrees north, fixes 1 m off, elevation 300 m. */
function driveNorth(pace: number[], noiseM = 1): Point[] {
  const normal = normalDraws(3)
  let along = 0
  return pace.map((speed, second) => {
    if (second > 0) along += speed
    return {
      time: START + second,
      latitude: 49 + (along + noiseM * normal()) / METRES_PER_DEGREE.north,
      longitude: 10 + (noiseM * normal()) / METRES_PER_DEGREE.east,
      elevation: 300,
    }
  })
}

const steady = (seconds: number, mps = 20) => Array.from({ length: seconds }, () => mps)
const changed = (points: Point[], change: (p: Point, i: number) => Partial<Point>) =>
  points.map((p, i) => ({ ...p, ...change(p, i) }))
const shifted = (p: Point, northM: number): Partial<Point> => ({
  latitude: p.latitude + northM / METRES_PER_DEGREE.north,
})

function repairsOf(track: TrackColumns): Partial<Repairs> {
  const { value, problems } = cleanTrack(track)
  if (value === null) throw new Error(problems.map((p) => p.message).join(' '))
  return Object.fromEntries(Object.entries(value.repairs).filter(([, count]) => count > 0))
}

const base = driveNorth(steady(300))

describe('cleaning counts and leaves out', () => {
  it('nothing of a sound track', () => {
    expect(repairsOf(trackOf(base))).toEqual({})
  })

  it.each<{ what: string; points: Point[]; want: Partial<Repairs>; lostM?: number }>([
    {
      what: 'positions that are out of range, missing, or 0/0',
      points: changed(base, (_, i) =>
        i === 10
          ? { latitude: 91 }
          : i === 20
            ? { longitude: Number.NaN }
            : i === 30
              ? { latitude: 0, longitude: 0 }
              : {},
      ),
      want: { impossiblePositions: 3 },
    },
    {
      what: 'times that are missing or impossible',
      points: changed(base, (_, i) =>
        i === 10 ? { time: Number.NaN } : i === 20 ? { time: 0 } : i === 30 ? { time: 5e9 } : {},
      ),
      want: { missingTimes: 1, impossibleTimes: 2 },
    },
    {
      what: 'isolated dates years away',
      points: changed(base, (p, i) => (i % 100 === 50 ? { time: p.time + 11 * 365 * 86400 } : {})),
      want: { clockJumps: 3 },
    },
    {
      what: 'exact duplicates and repeated times',
      points: base.flatMap((p, i) => (i === 40 ? [p, p] : i === 60 ? [p, { ...p, ...shifted(p, 500) }] : [p])),
      want: { exactDuplicates: 1, repeatedTimes: 1 },
    },
    {
      what: 'a single spike',
      points: changed(base, (p, i) => (i === 100 ? shifted(p, 400) : {})),
      want: { spikes: 1 },
    },
    {
      what: 'a spike of 40 m, twice what a car could do in a second',
      points: changed(base, (p, i) => (i === 100 ? { longitude: p.longitude + 40 / METRES_PER_DEGREE.east } : {})),
      want: { spikes: 1 },
    },
    {
      what: 'a run of bad points',
      points: changed(base, (p, i) => (i >= 100 && i < 106 ? shifted(p, -3000) : {})),
      want: { spikes: 6 },
    },
    {
      what: 'wild points at the start and at the end',
      points: changed(base, (p, i) => (i < 3 || i > 297 ? shifted(p, 5000) : {})),
      want: { spikes: 5 },
      lostM: 100,
    },
    {
      what: 'impossible elevations and a run of invalid ones',
      points: changed(base, (_, i) =>
        i === 5
          ? { elevation: 1.5e20 }
          : i === 9
            ? { elevation: -1000 }
            : i >= 100 && i < 108
              ? { elevation: -111 }
              : {},
      ),
      want: { elevationOutliers: 10 },
    },
  ])('$what', ({ points, want, lostM = 0 }) => {
    expect(repairsOf(trackOf(points))).toEqual(want)
    const { distanceM } = summaryOf(mustDrive(trackOf(points)))
    expect(Math.abs(distanceM / (299 * 20 - lostM) - 1)).toBeLessThan(0.005)
  })

  it('says each repair in a sentence with its count', () => {
    const { problems } = cleanTrack(trackOf(changed(base, (p, i) => (i === 100 ? shifted(p, 400) : {}))))
    expect(problems).toEqual([
      {
        code: 'spikes',
        severity: 'warning',
        message: '1 point left out: the vehicle cannot have been there at that time.',
      },
    ])
  })

  it('keeps 0/0 where the drive is really there', () => {
    const track = trackOf(
      base.map((p) => ({ ...p, latitude: p.latitude - base[150].latitude, longitude: p.longitude - 10 })),
    )
    track.latitude[150] = 0
    track.longitude[150] = 0
    expect(repairsOf(track)).toEqual({})
  })

  it('keeps a lasting shift of the position, which is no spike', () => {
    const points = changed(base, (p, i) => (i >= 150 ? { longitude: p.longitude + 60 / METRES_PER_DEGREE.east } : {}))
    expect(repairsOf(trackOf(points))).toEqual({})
    const drive = mustDrive(trackOf(points))
    expect(drive.gaps).toHaveLength(1)
    expect(summaryOf(drive).maxSpeedMps).toBeLessThan(22)
  })
})

describe('a clock that was set while driving', () => {
  it.each([
    {
      what: 'forward by an hour early on',
      change: (i: number) => (i >= 80 ? 3600 : 0),
      want: 80,
      says: /80 points before it moved 1 h later/,
    },
    {
      what: 'forward by an hour late',
      change: (i: number) => (i >= 220 ? 3600 : 0),
      want: 80,
      says: /80 points after it moved 1 h earlier/,
    },
    {
      what: 'back by an hour',
      change: (i: number) => (i >= 220 ? -3600 : 0),
      want: 80,
      says: /80 points after it moved 1 h later/,
    },
    {
      what: 'back into what was recorded before',
      change: (i: number) => (i >= 220 ? -150 : 0),
      want: 80,
      says: /80 points after it moved 2 min 30 s later/,
    },
  ])('is set right: $what', ({ change, want, says }) => {
    const points = changed(base, (p, i) => ({ time: p.time + change(i) }))
    expect(repairsOf(trackOf(points))).toEqual({ clockJumps: want })
    const told = cleanTrack(trackOf(points)).problems.find(({ code }) => code === 'clock-jump')
    expect(told?.message).toMatch(/^The clock steps from \d{4}-\d\d-\d\dT[\d:]{8}Z to \d{4}-\d\d-\d\dT[\d:]{8}Z while/)
    expect(told?.message).toMatch(says)
    const summary = summaryOf(mustDrive(trackOf(points)))
    expect(summary.durationS).toBeCloseTo(299, 6)
    expect(Math.abs(summary.distanceM / (299 * 20) - 1)).toBeLessThan(0.005)
  })

  it('is not suspected when the vehicle stood for an hour', () => {
    const brake = [20, 15, 10, 5, 2, 0, 0, 0]
    const pace = [...steady(100), ...brake, ...[...brake].reverse(), ...steady(100)]
    const points = driveNorth(pace).map((p, i) => ({ ...p, time: p.time + (i >= 108 ? 3600 : 0) }))
    expect(repairsOf(trackOf(points)).clockJumps).toBeUndefined()
    const summary = summaryOf(mustDrive(trackOf(points)))
    expect(summary.durationS).toBeCloseTo(3600 + pace.length - 1, 6)
    expect(summary.standingTimeS).toBeGreaterThan(3590)
    expect(summary.stopCount).toBe(1)
  })
})

describe('held positions', () => {
  const brake = [16, 12, 8, 4, 1]
  const stop = [...steady(120), ...brake, ...steady(40, 0), ...[...brake].reverse(), ...steady(120)]
  const truth = driveNorth(stop, 0)
  const length = stop.slice(1).reduce((sum, speed) => sum + speed, 0)

  it('of a vehicle that stands are kept', () => {
    expect(repairsOf(trackOf(truth))).toEqual({})
    const summary = summaryOf(mustDrive(trackOf(truth)))
    expect(summary.stopCount).toBe(1)
    expect(Math.abs(summary.standingTimeS - 40)).toBeLessThan(4)
    expect(Math.abs(summary.distanceM / length - 1)).toBeLessThan(1e-3)
  })

  it.each([2, 5, 12])('of a logger that takes a new fix every %d s are left out, and make no false speed', (holdS) => {
    const held = truth.map((p, i) => ({ ...p, ...shiftedTo(truth[Math.floor(i / holdS) * holdS]) }))
    const repairs = repairsOf(trackOf(held))
    expect(repairs.frozenFixes).toBeGreaterThan((1 - 1 / holdS) * 245)
    const summary = summaryOf(mustDrive(trackOf(held)))
    expect(summary.maxSpeedMps).toBeLessThan(23)
    const shown = stop
      .slice(1, 1 + Math.floor((stop.length - 1) / holdS) * holdS)
      .reduce((sum, speed) => sum + speed, 0)
    expect(Math.abs(summary.distanceM / shown - 1)).toBeLessThan(2e-3)
  })

  it('of a receiver that froze once for 15 s are left out', () => {
    const frozen = truth.map((p, i) => (i > 60 && i < 75 ? { ...p, ...shiftedTo(truth[60]) } : p))
    expect(repairsOf(trackOf(frozen))).toEqual({ frozenFixes: 14 })
    const { motion } = mustDrive(trackOf(frozen))
    for (let k = 55; k < 80; k++) expect(Math.abs(motion.speedMps[k] - 20)).toBeLessThan(1)
  })
})

const shiftedTo = ({ latitude, longitude, elevation }: Point) => ({ latitude, longitude, elevation })

describe('a track that cannot be a run', () => {
  it.each<{ what: string; points: Point[]; code: string }>([
    { what: 'no times', points: changed(base, () => ({ time: Number.NaN })), code: 'track-without-times' },
    { what: 'all times alike', points: changed(base, () => ({ time: START })), code: 'track-without-times' },
    { what: 'year 1 times', points: changed(base, () => ({ time: -62135596800 })), code: 'track-too-short' },
    { what: 'no points', points: [], code: 'track-too-short' },
    { what: 'one point', points: base.slice(0, 1), code: 'track-too-short' },
    { what: '9 points', points: base.filter((_, i) => i % 35 === 0), code: 'track-too-short' },
    { what: '50 s', points: base.slice(0, 51), code: 'track-too-short' },
    { what: 'a parked car', points: driveNorth(steady(300, 0)), code: 'track-too-short' },
    { what: 'no possible position', points: changed(base, () => ({ latitude: 1000 })), code: 'track-too-short' },
  ])('says why: $what', ({ points, code }) => {
    const { value, problems } = driveOf(trackOf(points))
    expect(value).toBeNull()
    const errors = problems.filter((p) => p.severity === 'error')
    expect(errors.map((p) => p.code)).toEqual([code])
    expect(errors[0].message).toMatch(/\.$/)
  })
})
