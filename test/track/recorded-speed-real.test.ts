import { describe, expect, it } from 'vitest'
import { MPS_PER_MPH, radians } from '../../src/base/units.ts'
import type { TrackColumns } from '../../src/read/types.ts'
import { driveOf } from '../../src/track/drive.ts'
import { type Drive, MOVING } from '../../src/track/types.ts'
import { csvRows } from './tracks.ts'

/** A position every so many seconds is kept; the others are held back, to see how near the motion comes to them. */
const EVERY_S = 12
const SHORTEST_ROWS = 300

type Rows = Record<string, string>[]

/** Drives of one car at 1 Hz with its speed; see test/data/iowa-drives/SOURCE.md. */
function drives(): [string, Rows][] {
  const byDrive = new Map<string, Rows>()
  for (const row of csvRows('iowa-drives/drives.csv.gz')) {
    const known = byDrive.get(row.drive)
    if (known) known.push(row)
    else byDrive.set(row.drive, [row])
  }
  return [...byDrive].filter(([, rows]) => rows.length >= SHORTEST_ROWS)
}

function thinned(rows: Rows, withSpeed: boolean): TrackColumns {
  const column = (of: (row: Rows[number], i: number) => number): Float64Array => Float64Array.from(rows, of)
  const kept = (name: string) =>
    column((row, i) => (i % EVERY_S === 0 || i === rows.length - 1 ? Number(row[name]) : Number.NaN))
  const speed = column((row) => (row.speed_mph === '' ? Number.NaN : Number(row.speed_mph) * MPS_PER_MPH))
  return {
    name: null,
    index: 1,
    time: column((row) => Date.parse(row.time_utc) / 1000),
    latitude: kept('gps_lat'),
    longitude: kept('gps_long'),
    elevation: column(() => Number.NaN),
    logged: withSpeed ? { speedMps: { values: speed, name: 'speed_mph' } } : {},
    segmentStart: Uint32Array.of(0),
    zonelessTimes: 0,
  }
}

/**
 * Along the direction of travel, how far the motion is from the positions held back at their times, m. In bends the sparse
 * positions cut corners, which no speed mends: that is across.
 */
function errorsAlong({ motion }: Drive, track: TrackColumns, rows: Rows): number[] {
  return rows.flatMap((row, i) => {
    const k = (track.time[i] - motion.startTime) / motion.stepS
    const [a, b] = [Math.floor(k), Math.ceil(k)]
    if (i % EVERY_S === 0 || a < 0 || b >= motion.count || row.gps_lat === '' || motion.state[a] !== MOVING) return []
    const between = (column: Float64Array): number => column[a] + (k - a) * (column[b] - column[a])
    const course = radians(motion.courseDeg[a])
    const north = (Number(row.gps_lat) - between(motion.latitude)) * 111_200
    const east = (Number(row.gps_long) - between(motion.longitude)) * 111_200 * Math.cos(radians(Number(row.gps_lat)))
    return [Math.abs(north * Math.cos(course) + east * Math.sin(course))]
  })
}

const medianOf = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1]

describe('a recorded speed of a real car', () => {
  it('brings the motion between sparse positions nearer to those held back, which know nothing of it', () => {
    const medians = drives().flatMap(([drive, rows]) => {
      const [alone, used] = [false, true].map((withSpeed) => {
        const track = thinned(rows, withSpeed)
        const { value, problems } = driveOf(track)
        return {
          errors: medianOf(errorsAlong(value!, track, rows)),
          isUsed: problems.some(({ code }) => code === 'recorded-speed-used'),
        }
      })
      return used.isUsed ? [{ drive, ratio: used.errors / alone.errors }] : []
    })
    expect(medians.length).toBeGreaterThan(8)
    // On every drive, and by more than a fifth in the middle.
    expect(medians.filter(({ ratio }) => ratio > 1.02)).toEqual([])
    expect(medianOf(medians.map(({ ratio }) => ratio))).toBeLessThan(0.8)
  })
})
