import { describe, expect, it } from 'vitest'
import { elevationGain } from '../../src/track/elevation.ts'
import { flagsOf } from '../../src/track/flags.ts'
import type { Drive } from '../../src/track/types.ts'
import { atTime, csvRows, gpxTrack, mustDrive, trackOf } from './tracks.ts'

/** Gaps are left out with this much on both sides, s: where fixes come back, they come back wrong. */
const GAP_MARGIN_S = 12

const phone = (trip: string, device: string): Drive => mustDrive(gpxTrack(`mobilitynet/gpx/${trip}__${device}.gpx.gz`))

/** The authors' reference: the mean of their two best phones at 1 Hz, no elevation. */
function reference(trip: string): Drive {
  const rows = csvRows(`mobilitynet/groundtruth/${trip}.csv.gz`)
  return mustDrive(
    trackOf(rows.map((r) => ({ time: Number(r.ts), latitude: Number(r.latitude), longitude: Number(r.longitude) }))),
  )
}

interface Shared {
  from: number
  to: number
}

function sharedTime(a: Drive, b: Drive): Shared {
  const end = ({ motion }: Drive) => motion.startTime + (motion.count - 1) * motion.stepS
  return {
    from: Math.ceil(Math.max(a.motion.startTime, b.motion.startTime)) + 1,
    to: Math.floor(Math.min(end(a), end(b))) - 1,
  }
}

/** Distances of two recordings over the seconds that both cover, m. */
function sharedDistances(a: Drive, b: Drive): { aM: number; bM: number; seconds: number } {
  const { from, to } = sharedTime(a, b)
  const silent = [...a.gaps, ...b.gaps]
  const step = ({ motion }: Drive, t: number) =>
    atTime(motion, motion.distanceM, t + 1) - atTime(motion, motion.distanceM, t)
  let [aM, bM, seconds] = [0, 0, 0]
  for (let t = from; t < to; t++) {
    if (silent.some((gap) => t > gap.fromTime - GAP_MARGIN_S && t < gap.toTime + GAP_MARGIN_S)) continue
    aM += step(a, t)
    bM += step(b, t)
    seconds++
  }
  return { aM, bM, seconds }
}

function gains(drive: Drive, { from, to }: Shared): { raw: number; smooth: number } {
  const { motion, fixes } = drive
  const inside = fixes.elevation.filter((_, i) => fixes.time[i] >= from && fixes.time[i] <= to)
  const a = Math.ceil((from - motion.startTime) / motion.stepS)
  const b = Math.floor((to - motion.startTime) / motion.stepS) + 1
  const known = inside.filter((e) => !Number.isNaN(e))
  return {
    raw: elevationGain(known, known, { thresholdM: 0 }).gainM,
    smooth: elevationGain(motion.elevationM.subarray(a, b), motion.distanceM.subarray(a, b)).gainM,
  }
}

const suburb = (n: number) => `suburb_city_driving_weekend_${n}`
const freeway = (n: number) => `freeway_driving_weekday_${n}`

describe('one trip, two recordings', () => {
  // 1 %: what issue and design ask for. The phones' own positions differ by 4.9 m in the middle, 14.5 m for 1 in 20.
  it.each([
    { trip: suburb(1), a: 'ios-1', b: 'android-2' },
    { trip: suburb(2), a: 'ios-1', b: 'android-2' },
    { trip: suburb(2), a: 'ios-1', b: 'ios-2' },
    { trip: suburb(2), a: 'android-2', b: 'ios-2' },
  ])('$trip by $a and $b: the same distance within 1 %', ({ trip, a, b }) => {
    const { aM, bM, seconds } = sharedDistances(phone(trip, a), phone(trip, b))
    expect(seconds).toBeGreaterThan(400)
    expect(Math.abs(aM / bM - 1)).toBeLessThan(0.01)
  })

  // Against the mean of two phones 1.2 %: on the first suburban trip one of the two lost its satellites for minutes.
  it.each([
    { trip: suburb(0), device: 'ios-1' },
    { trip: suburb(1), device: 'ios-1' },
    { trip: suburb(1), device: 'android-2' },
    { trip: suburb(2), device: 'ios-1' },
    { trip: suburb(2), device: 'android-2' },
    { trip: suburb(2), device: 'ios-2' },
    { trip: freeway(1), device: 'ios-2' },
    { trip: freeway(2), device: 'ios-2' },
    { trip: freeway(3), device: 'ios-2' },
  ])('$trip by $device: the reference track within 1.2 %', ({ trip, device }) => {
    const { aM, bM, seconds } = sharedDistances(phone(trip, device), reference(trip))
    expect(seconds).toBeGreaterThan(400)
    expect(Math.abs(aM / bM - 1)).toBeLessThan(0.012)
  })

  /**
   * What remains: a flat trip of 4.2 km (a few tens of metres of climb) has raw gains of 91 to 160 m, smoothed ones of
   * 23 to 56 m. The rest is slow wander of the satellite height, which no smoothing of one run can tell from a hill:
   * routes take their profile from all their runs.
   */
  it.each([
    { trip: suburb(1), a: 'ios-1', b: 'android-2' },
    { trip: suburb(1), a: 'ios-1', b: 'ios-2' },
    { trip: suburb(2), a: 'ios-1', b: 'android-2' },
    { trip: suburb(2), a: 'ios-1', b: 'ios-2' },
  ])('$trip by $a and $b: a third of the raw climb is left, and 25 m of difference at most', ({ trip, a, b }) => {
    const [one, other] = [phone(trip, a), phone(trip, b)]
    const shared = sharedTime(one, other)
    const [first, second] = [gains(one, shared), gains(other, shared)]
    expect(first.raw + second.raw).toBeGreaterThan(180)
    expect(first.smooth + second.smooth).toBeLessThan(0.42 * (first.raw + second.raw))
    expect(Math.abs(first.smooth - second.smooth)).toBeLessThan(25)
  })
})

describe('a weak recording says so', () => {
  const codes = (trip: string, device: string) => flagsOf(phone(trip, device)).map((flag) => flag.code)

  it.each([
    { trip: suburb(1), device: 'ios-3' },
    { trip: suburb(2), device: 'ios-3' },
    { trip: freeway(1), device: 'ios-3' },
    { trip: freeway(2), device: 'ios-3' },
  ])('of cell and Wi-Fi positions: $trip by $device', ({ trip, device }) => {
    expect(codes(trip, device)).toContain('coarse-positions')
  })

  it('of a fix every 21 to 28 s', () => {
    expect(codes(freeway(1), 'android-3')).toContain('low-rate')
    expect(codes(freeway(2), 'android-3')).toContain('low-rate')
  })

  it('that began after the car did', () => {
    expect(codes(freeway(2), 'ios-2')).toContain('cut-while-moving')
    expect(codes(suburb(1), 'ios-2')).toContain('cut-while-moving')
  })

  it('and a good one has nothing to say', () => {
    expect(codes(suburb(0), 'ios-1')).toEqual([])
    expect(codes(suburb(1), 'ios-1')).toEqual([])
  })
})
