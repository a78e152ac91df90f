import { parseNmeaSentence } from 'nmea-simple'
import { describe, expect, it } from 'vitest'
import { kindOf } from '../../../src/read/kind.ts'
import { readNmea } from '../../../src/read/tracks/nmea/read.ts'
import { checksum, readSentence } from '../../../src/read/tracks/nmea/sentence.ts'
import type { TrackColumns } from '../../../src/read/types.ts'

const one = (text: string): TrackColumns => readNmea(text).value!.tracks[0]
const codes = (text: string): string[] => readNmea(text).problems.map(({ code }) => code)
const signed = (body: string): string => `$${body}*${checksum(body).toString(16).toUpperCase().padStart(2, '0')}`
const said = (line: string) => {
  const read = readSentence(line, true)
  if (typeof read === 'string' || 'fault' in read) throw new Error(JSON.stringify(read))
  return read.said
}

/** Example sentences of D. DePriest, "NMEA data", https://www.gpsinformation.org/dale/nmea.htm (from memory), with the values told there. */
const PUBLISHED = {
  RMC: '$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A',
  GGA: '$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47',
  GLL: '$GPGLL,4916.45,N,12311.12,W,225444,A,*1D',
  VTG: '$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*48',
  ZDA: '$GPZDA,201530.00,04,07,2002,00,00*60',
}

describe('published sentences', () => {
  it('say what their source says', () => {
    // 12:35:19 UTC, 48° 07.038′ N, 11° 31.000′ E, 22.4 knots, 23 March 1994; 545.4 m above mean sea level.
    expect(said(PUBLISHED.RMC)).toMatchObject({ secondOfDay: 45_319, day: Date.UTC(1994, 2, 23) / 86_400_000 })
    expect(said(PUBLISHED.RMC).latitude).toBeCloseTo(48 + 7.038 / 60, 9)
    expect(said(PUBLISHED.RMC).speedMps).toBeCloseTo((22.4 * 1852) / 3600, 9)
    expect(said(PUBLISHED.GGA).elevation).toBe(545.4)
    // 49° 16.45′ N, 123° 11.12′ W, 22:54:44.
    expect(said(PUBLISHED.GLL).longitude).toBeCloseTo(-(123 + 11.12 / 60), 9)
    expect(said(PUBLISHED.GLL).secondOfDay).toBe(82_484)
    // 5.5 knots, 10.2 km/h; 4 July 2002, 20:15:30.
    expect(said(PUBLISHED.VTG).speedMps).toBeCloseTo((5.5 * 1852) / 3600, 9)
    expect(said(PUBLISHED.ZDA)).toMatchObject({ secondOfDay: 72_930, day: Date.UTC(2002, 6, 4) / 86_400_000 })
  })

  it('are read as by nmea-simple, an independent parser (MIT)', () => {
    for (const sentence of [
      PUBLISHED.RMC,
      PUBLISHED.GGA,
      signed('GNGNS,014035.00,4332.69262,S,17235.48549,E,RR,13,0.9,25.63,11.24,,'),
    ]) {
      const packet = parseNmeaSentence(sentence) as {
        latitude: number
        longitude: number
        altitudeMeters?: number
        speedKnots?: number
        datetime?: Date
      }
      const own = said(sentence)
      expect(own.latitude).toBeCloseTo(packet.latitude, 9)
      expect(own.longitude).toBeCloseTo(packet.longitude, 9)
      if (packet.altitudeMeters !== undefined) expect(own.elevation).toBe(packet.altitudeMeters)
      if (packet.speedKnots !== undefined) expect(own.speedMps).toBeCloseTo((packet.speedKnots * 1852) / 3600, 9)
    }
  })

  it('are told by content, whatever stands before them', () => {
    expect(kindOf(`${PUBLISHED.GGA}\r\n${PUBLISHED.RMC}\r\n`)).toBe('nmea')
    expect(kindOf(`12:35:19.4 ${PUBLISHED.RMC}\n`)).toBe('nmea')
  })
})

