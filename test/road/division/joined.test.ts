/**
 * Recordings that their makers cut into single drives, joined again: what is found in the joined file are the single
 * drives. Data: rsk-twizy and iowa-drives (see their SOURCE.md); the files' own begins and ends are what is expected.
 */
import { describe, expect, it } from 'vitest'
import type { TrackColumns } from '../../../src/read/types.ts'
import { divide } from '../../../src/road/division/divide.ts'
import type { Piece } from '../../../src/road/division/pieces.ts'
import { driveOf } from '../../../src/track/drive.ts'
import { sessionsOf } from '../../../src/track/sessions.ts'
import { csvRows, gpxTrack, trackOf } from '../../track/tracks.ts'
import { drivesOf, tracedTrack } from './scores.ts'

/** One track of several, in a segment each or all in one. */
function joined(tracks: TrackColumns[], segments: 'apart' | 'one'): TrackColumns {
  const column = (of: 'time' | 'latitude' | 'longitude' | 'elevation'): Float64Array =>
    Float64Array.from(tracks.flatMap((track) => [...track[of]]))
  const starts = tracks.map((_, i) => tracks.slice(0, i).reduce((sum, { time }) => sum + time.length, 0))
  return {
    ...tracks[0],
    time: column('time'),
    latitude: column('latitude'),
    longitude: column('longitude'),
    elevation: column('elevation'),
    segmentStart: Uint32Array.from(segments === 'apart' ? starts : [0]),
  }
}

const drivesIn = (tracks: TrackColumns[]): Piece[] =>
  divide(
    tracks
      .flatMap(sessionsOf)
      .filter((session) => driveOf(session).value)
      .map(tracedTrack),
  ).flatMap(drivesOf)

/** Parts of two stretches of time that are common to both, of the longer. */
const common = (a: Piece, b: Piece): number =>
  (Math.min(a.toTime, b.toTime) - Math.max(a.fromTime, b.fromTime)) /
  Math.max(a.toTime - a.fromTime, b.toTime - b.fromTime)

const shown = ({ fromTime, distanceM }: Piece): string =>
  `${new Date(1000 * fromTime).toISOString().slice(5, 16)} ${(distanceM / 1000).toFixed(1)} km`

/**
 * Drives of the one list that no drive of the other is, to a fiftieth of their length. Of their time a third may differ:
 * where the car stood at a file's begin or end, it stands in the pause between two drives once they are joined.
 */
const missing = (of: Piece[], among: Piece[]): string[] =>
  of.filter((a) => !among.some((b) => common(a, b) > 0.65 && Math.abs(b.distanceM / a.distanceM - 1) < 0.02)).map(shown)

const TWIZY = [
  'T1_03_29_2021',
  'T2_03_29_2021',
  'T2_03_30_2021',
  'T3_04_22_2021_1',
  'T3_04_22_2021_2',
  'T3_04_26_2021_1',
  'T3_04_26_2021_2',
  'T2_04_26_2021',
  'T1_06_30_2021_2',
  'T1_06_30_2021_1',
  'T1_07_01_2021',
]

describe('recordings joined by day', () => {
  const tracks = (folder: string): { day: string; track: TrackColumns }[] =>
    TWIZY.map((name) => ({ day: name.slice(3, 13), track: gpxTrack(`rsk-twizy/${folder}/${name}.gpx.gz`) }))

  // 142 s lie between the way out and the way back of 22 April, less than a stop.
  it.each([
    ['gpx', 'apart'],
    ['gpx', 'one'],
    ['gpx_fixes', 'apart'],
  ] as const)('give the drives of the single files: %s, segments %s', (folder, segments) => {
    const files = tracks(folder)
    const apart = drivesIn(files.map(({ track }) => track))
    const days = [...new Set(files.map(({ day }) => day))]
    const together = drivesIn(
      days.map((day) =>
        joined(
          files.filter((file) => file.day === day).map(({ track }) => track),
          segments,
        ),
      ),
    )
    expect(apart).toHaveLength(TWIZY.length)
    expect(missing(apart, together)).toEqual([])
    expect(missing(together, apart)).toEqual([])
  })
})

describe('a car’s drives of five days, joined to one file', () => {
  const rows = csvRows('iowa-drives/drives.csv.gz')
  const names = [...new Set(rows.map(({ drive }) => drive))]
  const tracks = names.map((name) =>
    trackOf(
      rows
        .filter(({ drive }) => drive === name)
        .map((row) => ({
          time: Date.parse(row.time_utc) / 1000,
          latitude: Number(row.gps_lat),
          longitude: Number(row.gps_long),
          elevation: Number(row.gps_elevation),
        })),
    ),
  )

  it.each(['apart', 'one'] as const)('give the single drives again, segments %s', (segments) => {
    const apart = drivesIn(tracks)
    const together = drivesIn([joined(tracks, segments)])
    expect(missing(apart, together)).toEqual([])
    // Of drive 15 the part that lies on the road of drive 5: that its begin is one shows where it stands in the day.
    expect(missing(together, apart)).toEqual(['05-27T20:14 7.5 km'])
  })
})
