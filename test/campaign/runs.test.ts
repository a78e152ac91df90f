import { describe, expect, it } from 'vitest'
import { motionsIn } from '../../src/campaign/load/drive-source.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { slugsOf } from '../../src/campaign/load/run-ids.ts'
import { NOTHING_SAID, runsOf } from '../../src/campaign/load/runs.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'
import { straightTrack } from '../cli/command.ts'
import { inputFile } from './folder.ts'

describe('run ids', () => {
  it.each([
    [['tracks/Montag früh.gpx'], ['montag-fruh']],
    [
      ['a.gpx', 'b/a.gpx'],
      ['a', 'b-a'],
    ],
    [
      ['a.gpx#1', 'a.gpx#2'],
      ['a-1', 'a-2'],
    ],
    [
      ['a.gpx.gz', 'a.kml'],
      ['a', 'a-2'],
    ],
    [['🚗.gpx'], ['run']],
    [['../x.gpx'], ['x']],
    [['走行 1.gpx'], ['走行-1']],
    // Names of devices on Windows: Microsoft, "Naming Files, Paths, and Namespaces".
    [
      ['con.gpx', 'COM1.gpx', 'console.gpx'],
      ['run-con', 'run-com1', 'console'],
    ],
  ])('%j become %j', (tracks, ids) => {
    expect(slugsOf(tracks)).toEqual(ids)
  })
})

describe('rows of runs.csv', () => {
  const files = ['x.gpx', 'sub/x.gpx', 'sub/X.gpx', 'sub/y.gpx'].map((path, i) =>
    mapFile(inputFile(path, straightTrack(`2024-05-03T08:${10 + 10 * i}:00Z`))),
  )
  const rowed = (name: string) => {
    const { rows } = readRunsTable(`track,setup\n${name},a\n`).value!
    const { runs, problems } = runsOf(files, { ...NOTHING_SAID, rows, runsFile: 'runs.csv' }, motionsIn(files))
    return {
      tracks: runs.filter((run) => run.row !== null).map((run) => run.track),
      codes: problems.map(({ code }) => code).filter((code) => code.startsWith('row-')),
    }
  }

  it('keep the name of a copy that they use', () => {
    const track = straightTrack('2024-05-03T08:10:00Z')
    const copies = ['a copy.gpx', 'monday.gpx'].map((path) => mapFile(inputFile(path, track)))
    const { rows } = readRunsTable('track,setup\nmonday.gpx,a\n').value!
    const { runs, problems } = runsOf(copies, { ...NOTHING_SAID, rows, runsFile: 'runs.csv' }, motionsIn(copies))
    expect(runs.map((run) => [run.track, run.row?.setup])).toEqual([['monday.gpx', 'a']])
    expect(problems.map(({ code, file }) => [code, file])).toEqual([['duplicate-run', 'a copy.gpx']])
  })

  it.each([
    ['the exact path before a file of that name in a folder', 'x.gpx', ['x.gpx'], []],
    ['its case decides', 'sub/X.gpx', ['sub/X.gpx'], []],
    ['a file name alone', 'y.gpx', ['sub/y.gpx'], []],
    ['a name without its extension that several have', 'x', [], ['row-ambiguous']],
    ['a path from a spreadsheet’s folder', './sub/y.gpx', ['sub/y.gpx'], []],
    ['nobody', 'z.gpx', [], ['row-without-track']],
  ])('%s', (_, name, tracks, codes) => {
    expect(rowed(name)).toEqual({ tracks, codes })
  })
})

describe('a recording without a drive', () => {
  // 22 m a minute for a quarter of an hour.
  const slow = Array.from({ length: 16 }, (_, i) => {
    const time = `2024-05-03T08:${String(i).padStart(2, '0')}:00Z`
    return `<trkpt lat="${(47 + i * 0.0002).toFixed(4)}" lon="8"><time>${time}</time></trkpt>`
  })
  const text = `<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>${slow.join('')}</trkseg></trk></gpx>`
  const files = [mapFile(inputFile('slow.gpx', text))]

  it('is named', () => {
    const { runs, problems } = runsOf(files, NOTHING_SAID, motionsIn(files))
    expect(runs).toEqual([])
    expect(problems.map(({ code, file }) => [code, file])).toContainEqual(['no-drive-found', 'slow.gpx'])
  })

  it('is one drive where its row says so', () => {
    const { rows } = readRunsTable('track,split\nslow.gpx,no\n').value!
    const { runs } = runsOf(files, { ...NOTHING_SAID, rows, runsFile: 'runs.csv' }, motionsIn(files))
    expect(runs.map(({ track }) => track)).toEqual(['slow.gpx'])
  })
})
