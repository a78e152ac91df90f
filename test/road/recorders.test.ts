import { readdirSync, readFileSync } from 'node:fs'
import { gunzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { followersAmong, mayBeTwoVehicles, type RecordedDrive, recordersOf } from '../../src/road/recorders.ts'
import { inputFile } from '../campaign/folder.ts'
import { gpxText, recordFixes } from '../simulator/device.ts'
import { drive } from '../simulator/driver.ts'
import { simulateRoad } from '../simulator/index.ts'

function recorded(text: string): RecordedDrive {
  const mapped = mapFile(inputFile('a.gpx', text)).tracks[0].drive!
  const { startTime, endTime } = mapped.summary
  return { trace: mapped.trace, startTime, endTime, excluded: false, says: [] }
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
    expect(groups.flat().length).toBe(names.length)
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

  it.each([2, 18])('which may as well be a device whose clock is %s s late', (behindS) => {
    const [found, ...more] = followersAmong([device('b', behindS), device('a')], [])
    expect(more).toEqual([])
    expect(found).toMatchObject({ leader: 1, follower: 0 })
    expect(Math.abs(found.lagS - behindS)).toBeLessThan(0.5)
  })

  it('a car that keeps no steady distance may not, nor one of which the user says something else', () => {
    const other = drive(road, { seed: 'other driver' })
    const follower = recorded(gpxText(recordFixes(road, other, START_S + 3, { seed: 'c', sampleS: 1, noise: 1 }), 'c'))
    expect(followersAmong([device('a'), follower], [])).toEqual([])
    const [a, b] = [device('a'), device('b', 2)]
    expect(
      followersAmong(
        [
          { ...a, says: ['bare'] },
          { ...b, says: ['skirts'] },
        ],
        [],
      ),
    ).toEqual([])
  })

  it('telephones that are one drive follow nobody', () => {
    const drives = [device('a'), device('b')]
    expect(followersAmong(drives, recordersOf(drives))).toEqual([])
  })

  // Positions as from cell towers: 50 m off and more, for minutes, one device in twenty cars.
  const joinedOf20 = (behindS: number): number =>
    Array.from({ length: 20 }, (_, n) => recordersOf([device('a'), device(`cell ${n}`, behindS, 5, 20)]).length).filter(
      (groups) => groups > 0,
    ).length

  // Seconds behind at 15 m/s are as far as the positions are off: only a distance beyond that can be seen.
  it.each([6, 8])('a second car %s s behind has one, though its positions are from cell towers', (behindS) => {
    expect(joinedOf20(behindS)).toBeLessThanOrEqual(1)
  })

  it('where positions are so coarse, nobody knows whether one or two vehicles were recorded, and where not, one does', () => {
    expect(mayBeTwoVehicles(device('a'), device('cell 1', 0, 5, 20))).toBe(true)
    expect(mayBeTwoVehicles(device('a'), device('b', 0, 5))).toBe(false)
  })

  it('a telephone with positions from cell towers in the same car has not, but for a few', () => {
    expect(joinedOf20(0)).toBeGreaterThanOrEqual(16)
  })

  it('two recordings of which the user says two things are two drives', () => {
    const [a, b] = [device('a'), device('b')]
    expect(recordersOf([a, b]).length).toBe(1)
    expect(
      recordersOf([
        { ...a, says: ['bare', null] },
        { ...b, says: [null, '0.4'] },
      ]).length,
    ).toBe(1)
    expect(
      recordersOf([
        { ...a, says: ['bare', null] },
        { ...b, says: ['skirts', '0.4'] },
      ]),
    ).toEqual([])
  })

  it('the same road an hour later is another drive', () => {
    expect(recordersOf([device('a'), device('b', 3600)])).toEqual([])
  })

  it('a recording that the user left out does not lead', () => {
    expect(recordersOf([{ ...device('a'), excluded: true }, device('b', 0, 5)])).toEqual([[1, 0]])
  })
})
