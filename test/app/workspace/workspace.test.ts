import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { GivenFile } from '../../../src/app/compute/compute.ts'
import { type DriveOfTable, mergeDrives, splitDrive, withCells } from '../../../src/app/edit/drive-edits.ts'
import { openTable, withChanges } from '../../../src/app/edit/table-text.ts'
import { packedTrack, unpackedTrack } from '../../../src/app/sample/packed-track.ts'
import { BEGINNING, redone, undone, withStep } from '../../../src/app/workspace/history.ts'
import { listed } from '../../../src/app/workspace/listing.ts'
import { EMPTY, freePath, withFiles, withoutFiles } from '../../../src/app/workspace/workspace.ts'
import { listText } from '../../../src/report/report-list.ts'

const given = (files: Record<string, string>): GivenFile[] =>
  Object.entries(files).map(([path, text]) => ({ path, content: new Blob([text]) }))
const paths = (files: readonly GivenFile[]): string[] => files.map(({ path }) => path)

describe('what is listed', () => {
  it('of a folder: without its name, hidden files, unfinished copies and a report, each told of as by the command line', async () => {
    const list = listText(new Map([['report.json', { sizeBytes: 2, sha256: '0'.repeat(64) }]]))
    const files = given({
      'my-test/a.gpx': 'x',
      'my-test/sub/b.gpx': 'x',
      'my-test/.hidden/c.gpx': 'x',
      'my-test/d.gpx.part': 'x',
      'my-test/out/.ceteris-report.json': list,
      'my-test/out/report.json': '{}',
      'my-test/out/mine.gpx': 'x',
      'my-test/report/e.gpx': 'x',
    })
    const found = await listed(files, true)
    expect(found.folderName).toBe('my-test')
    // A folder is a report's by its list, not by its name.
    expect(paths(found.files)).toEqual(['a.gpx', 'sub/b.gpx', 'report/e.gpx'])
    expect(found.problems.map(({ code, file, severity }) => [code, file, severity])).toEqual([
      ['beside-report', 'out', 'warning'],
      ['file-unfinished', 'd.gpx.part', 'note'],
    ])
  })

  it('of loose files: a flat folder without a name', async () => {
    const found = await listed(given({ 'a.gpx': 'x', 'b.csv': 'x' }), false)
    expect([found.folderName, ...paths(found.files)]).toEqual([null, 'a.gpx', 'b.csv'])
  })
})

describe('the workspace and its history', () => {
  it('a file of the same path takes the place of the other; free names are numbered', () => {
    const one = withFiles(EMPTY, given({ 'b.gpx': '1', 'a.gpx': '1' }))
    const two = withFiles(one, given({ 'b.gpx': '2' }))
    expect(paths(two.files)).toEqual(['a.gpx', 'b.gpx'])
    expect(two.files[0].content).toBe(one.files[0].content)
    expect(two.files[1].content).not.toBe(one.files[1].content)
    expect([freePath(two, 'a.gpx'), freePath(two, 'c.gpx')]).toEqual(['a-2.gpx', 'c.gpx'])
    expect(paths(withoutFiles(two, ['a.gpx']).files)).toEqual(['b.gpx'])
  })

  it('every step can be taken back and done again; a new one forgets what was taken back', () => {
    const [a, b, c] = ['a', 'b', 'c'].map((name) => withFiles(EMPTY, given({ [name]: '' })))
    const done = withStep(withStep(BEGINNING, a, 'a'), b, 'b')
    expect(undone(done).now.workspace).toBe(a)
    expect(redone(undone(done))).toEqual(done)
    expect(undone(undone(undone(done))).now.workspace).toBe(EMPTY)
    expect(withStep(undone(done), c, 'c').future).toEqual([])
  })
})

describe('drives split and put together', () => {
  const TABLE =
    'track,setup,fuel_l,odometer_km,trip_computer_l_per_100km,note\nday.gpx@0900,bare,4.1,50,,calm\nday.gpx@1000,bare,4.25,51,8.1,\n'
  const drive = (line: number | null, start: string, end: string, ends: Partial<DriveOfTable> = {}): DriveOfTable => ({
    track: `day.gpx@${start.replace(':', '')}`,
    recording: 'day.gpx',
    startTime: Date.parse(`2026-05-12T${start}Z`) / 1000,
    endTime: Date.parse(`2026-05-12T${end}Z`) / 1000,
    isFirst: false,
    isLast: false,
    line,
    ...ends,
  })
  const first = drive(2, '09:00', '09:50', { isFirst: true })
  const second = drive(3, '10:00', '10:55')
  const table = openTable(TABLE)!

  it('split: what was measured over the whole is of neither part, and the ends of the recording are left open', () => {
    const text = withChanges(table, splitDrive(table, first, Date.parse('2026-05-12T09:20Z') / 1000))
    expect(text.split('\n').slice(0, 3)).toEqual([
      'track,setup,fuel_l,odometer_km,trip_computer_l_per_100km,to,from,note',
      'day.gpx,bare,,,,2026-05-12T09:20:00Z,,"calm; before the split: fuel_l 4.1, odometer_km 50"',
      'day.gpx,bare,,,,2026-05-12T09:50:00Z,2026-05-12T09:20:00Z,"calm; before the split: fuel_l 4.1, odometer_km 50"',
    ])
  })

  it('put together: amounts add up, and what does not goes into the note', () => {
    const text = withChanges(table, mergeDrives(table, first, second))
    const [header, row, ...others] = text.trimEnd().split('\n')
    const cells = Object.fromEntries(header.split(',').map((name, i) => [name, row.split(',')[i]]))
    expect(cells).toMatchObject({
      track: 'day.gpx',
      setup: 'bare',
      fuel_l: '8.35',
      odometer_km: '101',
      to: '2026-05-12T10:55:00Z',
    })
    expect(row).toContain('calm; before they were put together: trip_computer_l_per_100km not known and 8.1')
    expect(others).toEqual([])
  })

  it('a drive without a row gets one; a name that a spreadsheet takes for a formula is written otherwise', () => {
    expect(withCells({ ...first, track: '=a.gpx', line: null }, { exclude: 'wet' })).toEqual([
      { kind: 'add-row', behind: null, cells: { track: './=a.gpx', exclude: 'wet' } },
    ])
  })
})

describe('tracks of the sample', () => {
  it('come back letter for letter from a quarter of what deflate needs', () => {
    const text = readFileSync('samples/ladder-van/tracks/2026-04-16-bars.gpx', 'utf8')
    const packed = packedTrack(text)!
    expect(unpackedTrack(packed)).toBe(text)
    expect(packed.length).toBeLessThan(text.length / 10)
  })

  it('are not packed where they are written otherwise', () => {
    expect(packedTrack('<gpx/>')).toBeNull()
    expect(
      packedTrack('<trkpt lat="1.0000000" lon="1.0000000"><ele>1.0</ele><time>2026-04-14T05:50:00.5Z</time></trkpt>'),
    ).toBeNull()
  })
})