/** A drive east at 20 knots over midnight of 29 February 2024, a fix a second. */
const lines = (talker: string, date: (i: number) => string, from = -30, to = 30): string[] =>
  Array.from({ length: to - from }, (_, k) => {
    const i = from + k
    const s = (86_400 + i) % 86_400
    const two = (n: number) => String(n).padStart(2, '0')
    const clock = `${two(Math.floor(s / 3600))}${two(Math.floor(s / 60) % 60)}${two(s % 60)}.00`
    const lon = `011${(30 + i * 0.01).toFixed(4).padStart(7, '0')}`
    return [
      signed(`${talker}GGA,${clock},4807.0000,N,${lon},E,1,08,0.9,500.0,M,46.9,M,,`),
      ...(date(i) === '' ? [] : [signed(`${talker}RMC,${clock},A,4807.0000,N,${lon},E,20.0,090.0,${date(i)},,`)]),
    ].join('\n')
  })
const MIDNIGHT = Date.UTC(2024, 2, 1) / 1000

describe('the date', () => {
  it('changes over midnight with the sentences that name it, and without', () => {
    const times = Array.from({ length: 60 }, (_, k) => MIDNIGHT - 30 + k)
    expect(Array.from(one(lines('GP', (i) => (i < 0 ? '290224' : '010324')).join('\n')).time)).toEqual(times)
    expect(Array.from(one(lines('GP', (i) => (i === -10 ? '290224' : '')).join('\n')).time)).toEqual(times)
    expect(Array.from(one(lines('GP', (i) => (i === 10 ? '010324' : '')).join('\n')).time)).toEqual(times)
  })

  it('that nobody names is an error; one 1024 weeks too early is named', () => {
    const undated = readNmea(lines('GP', () => '').join('\n'))
    expect(undated.value).toBeNull()
    expect(undated.problems.map(({ code, severity }) => [code, severity])).toEqual([['nmea-date-missing', 'error']])
    // The weeks began anew at the midnights before 22 August 1999 and 7 April 2019 (U.S. Coast Guard Navigation Center).
    const early = lines('GP', () => '220899', 0, 30).join('\n')
    expect(codes(early)).toEqual(['nmea-week-rollover'])
    expect(readNmea(early).problems[0].message).toContain('2019-04-07')
  })
})

describe('several talkers and damaged lines', () => {
  it('positions come from the combined solution, once for each epoch', () => {
    const both = lines('GN', () => '010324', 0).flatMap((line, i) => [line, lines('GL', () => '010324', 0)[i]])
    expect(one(both.join('\n')).time.length).toBe(30)
    expect(codes(both.join('\n'))).toEqual(['nmea-several-talkers'])
  })

  it('any mixture of line ends is read; wrong checksums and cut lines are counted and lose nothing else', () => {
    const good = lines('GP', () => '010324', 0).flatMap((pair) => pair.split('\n'))
    const mixed = good.map((line, i) => line + ['\r\n', '\n', '\r', '\r\r\n'][i % 4]).join('')
    expect(readNmea(mixed).problems).toEqual([])
    expect(one(mixed)).toEqual(one(good.join('\n')))
    const bad = [...good]
    bad[10] = good[10].replace(/\*../, '*00')
    bad[21] = good[21].slice(0, 30)
    const { problems } = readNmea(bad.join('\r\n'))
    expect(problems.map(({ code, line }) => [code, line])).toEqual([
      ['nmea-checksum', 11],
      ['nmea-cut', 22],
    ])
    expect(problems[0].message).toContain(`expected ${/\*../.exec(good[10])?.[0]}`)
    expect(one(bad.join('\r\n')).time.length).toBe(30)
  })

  it('void fixes keep their time and have no position', () => {
    const track = one([signed('GPRMC,000001.00,V,,,,,,,010324,,'), ...lines('GP', () => '010324', 2)].join('\n'))
    expect(track.latitude[0]).toBeNaN()
    expect(track.latitude[1]).toBeCloseTo(48 + 7 / 60, 9)
    expect(track.logged.speedMps?.values[1]).toBeCloseTo((20 * 1852) / 3600, 9)
  })
})
