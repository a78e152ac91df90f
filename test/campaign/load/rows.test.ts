import { describe, expect, it } from 'vitest'
import type { MappedFile } from '../../../src/campaign/load/map-file.ts'
import { missingPhotos } from '../../../src/campaign/load/photos.ts'
import { claimedBy } from '../../../src/campaign/load/rows/claimed-rows.ts'
import { noteSeries } from '../../../src/campaign/load/rows/driver-notes.ts'
import type { FoundDrive, Recording } from '../../../src/campaign/load/rows/drives-and-rows.ts'
import { doubtfulFuel, fuelProblem, withoutFuel } from '../../../src/campaign/load/rows/fuel-of-stints.ts'
import { recordingByTime } from '../../../src/campaign/load/rows/rows-by-time.ts'
import { withRows } from '../../../src/campaign/load/rows/rows-of-drives.ts'
import type { RunRow } from '../../../src/read/runs/rows.ts'
import { emptyRow } from '../../../src/read/runs/runs-table.ts'

const rowOf = (line: number, row: Partial<RunRow>): RunRow => ({ ...emptyRow(line), ...row })
const codes = (problems: { code: string; line?: number }[]): [string, number | undefined][] =>
  problems.map(({ code, line }) => [code, line])

/** A day with three drives, and a file with one. */
const recordings: Recording[] = ['day.gpx', 'single.gpx'].map((track, i) => ({
  track,
  sessions: [i],
  startTime: 0,
  endTime: 36_000,
}))
const driveAt = (session: number, track: string, name: string, fromTime: number): FoundDrive => ({
  session,
  track,
  name,
  utcName: name,
  fromTime,
  toTime: fromTime + 3600,
  whole: false,
  row: null,
  without: [],
  engineOff: null,
})
const drives = (): FoundDrive[] => [
  driveAt(0, 'day.gpx@0100', '0100', 3600),
  driveAt(0, 'day.gpx@0300.1', '0300.1', 10_800),
  driveAt(0, 'day.gpx@0300.2', '0300.2', 14_400),
  driveAt(1, 'single.gpx', '0100', 3600),
]
const elsewhere = [
  { track: 'day.gpx', otherM: 0, driveM: 60_000 },
  { track: 'single.gpx', otherM: 0, driveM: 20_000 },
]

function given(rows: RunRow[], others = elsewhere) {
  const { claimed, problems } = claimedBy(rows, recordings, null)
  const all = drives()
  const { stints, problems: more } = withRows(claimed, new Map(), all, recordings, others)
  return { drives: all, stints, problems: [...problems, ...more] }
}

it('a row whose time is in no recording is told the hours to the start of the nearest one', () => {
  const drive = { track: 'a.gpx', sessions: [0], startTime: 7 * 3600 + 2700, endTime: 9 * 3600 + 600 }
  const at = 9 * 3600 + 2700
  const { problems } = recordingByTime({ fromTime: at, toTime: at }, [drive], 'UTC')
  // The drive began at 07:45 and the row says 09:45.
  expect(problems.map(({ hint }) => hint?.slice(0, 3))).toEqual(['2 h'])
})

