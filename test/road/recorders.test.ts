import { readdirSync, readFileSync } from 'node:fs'
import { gunzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { type RecordedDrive, recordersOf } from '../../src/road/recorders.ts'
import { inputFile } from '../campaign/folder.ts'
import { gpxText, recordFixes } from '../simulator/device.ts'
import { drive } from '../simulator/driver.ts'
import { simulateRoad } from '../simulator/index.ts'

function recorded(text: string): RecordedDrive {
  const mapped = mapFile(inputFile('a.gpx', text)).tracks[0].drive!
  const { startTime, endTime } = mapped.summary
  return { trace: mapped.trace, startTime, endTime, excluded: false }
}

// Telephones in one car, six trips (mobilitynet, see test/data/mobilitynet/SOURCE.md): the names tell which trip is whose.
describe('telephones in one car', () => {
  const folder = 'test/data/mobilitynet/gpx'
  const names = readdirSync(folder).filter((name) => name.endsWith('.gz'))
  const drives = names.map((name) => recorded(gunzipSync(readFileSync(`${folder}/${name}`)).toString('utf8')))
  const tripOf = (i: number): string => names[i].split('__')[0]
  const groups = recordersOf(drives)

  it('are never taken together with those of another trip', () => {
    for (const group of groups) expect(new Set(group.map(tripOf)).size).toBe(1)
  })

  it('are one drive each trip', () => {
    expect(groups.length).toBe(new Set(names.map((_, i) => tripOf(i))).size)
    // android-1 of the first suburban trip is tens of metres off its fellows for most of it, and stays apart.
    expect(groups.flat().length).toBeGreaterThanOrEqual(names.length - 1)
  })

  it('are led by one that records positions every second', () => {
    for (const [lead] of groups) expect(names[lead]).toMatch(/ios-[12]|android-2/)
  })
})

// One motion through several simulated devices; a second car is the same motion a little later.
describe('simulated devices', () => {
  const START_S = Date.parse('2025-05-02T08:00:00Z') / 1000
  const road = simulateRoad({ seed: 'recorders', shape: 'one-way', lengthM: 12_000, latitudeDeg: 48, longitudeDeg: 9 })
  const motion = drive(road, { seed: 'recorders' })
  const device = (seed: string, behindS = 0, sampleS = 1, noise = 1): RecordedDrive =>
    recorded(gpxText(recordFixes(road, motion, START_S + behindS, { seed, sampleS, noise }), seed))

  it.each([
    { what: 'two loggers', sampleS: 1, noise: 1 },
    { what: 'a logger and a phone with a fix every 5 s', sampleS: 5, noise: 1 },
    { what: 'a logger and a phone that is 20 m off', sampleS: 1, noise: 8 },
  ])('$what in one car are recorders of one drive, the logger first', ({ sampleS, noise }) => {
    const groups = recordersOf([device('b', 0, sampleS, noise), device('a')])
    expect(groups.length).toBe(1)
    if (sampleS > 1) expect(groups[0]).toEqual([1, 0])
  })

  it.each([2, 4, 30])('a second car %s s behind has a drive of its own', (behindS) => {
    expect(recordersOf([device('a'), device('b', behindS)])).toEqual([])
  })

  it('the same road an hour later is another drive', () => {
    expect(recordersOf([device('a'), device('b', 3600)])).toEqual([])
  })

  it('a recording that the user left out does not lead', () => {
    expect(recordersOf([{ ...device('a'), excluded: true }, device('b', 0, 5)])).toEqual([[1, 0]])
  })
})
