import { readdirSync, readFileSync } from 'node:fs'
import { gunzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { type MannerKind, mannerKind, mannerOf } from '../../src/track/manner.ts'
import { summaryOf } from '../../src/track/summary.ts'
import { inputFile } from '../campaign/folder.ts'
import { gpxText, recordFixes } from '../simulator/device.ts'
import { drive, type TrueMotion } from '../simulator/driver.ts'
import { jam, ride, rideBus, rideTrain, walk } from '../simulator/other-movers.ts'
import { type Road, simulateRoad } from '../simulator/road.ts'
import { csvRows, mustDrive, trackOf } from './tracks.ts'

/** What each track of a file of half a kilometre and more is taken for, by its number. */
function kindsIn(path: string): Map<number, MannerKind | null> {
  const bytes = readFileSync(`test/data/${path}`)
  const text = (path.endsWith('.gz') ? gunzipSync(bytes) : bytes).toString('utf8')
  const known = mapFile(inputFile('a.gpx', text)).tracks.flatMap(({ index, drive: d }) =>
    d && d.summary.distanceM >= 500 ? [[index, mannerKind(d.manner, d.summary, d)] as const] : [],
  )
  return new Map(known)
}

// What they were made with: the cars' sets say so (SOURCE.md of each). Of the others the speeds alone: gpx-zoo's TABLE.csv
// has a mean of 0.5 to 5 km/h for the walks, 8.7 for the run and 20.5 for the ride, counted by another program.
describe('real recordings', () => {
  const cars = [
    ...readdirSync('test/data/mobilitynet/gpx').map((name) => `mobilitynet/gpx/${name}`),
    ...readdirSync('test/data/rsk-twizy/gpx_fixes').map((name) => `rsk-twizy/gpx_fixes/${name}`),
    'gpx-zoo/gpxpy/around-visnjan-with-car.gpx',
    'gpx-zoo/jpx/Gpx-full-sample.gpx',
  ]

  it('no car is taken for anything else', () => {
    const kinds = cars.flatMap((path) => [...kindsIn(path).values()])
    expect(kinds.length).toBeGreaterThanOrEqual(33)
    expect(kinds.filter((kind) => kind !== null)).toEqual([])
  })

  it('no drive of a car in towns of Iowa is', () => {
    const rowsOf = new Map<string, Record<string, string>[]>()
    for (const row of csvRows('iowa-drives/drives.csv.gz'))
      rowsOf.set(row.drive, [...(rowsOf.get(row.drive) ?? []), row])
    const kinds = [...rowsOf.values()]
      .filter((rows) => rows.length > 60)
      .map((rows) => {
        const points = rows.map((row) => ({
          time: Date.parse(row.time_utc) / 1000,
          latitude: Number(row.gps_lat),
          longitude: Number(row.gps_long),
          elevation: Number(row.gps_elevation),
        }))
        const d = mustDrive(trackOf(points))
        return mannerKind(mannerOf(d), summaryOf(d), d)
      })
    expect(kinds.length).toBeGreaterThanOrEqual(15)
    expect(kinds.filter((kind) => kind !== null)).toEqual([])
  })

  it.each([
    { path: 'gpx-zoo/gpxpy/cerknicko-jezero.gpx', track: 2, kind: 'walk' },
    { path: 'gpx-zoo/gpxpy/korita-zbevnica.gpx', track: 3, kind: 'walk' },
    { path: 'gpx-zoo/gpxpy/korita-zbevnica.gpx', track: 4, kind: 'walk' },
    { path: 'gpx-zoo/gpxgo/graphhopper.gpx.gz', track: 1, kind: 'walk' },
    { path: 'gpx-zoo/gpxgo/visnjan.gpx', track: 1, kind: 'walk' },
    { path: 'gpx-zoo/togeojson/multitrackgpx.gpx', track: 2, kind: 'walk' },
    { path: 'gpx-zoo/georust-gpx/garmin_with_extensions.gpx', track: 1, kind: 'walk' },
    { path: 'gpx-zoo/jpx/ISSUE-82.gpx', track: 1, kind: 'bicycle' },
  ])('$path, track $track, is a $kind', ({ path, track, kind }) => {
    expect(kindsIn(path).get(track)).toBe(kind)
  })
})

const START_S = Date.parse('2025-05-02T08:00:00Z') / 1000

function kindOf(road: Road, motion: TrueMotion, seed: string, sampleS: number): MannerKind | null {
  const [{ drive: d }] = mapFile(
    inputFile('a.gpx', gpxText(recordFixes(road, motion, START_S, { seed, sampleS }), seed)),
  ).tracks
  return d && mannerKind(d.manner, d.summary, d)
}

describe('simulated recordings, ten of each', () => {
  const seeds = Array.from({ length: 10 }, (_, i) => `manner ${i}`)
  const road = (seed: string, gradeSd: number) =>
    simulateRoad({ seed, shape: 'one-way', lengthM: 6000, latitudeDeg: 48, longitudeDeg: 9, gradeSd })
  const line = (seed: string) =>
    simulateRoad({
      seed,
      shape: 'one-way',
      lengthM: 15_000,
      latitudeDeg: 48,
      longitudeDeg: 9,
      straightCourseDeg: 80,
      gradeSd: 0.004,
    })

  it.each([
    { what: 'walks', kind: 'walk', of: walk, gradeSd: 0.02, sampleS: 1 },
    { what: 'walks with a fix every 5 s', kind: 'walk', of: walk, gradeSd: 0.02, sampleS: 5 },
    { what: 'rides on the flat', kind: 'bicycle', of: ride, gradeSd: 0.003, sampleS: 1 },
    { what: 'rides over hills', kind: 'bicycle', of: ride, gradeSd: 0.03, sampleS: 1 },
    { what: 'rides with a fix every 5 s', kind: 'bicycle', of: ride, gradeSd: 0.01, sampleS: 5 },
    { what: 'cars in a jam', kind: null, of: jam, gradeSd: 0.01, sampleS: 1 },
    { what: 'cars in a jam with a fix every 5 s', kind: null, of: jam, gradeSd: 0.01, sampleS: 5 },
    { what: 'cars', kind: null, of: (r: Road, seed: string) => drive(r, { seed }), gradeSd: 0.02, sampleS: 1 },
    { what: 'buses, which the road tells, not the motion', kind: null, of: rideBus, gradeSd: 0.01, sampleS: 1 },
  ])('$what are $kind', ({ of, kind, gradeSd, sampleS }) => {
    const kinds = seeds.map((seed) => {
      const r = road(seed, gradeSd)
      return kindOf(r, of(r, seed), seed, sampleS)
    })
    // A car must not be lost; one in ten of the others may be.
    expect(kinds.filter((k) => k !== kind).length).toBeLessThanOrEqual(kind === null ? 0 : 1)
  })

  it('trains are trains, cars on the same line are not', () => {
    const trains = seeds.map((seed) => kindOf(line(seed), rideTrain(line(seed), seed), seed, 1))
    const driven = seeds.map((seed) => kindOf(line(seed), drive(line(seed), { seed }), seed, 1))
    expect(trains.filter((k) => k !== 'train').length).toBeLessThanOrEqual(1)
    expect(driven.filter((k) => k !== null)).toEqual([])
  })
})