describe('which drives a row of runs.csv means', () => {
  it('one drive by its time, one recording by its name', () => {
    const { drives: found, problems } = given([
      rowOf(2, { track: 'day.gpx@0100', setup: 'a', fuelLitres: 3 }),
      rowOf(3, { track: 'single', setup: 'b', fuelLitres: 2 }),
    ])
    expect(found.map(({ row }) => row?.setup ?? null)).toEqual(['a', null, null, 'b'])
    expect(problems).toEqual([])
  })

  it('laps make a stint: the fuel is theirs together, the setup each one’s', () => {
    const { drives: found, stints } = given([rowOf(2, { track: 'day.gpx@0300.1-2', setup: 'a', fuelLitres: 5 })])
    expect(stints.map(({ drives: own, row }) => [own, row.fuelLitres])).toEqual([[[1, 2], 5]])
    expect(found[1].row?.setup).toBe('a')
    expect(found[1].row?.fuelLitres).toBeNaN()
  })

  it('fuel of drives that have it already counts once', () => {
    const { stints, problems } = given([
      rowOf(2, { track: 'day.gpx@0300.1', fuelLitres: 2 }),
      rowOf(3, { track: 'day.gpx', fuelLitres: 9 }),
    ])
    expect(codes(problems)).toEqual([['fuel-given-twice', 3]])
    expect(stints[0].row.fuelLitres).toBeNaN()
  })

  it('fuel of a whole recording that went into other driving too is not used', () => {
    const others = [{ ...elsewhere[0], otherM: 5000 }, elsewhere[1]]
    expect(codes(given([rowOf(2, { track: 'day.gpx', fuelLitres: 9 })], others).problems)).toEqual([
      ['fuel-of-other-driving', 2],
    ])
  })

  it.each<[string, string, string]>([
    ['a recording that is not there', 'dya.gpx', 'row-without-track'],
    ['a drive that is not there', 'day.gpx@0200', 'row-without-drive'],
    ['more laps than there are', 'day.gpx@0300.1-4', 'row-without-drive'],
  ])('%s is named with its line', (_, track, code) => {
    expect(codes(given([rowOf(7, { track })]).problems)).toEqual([[code, 7]])
  })

  it('a second row for one drive is an error where it says something else, and a note where it does not', () => {
    const rows = (setup: string) => [
      rowOf(2, { track: 'single.gpx', setup: 'a' }),
      rowOf(3, { track: 'single', setup }),
    ]
    expect(codes(given(rows('b')).problems)).toEqual([['row-repeated', 3]])
    expect(codes(given(rows('a')).problems)).toEqual([['row-said-twice', 3]])
  })
})

describe('fuel of several drives', () => {
  const row = rowOf(2, { track: 'day.gpx', fuelLitres: 9, fillGroup: 'x', payloadKg: 50 })

  it('belongs to none of them alone, but what they carried does', () => {
    const one = withoutFuel(row)
    expect([one.fuelLitres, one.fillGroup, one.payloadKg]).toEqual([Number.NaN, null, 50])
  })

  it('is in doubt from one part in a hundred of other driving on', () => {
    const doubt = (otherM: number) => doubtfulFuel(row, { track: 'day.gpx', otherM, driveM: 99_000 })
    expect(doubt(900)).toBeNull()
    expect(doubt(1100)).toMatchObject({ code: 'fuel-of-other-driving', severity: 'warning' })
    expect(doubtfulFuel(rowOf(2, { track: 'day.gpx' }), { ...elsewhere[0], otherM: 9e9 })).toBeNull()
  })

  it('has nothing wrong with it where no drive has fuel of its own', () => {
    expect(fuelProblem(row, [1, 2], drives(), [], elsewhere[0])).toBeNull()
  })
})

describe('the driver’s own note of the weather', () => {
  it('is a station of that drive alone, at its middle, without a place', () => {
    const series = noteSeries('run-1', rowOf(2, { temperatureK: 293.15, windSpeedMps: 3 }), 1000, 'runs.csv')
    expect(series).toMatchObject({ onlyForRun: 'run-1', files: ['runs.csv'], time: Float64Array.of(1000) })
    expect(series?.station).toMatchObject({ onRoad: true, quality: 'note', latitude: Number.NaN })
    expect([series?.temperatureK[0], series?.windSpeedMps[0], series?.windFromDeg[0]]).toEqual([293.15, 3, Number.NaN])
  })

  it('is none where nothing but a direction is noted', () => {
    expect(noteSeries('run-1', rowOf(2, { windFromDeg: 90 }), 1000, 'runs.csv')).toBeNull()
  })
})

describe('photos', () => {
  const file = (path: string, kind: MappedFile['kind']): MappedFile => ({
    path,
    kind,
    sha256: '',
    problems: [],
    notes: [],
    tracks: [],
    text: null,
  })
  const files = [file('photos/Mirror.JPG', 'picture'), file('stray.png', 'picture'), file('a.gpx', 'gpx')]

  it('are found by path or name in any case; those that are missing are told', () => {
    const rows = [
      rowOf(2, { photo: 'mirror.jpg' }),
      rowOf(3, { photo: '.\\photos\\mirror.jpg' }),
      rowOf(4, { photo: 'gone.jpg' }),
      rowOf(5, { photo: 'https://example.org/a.jpg' }),
    ]
    const problems = missingPhotos(rows, 'runs.csv', files)
    expect(problems.map(({ code, file, line }) => [code, file, line])).toEqual([['photo-not-found', 'runs.csv', 4]])
  })
})
