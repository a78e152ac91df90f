import { describe, expect, it } from 'vitest'
import { stepM } from '../../src/track/geodesy.ts'
import { summaryOf } from '../../src/track/summary.ts'
import { GAP } from '../../src/track/types.ts'
import { csvRows, gpxTrack, mustDrive } from './tracks.ts'

/**
 * A small electric car whose logger writes a row each second but takes a new position only every 12 to 14 s. The bus
 * (CAN) speed and distance and the sum of steps between new positions are in runs_table.csv (see SOURCE.md).
 *
 * Distance from positions is 1 to 6 % longer than from the bus on every run, whatever is done to it; so positions drive
 * up to 1.06 times as fast as the bus's top speed. Over half a minute they themselves average up to 94 km/h (T3) where
 * the bus never reads more than 83: a bound at the bus's top speed would test the bus.
 */
const runs = csvRows('rsk-twizy/runs_table.csv').map((row) => ({
  run: row.run,
  positionsKm: Number(row.km_gps),
  busKm: Number(row.km_can),
  busTopKmh: Number(row.vmax),
}))

/** Fastest mean over at least 30 s between new positions that are nowhere torn apart, km/h: no smoothing of ours. */
function fastestHalfMinuteKmh(run: string): number {
  const { time, latitude, longitude } = gpxTrack(`rsk-twizy/gpx_fixes/${run}.gpx.gz`)
  let fastest = 0
  for (let i = 0; i < time.length; i++) {
    let distance = 0
    for (let j = i + 1; j < time.length; j++) {
      const step = stepM(latitude[j - 1], longitude[j - 1], latitude[j], longitude[j])
      if (step > 60 * (time[j] - time[j - 1])) break
      distance += step
      if (time[j] - time[i] < 30) continue
      fastest = Math.max(fastest, (distance / (time[j] - time[i])) * 3.6)
      break
    }
  }
  return fastest
}

describe.each(runs)('$run, positions held for 12 s', ({ run, positionsKm, busKm, busTopKmh }) => {
  const track = gpxTrack(`rsk-twizy/gpx/${run}.gpx.gz`)
  const drive = mustDrive(track)
  const summary = summaryOf(drive)

  it('loses the rows that repeat a position, and keeps the new ones', () => {
    const fresh = gpxTrack(`rsk-twizy/gpx_fixes/${run}.gpx.gz`).time.length
    expect(drive.repairs.frozenFixes).toBeGreaterThan(0.85 * track.time.length)
    expect(drive.fixes.time.length).toBeGreaterThanOrEqual(fresh - drive.repairs.spikes)
    expect(drive.fixes.time.length).toBeLessThan(1.2 * fresh)
  })

  it('makes no false speed', () => {
    const topKmh = summary.maxSpeedMps * 3.6
    const naive = track.time.reduce(
      (most, t, i) =>
        i > 0
          ? Math.max(
              most,
              stepM(track.latitude[i - 1], track.longitude[i - 1], track.latitude[i], track.longitude[i]) /
                (t - track.time[i - 1]),
            )
          : most,
      0,
    )
    expect(naive * 3.6).toBeGreaterThan(1000)
    // The first 24 s of T1_06_30_2021_2 are a receiver finding itself: 266 m in 7 s, then 149 m in 5 s.
    const found = run === 'T1_06_30_2021_2' ? 90 : 1.08 * fastestHalfMinuteKmh(run)
    expect(topKmh).toBeLessThan(found)
    expect(topKmh).toBeLessThan(run === 'T1_06_30_2021_2' ? 90 : 1.14 * busTopKmh)
  })

  it('goes as far as its positions within 1 %, and as the bus within 7 %', () => {
    expect(Math.abs(summary.distanceM / 1000 / positionsKm - 1)).toBeLessThan(0.01)
    expect(Math.abs(summary.distanceM / 1000 / busKm - 1)).toBeLessThan(0.07)
  })

  // Alone, the new positions do not tell that their age is unknown: their jitter passes for a scatter of 4 m.
  it('is the drive that its new positions alone make, within 2 %', () => {
    const alone = summaryOf(mustDrive(gpxTrack(`rsk-twizy/gpx_fixes/${run}.gpx.gz`)))
    expect(Math.abs(summary.distanceM / alone.distanceM - 1)).toBeLessThan(0.02)
    expect(summary.maxSpeedMps).toBeLessThan(1.3 * alone.maxSpeedMps)
  })
})

describe('invalid values of this logger', () => {
  it('-111 m is no elevation', () => {
    const { motion, repairs } = mustDrive(gpxTrack('rsk-twizy/gpx/T1_06_30_2021_2.gpx.gz'))
    expect(repairs.elevationOutliers).toBeGreaterThan(0)
    expect(motion.elevationM.every((e) => !(e < -10))).toBe(true)
  })

  it('a jump of 1.9 km in 4 s is a jump, not a speed', () => {
    const { gaps, motion } = mustDrive(gpxTrack('rsk-twizy/gpx/T1_06_30_2021_2.gpx.gz'))
    expect(gaps).toHaveLength(1)
    expect(gaps[0].chordM).toBeGreaterThan(1800)
    expect(motion.state.filter((state) => state === GAP).length).toBeLessThan(10)
  })
})
