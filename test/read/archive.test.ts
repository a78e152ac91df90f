import { readFileSync } from 'node:fs'
import { deflateRawSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { fileOfPart, mapParts } from '../../src/campaign/load/map-parts.ts'
import { membersOf } from '../../src/read/archive.ts'
import { inputFile, reportOf } from '../campaign/folder.ts'
import { STEADY_WEATHER, straightTrack } from '../cli/command.ts'

/** A ZIP archive written by hand. @source PKWARE, APPNOTE.TXT 6.3.10, sections 4.3.7, 4.3.12, 4.3.16 */
function zipOf(files: { name: string; text: string; stated?: number; flags?: number }[]): Uint8Array {
  const locals: Buffer[] = []
  const central: Buffer[] = []
  let at = 0
  for (const { name, text, stated, flags = 0 } of files) {
    const plain = Buffer.from(text)
    const packed = deflateRawSync(plain)
    const header = (signature: number, isCentral: boolean): Buffer => {
      const bytes = Buffer.alloc(isCentral ? 46 : 30)
      bytes.writeUInt32LE(signature, 0)
      const shift = isCentral ? 2 : 0
      bytes.writeUInt16LE(20, 4 + shift)
      bytes.writeUInt16LE(flags, 6 + shift)
      bytes.writeUInt16LE(8, 8 + shift)
      bytes.writeUInt32LE(packed.length, 18 + shift)
      bytes.writeUInt32LE(stated ?? plain.length, 22 + shift)
      bytes.writeUInt16LE(name.length, 26 + shift)
      if (isCentral) bytes.writeUInt32LE(at, 42)
      return bytes
    }
    const local = Buffer.concat([header(0x04034b50, false), Buffer.from(name), packed])
    locals.push(local)
    central.push(header(0x02014b50, true), Buffer.from(name))
    at += local.length
  }
  const directory = Buffer.concat(central)
  const end = Buffer.alloc(22)
  end.writeUInt32LE(0x06054b50, 0)
  end.writeUInt16LE(files.length, 10)
  end.writeUInt32LE(directory.length, 12)
  end.writeUInt32LE(at, 16)
  return new Uint8Array(Buffer.concat([...locals, directory, end]))
}

const codes = (problems: { code: string }[]) => problems.map(({ code }) => code)
const map = (path: string, bytes: Uint8Array) => mapParts({ path, bytes, sha256: 'digest' })
const METAR = '2024-05-03 EDDF 030820Z 18005KT 14/09 Q1013'

describe('files in an archive', () => {
  it('are parts of it, each under its own name', async () => {
    const zip = zipOf([
      { name: 'a/reports.txt', text: METAR },
      { name: 'a/', text: '' },
      { name: '__MACOSX/a/._reports.txt', text: 'x' },
      { name: 'a/.DS_Store', text: 'x' },
      { name: 'drive.gpx', text: '<gpx/>' },
    ])
    const parts = await map('w/x.zip', zip)
    expect(parts.map(({ path, kind }) => [path, kind])).toEqual([
      ['w/x.zip#a/reports.txt', 'metar'],
      ['w/x.zip#drive.gpx', 'gpx'],
    ])
    expect(parts.map(({ path }) => fileOfPart(path))).toEqual(['w/x.zip', 'w/x.zip'])
    expect(parts[0].notes[0]).toBe('file in w/x.zip')
  })

  it('of a real one by the German weather service: a table and its metadata', async () => {
    const bytes = new Uint8Array(
      readFileSync(new URL('../data/weather/services/dwd-stundenwerte_FF_akt.zip', import.meta.url)),
    )
    const parts = await map('dwd.zip', bytes)
    expect(parts.map(({ kind }) => kind)).toEqual(['station-list', 'observation-table'])
    expect(parts.flatMap(({ problems }) => problems)).toEqual([])
  })

  it('are drives that rows of runs.csv call by their own names', async () => {
    const zip = zipOf([
      { name: 'days/monday.gpx', text: straightTrack('2024-05-03T08:05:00Z') },
      { name: 'tuesday.gpx', text: straightTrack('2024-05-03T08:35:00Z') },
    ])
    const rows = 'track,setup,fuel_l\nmonday.gpx,bare,0.40\nx.zip#tuesday.gpx,covered,0.38\n'
    const report = await reportOf(
      [inputFile('x.zip', zip), inputFile('air.csv', STEADY_WEATHER), inputFile('runs.csv', rows)],
      { draws: 50 },
    )
    expect(report.runs.map(({ track, setup }) => [track, setup])).toEqual([
      ['x.zip#days/monday.gpx', 'bare'],
      ['x.zip#tuesday.gpx', 'covered'],
    ])
  })

  it('that nobody reads beside one that is read are notes, no errors', async () => {
    const parts = await map(
      'x.zip',
      zipOf([
        { name: 'a.txt', text: METAR },
        { name: 'b.txt', text: 'id,colour\n1,red\n2,blue\n' },
      ]),
    )
    expect(parts[1].problems.map(({ code, severity }) => [code, severity])).toEqual([['unrecognised', 'warning']])
  })

  it('are refused where they unpack to more than a file may have, or to more than they say', async () => {
    const much = 'x'.repeat(2_000_000)
    const lie = membersOf(zipOf([{ name: 'a.txt', text: much, stated: 10 }]))
    expect([lie.value, codes(lie.problems)]).toEqual([null, ['zip-damaged']])
    const boast = membersOf(zipOf([{ name: 'a.txt', text: much, stated: 0x7fffffff }]))
    expect([boast.value, codes(boast.problems)]).toEqual([null, ['file-too-large']])
    const bomb = zipOf(Array.from({ length: 150 }, (_, i) => ({ name: `${i}.txt`, text: much })))
    expect(codes(membersOf(bomb).problems)).toEqual(['file-too-large'])
  })

  it('of more than a thousand files are not looked through', () => {
    const zip = zipOf(Array.from({ length: 1001 }, (_, i) => ({ name: `${i}.txt`, text: '' })))
    expect(codes(membersOf(zip).problems)).toEqual(['file-too-large'])
  })

  it('that need a password, are cut off or hold nothing are told', async () => {
    const sound = zipOf([{ name: 'a.txt', text: METAR }])
    expect(codes(membersOf(zipOf([{ name: 'a.txt', text: METAR, flags: 1 }])).problems)).toEqual(['zip-encrypted'])
    expect(codes((await map('x.zip', sound.subarray(0, sound.length - 30)))[0].problems)).toEqual(['zip-damaged'])
    expect(codes((await map('x.zip', zipOf([{ name: 'a/', text: '' }])))[0].problems)).toEqual(['empty-file'])
  })

  it('never make it throw, wherever the archive is cut or changed', async () => {
    const sound = zipOf([
      { name: 'a.txt', text: METAR },
      { name: 'b/c.csv', text: 'time,temperature_c\n2024-05-03T08:00Z,14\n' },
    ])
    for (let at = 4; at < sound.length; at++) {
      const changed = sound.slice()
      changed[at] ^= 0xff
      for (const bytes of [sound.subarray(0, at), changed]) {
        const parts = await map('x.zip', bytes)
        expect(parts.length).toBeGreaterThan(0)
      }
    }
  })

  it('packed under a name that says nothing of it are refused as before', async () => {
    const [part] = await map('x.dat', zipOf([{ name: 'a.txt', text: METAR }]))
    expect(codes(part.problems)).toEqual(['zip-archive'])
  })
})
