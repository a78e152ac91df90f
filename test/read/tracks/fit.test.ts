import { FitWriter } from '@markw65/fit-file-writer'
import FitParser from 'fit-file-parser'
import { describe, expect, it } from 'vitest'
import { mapFile } from '../../../src/campaign/load/map-file.ts'
import { decodeFit, isFit } from '../../../src/read/tracks/fit/decode.ts'
import { readFit } from '../../../src/read/tracks/fit/read.ts'

const START = Date.UTC(2024, 4, 3, 8) / 1000
const COUNT = 200
const at = (i: number) => ({
  time: START + i,
  latitude: 48 + (15 * i) / 111_200,
  longitude: -11.5,
  altitude: 512.4,
  speed: 15,
  distance: 15 * i,
  power: 180 + (i % 7),
})

/** Written by @markw65/fit-file-writer (MIT), independent of the reader. */
function written(): Uint8Array {
  const writer = new FitWriter()
  const time = (s: number) => writer.time(new Date(s * 1000))
  writer.writeMessage(
    'file_id',
    { type: 'activity', manufacturer: 'development', product: 0, serial_number: 7, time_created: time(START) },
    null,
    true,
  )
  for (let i = 0; i < COUNT; i++) {
    const { time: t, latitude, longitude, altitude, speed, distance, power } = at(i)
    const position = {
      position_lat: writer.latlng((latitude * Math.PI) / 180),
      position_long: writer.latlng((longitude * Math.PI) / 180),
    }
    writer.writeMessage(
      'record',
      { timestamp: time(t), ...position, altitude, speed, distance, power },
      null,
      i === COUNT - 1,
    )
  }
  const { buffer, byteOffset, byteLength } = writer.finish()
  return new Uint8Array(buffer.slice(byteOffset, byteOffset + byteLength) as ArrayBuffer)
}
const FILE = written()

describe('a FIT file of an independent writer', () => {
  it('is told by its bytes and gives what was written, to the steps of the format', () => {
    expect(isFit(FILE)).toBe(true)
    const { value, problems } = readFit(FILE)
    expect(problems).toEqual([])
    const track = value!.tracks[0]
    expect(track.time.length).toBe(COUNT)
    for (const i of [0, 77, COUNT - 1]) {
      const want = at(i)
      expect(track.time[i]).toBe(want.time)
      expect(track.latitude[i]).toBeCloseTo(want.latitude, 6)
      expect(track.longitude[i]).toBeCloseTo(want.longitude, 6)
      expect(track.elevation[i]).toBeCloseTo(want.altitude, 1)
      expect(track.logged.speedMps?.values[i]).toBeCloseTo(want.speed, 3)
      expect(track.logged.odometerM?.values[i]).toBeCloseTo(want.distance, 2)
      expect(track.logged.powerW?.values[i]).toBe(want.power)
    }
  })

  it('is read as by fit-file-parser (MIT), an independent reader', async () => {
    const parser = new FitParser({ force: true, speedUnit: 'm/s', lengthUnit: 'm', mode: 'list' })
    const parsed = await new Promise<{ records: Record<string, number | Date>[] }>((done, fail) => {
      parser.parse(FILE.buffer as ArrayBuffer, (error: unknown, data: unknown) =>
        error ? fail(error) : done(data as { records: Record<string, number | Date>[] }),
      )
    })
    const track = readFit(FILE).value!.tracks[0]
    expect(parsed.records.length).toBe(track.time.length)
    for (const [i, record] of parsed.records.entries()) {
      expect(track.time[i]).toBe(new Date(record.timestamp).getTime() / 1000)
      expect(track.latitude[i]).toBeCloseTo(record.position_lat as number, 9)
      expect(track.longitude[i]).toBeCloseTo(record.position_long as number, 9)
      expect(track.logged.speedMps?.values[i]).toBeCloseTo(record.speed as number, 6)
    }
  })

  it('becomes a drive in the map step', () => {
    const mapped = mapFile({ path: 'ride.fit', bytes: FILE, sha256: 'x' })
    expect(mapped.kind).toBe('fit')
    // 199 steps of 15 m, to what the smoother allows at the ends.
    expect(mapped.tracks[0].drive?.summary.distanceM).toBeGreaterThan(0.99 * 199 * 15)
    expect(mapped.tracks[0].drive?.summary.distanceM).toBeLessThan(1.01 * 199 * 15)
  })
})

describe('damaged FIT files', () => {
  it('cut off anywhere: never throw, keep what stands before, say so', () => {
    for (let end = 0; end < FILE.length; end += 7) {
      const { value, problems } = readFit(FILE.slice(0, end))
      expect(problems.some(({ code }) => code === 'fit-damaged' || code === 'no-tracks')).toBe(true)
      if (value === null) expect(problems.some(({ severity }) => severity === 'error')).toBe(true)
    }
    const half = readFit(FILE.slice(0, FILE.length >> 1))
    expect(half.value!.tracks[0].time.length).toBeGreaterThan(90)
    expect(half.problems.map(({ code, severity }) => [code, severity])).toEqual([['fit-damaged', 'warning']])
  })

  it('with a wrong checksum is read with a warning', () => {
    const wrong = FILE.slice()
    wrong[wrong.length - 1] ^= 0x5a
    expect(readFit(wrong).problems.map(({ code }) => code)).toEqual(['fit-checksum'])
    expect(readFit(wrong).value!.tracks[0].time.length).toBe(COUNT)
  })

  it('with any byte spoilt never throws', () => {
    for (let i = 0; i < FILE.length; i += 3) {
      const spoilt = FILE.slice()
      spoilt[i] ^= 0xff
      expect(() => readFit(spoilt)).not.toThrow()
    }
  })

  it('a compressed timestamp counts on from the last whole one', () => {
    // By hand: header, definition of record (20) with timestamp and nothing else, a whole time, then offsets.
    const data = [
      0x40,
      0,
      0,
      20,
      0,
      1,
      253,
      4,
      134,
      0x00,
      0xe0,
      0xff,
      0xff,
      0x3a,
      0x41,
      0,
      0,
      20,
      0,
      1,
      7,
      2,
      132,
      0x80 | (1 << 5) | 1,
      100,
      0,
    ]
    const header = [12, 16, 0, 0, data.length, 0, 0, 0, ...[...'.FIT'].map((c) => c.charCodeAt(0))]
    const times: number[] = []
    decodeFit(Uint8Array.from([...header, ...data, 0, 0]), { message: (_, fields) => times.push(fields.get(253)!) })
    // 0x3affffe0 has the last five bits 0; an offset of 1 is one second later.
    expect(times).toEqual([0x3affffe0, 0x3affffe1])
  })
})
