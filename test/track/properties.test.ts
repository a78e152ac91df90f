import { describe, expect, it } from 'vitest'
import type { TrackColumns } from '../../src/read/types.ts'
import { driveOf } from '../../src/track/drive.ts'
import { summaryOf } from '../../src/track/summary.ts'
import type { Drive, DriveSummary } from '../../src/track/types.ts'
import { gpxTrack, mustDrive, normalDraws } from './tracks.ts'

const track = gpxTrack('mobilitynet/gpx/suburb_city_driving_weekend_1__ios-1.gpx.gz')
const whole = mustDrive(track)

function inOrder(rows: number[], source: TrackColumns = track): TrackColumns {
  const take = (column: Float64Array) => Float64Array.from(rows, (row) => column[row])
  return {
    ...source,
    time: take(source.time),
    latitude: take(source.latitude),
    longitude: take(source.longitude),
    elevation: take(source.elevation),
  }
}

const rowsOf = (source: TrackColumns) => Array.from(source.time.keys())
const motionOnly = ({ motion, gaps }: Drive) => ({ motion, gaps })

function shuffled(rows: number[]): number[] {
  const normal = normalDraws(77)
  return rows
    .map((row) => ({ row, key: normal() }))
    .sort((a, b) => a.key - b.key)
    .map(({ row }) => row)
}

describe('the order of rows', () => {
  it('reversed gives the same drive', () => {
    const drive = mustDrive(inOrder(rowsOf(track).reverse()))
    expect(motionOnly(drive)).toEqual(motionOnly(whole))
    expect(drive.repairs.outOfOrder).toBe(track.time.length - 1)
  })

  it('shuffled gives the same drive', () => {
    expect(motionOnly(mustDrive(inOrder(shuffled(rowsOf(track)))))).toEqual(motionOnly(whole))
  })

  it('shuffled gives the same drive of held positions, too', () => {
    const held = gpxTrack('rsk-twizy/gpx/T3_04_22_2021_1.gpx.gz')
    expect(motionOnly(mustDrive(inOrder(shuffled(rowsOf(held)), held)))).toEqual(motionOnly(mustDrive(held)))
  })
})

describe('the clock', () => {
  it.each([-11, 1, 5.5])('%d hours off gives the same figures', (hours) => {
    const summary = summaryOf(mustDrive({ ...track, time: track.time.map((t) => t + hours * 3600) }))
    const want = summaryOf(whole)
    expect(summary.startTime).toBeCloseTo(want.startTime + hours * 3600, 5)
    for (const figure of [
      'distanceM',
      'movingTimeS',
      'elevationGainM',
      'maxSpeedMps',
    ] satisfies (keyof DriveSummary)[]) {
      expect(Math.abs(summary[figure] - want[figure])).toBeLessThan(1e-3 * want[figure])
    }
    expect(summary.stopCount).toBe(want.stopCount)
  })
})

describe('one NaN among all rows', () => {
  const rows = gpxTrack('mobilitynet/gpx/freeway_driving_weekday_1__ios-2.gpx.gz')
  const want = summaryOf(mustDrive(rows))
  it.each([
    { column: 'latitude' as const, count: 'impossiblePositions' as const },
    { column: 'time' as const, count: 'missingTimes' as const },
    { column: 'elevation' as const, count: null },
  ])('in $column leaves the rest as it is and is counted', ({ column, count }) => {
    const values = rows[column].slice()
    values[700] = Number.NaN
    const drive = mustDrive({ ...rows, [column]: values })
    const { motion } = drive
    expect(motion.latitude.every(Number.isFinite)).toBe(true)
    expect(motion.distanceM.every(Number.isFinite)).toBe(true)
    expect(Math.abs(summaryOf(drive).distanceM / want.distanceM - 1)).toBeLessThan(1e-4)
    if (count) expect(drive.repairs[count]).toBe(1)
  })
})

describe('a drive and its figures', () => {
  const drives = [
    'mobilitynet/gpx/suburb_city_driving_weekend_0__android-1.gpx.gz',
    'mobilitynet/gpx/freeway_driving_weekday_3__ios-2.gpx.gz',
    'rsk-twizy/gpx/T1_06_30_2021_2.gpx.gz',
  ].map((path) => mustDrive(gpxTrack(path)))

  it('add up: times make the duration, distance only grows, gain less loss is the net climb within the threshold', () => {
    for (const drive of drives) {
      const s = summaryOf(drive)
      expect(s.movingTimeS + s.standingTimeS + s.gapTimeS).toBeCloseTo(s.durationS, 6)
      expect(s.meanSpeedMps * s.durationS).toBeCloseTo(s.distanceM, 6)
      const { distanceM } = drive.motion
      for (let k = 1; k < distanceM.length; k++) expect(distanceM[k]).toBeGreaterThanOrEqual(distanceM[k - 1])
      expect(Math.abs(s.elevationGainM - s.elevationLossM - s.netElevationM)).toBeLessThan(10)
    }
  })

  it('run backwards: as far, as long, climbs and descents swapped', () => {
    for (const path of ['suburb_city_driving_weekend_1__ios-1', 'freeway_driving_weekday_1__ios-2']) {
      const forth = gpxTrack(`mobilitynet/gpx/${path}.gpx.gz`)
      const a = summaryOf(mustDrive(forth))
      const b = summaryOf(mustDrive({ ...forth, time: forth.time.map((t) => 3.2e9 - t) }))
      expect(Math.abs(b.distanceM / a.distanceM - 1)).toBeLessThan(2e-3)
      expect(Math.abs(b.elevationGainM - a.elevationLossM)).toBeLessThan(1)
      expect(Math.abs(b.elevationLossM - a.elevationGainM)).toBeLessThan(1)
      expect(Math.abs(b.standingTimeS - a.standingTimeS)).toBeLessThan(0.05 * a.standingTimeS)
    }
  })

  it('never changes the columns it is given', () => {
    const given = gpxTrack('rsk-twizy/gpx/T3_04_22_2021_1.gpx.gz')
    const copy = structuredClone(given)
    driveOf(given)
    expect(given).toEqual(copy)
  })
})
