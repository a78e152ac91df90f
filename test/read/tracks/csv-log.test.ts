import { readFileSync } from 'node:fs'
import { gunzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { kindOf } from '../../../src/read/kind.ts'
import { angleOf } from '../../../src/read/tracks/csv-log/position.ts'
import { readCsvLog } from '../../../src/read/tracks/csv-log/read.ts'
import type { TrackColumns } from '../../../src/read/types.ts'

/** MIT licence; see test/data/logged-drive/SOURCE.md. */
const LOG = gunzipSync(readFileSync(new URL('../../data/logged-drive/Log.csv.gz', import.meta.url))).toString()

const one = (text: string): TrackColumns => {
  const track = readCsvLog(text).value?.tracks[0]
  if (!track) throw new Error(JSON.stringify(readCsvLog(text).problems))
  return track
}
const codes = (text: string): string[] => readCsvLog(text).problems.map(({ code }) => code)

describe('a real log of a battery car', () => {
  const track = one(LOG)

  it('is told from a weather table, from runs.csv and from anything else', () => {
    expect(kindOf(LOG)).toBe('csv-log')
    expect(kindOf('track,setup\na.gpx,x\n')).toBe('runs-table')
    expect(kindOf('time,lat,lon,station,temperature_c\n2024-05-01T00:00Z,1,2,A,12\n')).toBe('observation-table')
    // A fuel log with the place of each fill.
    const fills = '2026-05-01,48,11,30.1,100\n2026-05-02,49,12,9.2,200\n2026-05-03,50,13,9.3,300\n'
    expect(kindOf(`date,lat,lon,litres,odometer (km)\n${fills}`)).not.toBe('csv-log')
    const places = ['1,2', '3,4', '5,6', '7,8', '1,2', '3,4'].map(
      (place, i) => `2024-05-01T0${i >> 2}:00Z,${place},12\n`,
    )
    expect(kindOf(`time,lat,lon,temperature_c\n${places.join('')}`)).toBe('observation-table')
    expect(kindOf(`time,lat,lon,number\n${places.join('')}`)).toBe('csv-log')
  })

  it('has the times of its epoch column, which are its local times by the zone of its place', () => {
    expect(track.time.length).toBe(964)
    // 29 June 2025 21:09:36 Pacific Daylight Time (UTC−7), as its first column and SOURCE.md say.
    expect(Math.floor(track.time[0])).toBe(Date.UTC(2025, 5, 30, 4, 9, 36) / 1000)
  })

  it('has degrees of degrees and minutes, metres of feet, and the units that fit positions and battery', () => {
    // By hand: 34 + 11.28809/60, −(117 + 25.75793/60); 1932 ft; 68 mph; 869720 in 1/10000 %; 77.9 °F.
    expect(track.latitude[0]).toBeCloseTo(34.1881348, 7)
    expect(track.longitude[0]).toBeCloseTo(-117.4292988, 7)
    expect(track.elevation[0]).toBeCloseTo(588.8736, 6)
    expect(track.logged.speedMps?.values[0]).toBeCloseTo(68 * 0.44704, 9)
    expect(track.logged.stateOfCharge?.values[0]).toBeCloseTo(0.86972, 9)
    expect(track.logged.stateOfCharge?.name).toBe('SOC')
    expect(track.logged.ambientTemperatureK?.values[0]).toBeCloseTo(25.5 + 273.15, 9)
    expect(track.logged.odometerM?.values[0]).toBeCloseTo(82363007.8125, 4)
    expect(codes(LOG).filter((code) => code === 'log-unit-guessed').length).toBe(4)
  })
})

/** A drive due north at 20 m/s, a row a second. */
const rows = (header: string, row: (i: number, latitude: number) => string, count = 120): string =>
  `${header}\n${Array.from({ length: count }, (_, i) => row(i, 48 + (20 * i) / 111_200)).join('\n')}\n`
const START = Date.UTC(2024, 2, 5, 23, 59, 30) / 1000

describe('times of a log', () => {
  const expected = Array.from({ length: 120 }, (_, i) => START + i)
  const iso = (i: number): string => new Date((START + i) * 1000).toISOString()
  const clock = (i: number): string => iso(i).slice(11, 19)
  const day = (i: number): string => iso(i).slice(0, 10)
  it.each([
    ['ISO 8601', 'time,lat,lon', (i: number) => iso(i)],
    ['seconds since 1970', 'timestamp,lat,lon', (i: number) => String(START + i)],
    ['milliseconds since 1970', 'timestamp,lat,lon', (i: number) => String(1000 * (START + i))],
    ['milliseconds since 1970 by their unit', 'Timestamp (ms),lat,lon', (i: number) => String(1000 * (START + i))],
    ['seconds since 1970 by their unit', 'time [s],lat,lon', (i: number) => String(START + i)],
    // A recorder that has been on for 30 days: too short for a date, so the start counts.
    [
      'ms from a start, begun late',
      '# start: 2024-02-04T23:59:30Z\ntime (ms),lat,lon',
      (i: number) => String(1000 * (30 * 86_400 + i)),
    ],
    ['seconds since 1970 with a decimal comma', 'timestamp;lat;lon', (i: number) => `${START + i},0`],
    [
      's from a start with a decimal comma',
      '# start: 2024-03-05T23:59:29.5Z\nelapsed (s);lat;lon',
      (i: number) => `${i},5`,
    ],
    ['a date and a clock', 'date,time utc,lat,lon', (i: number) => `${day(i)},${clock(i)}`],
    [
      'a date with the day first',
      'date utc,time,lat,lon',
      (i: number) => `${day(i).split('-').reverse().join('.')},${clock(i)}`,
    ],
    [
      'one column, month first',
      'time utc (mm/dd/yyyy),lat,lon',
      (i: number) => `${day(i).slice(5, 7)}/${day(i).slice(8)}/2024 ${clock(i)}`,
    ],
    ['ms from a start', '# start: 2024-03-05T23:59:30Z\ntime,lat,lon', (i: number) => String(1000 * i)],
    ['s from a start', '# start time: 2024-03-05T23:59:30Z\nelapsed (s),lat,lon', (i: number) => String(i)],
  ])('%s', (_, header, time) => {
    const separator = header.includes(';') ? ';' : ','
    const track = one(rows(header, (i, lat) => [time(i), lat, 11].join(separator)))
    expect(Array.from(track.time)).toEqual(expected)
    expect(track.zonelessTimes).toBe(0)
  })

  it('without a zone are read as UTC, and told; without a date or a start the log is refused with what was expected', () => {
    const local = rows('date,time,lat,lon', (i, lat) => `${day(i)},${clock(i)},${lat},11`)
    expect(Array.from(one(local).time)).toEqual(expected)
    expect(codes(local)).toContain('time-without-zone')
    // Vienna is an hour ahead of UTC on 5 March, two hours on 5 July (IANA time zone database).
    const vienna = `# time zone: Europe/Vienna\n${local}`
    expect(Array.from(one(vienna).time)).toEqual(expected.map((t) => t - 3600))
    const summer = vienna.replaceAll('2024-03-', '2024-07-')
    expect(one(summer).time[0]).toBe(Date.UTC(2024, 6, 5, 21, 59, 30) / 1000)
    expect(codes(vienna)).toEqual(['time-zone-assumed'])
    const lost = readCsvLog(rows('time,lat,lon', (i, lat) => `${i},${lat},11`))
    expect(lost.value).toBeNull()
    expect(lost.problems.map(({ code, line }) => [code, line])).toEqual([['log-start-unknown', 1]])
  })
})

describe('positions of a log', () => {
  // Forms after ISO 6709:2022 annex D and GPS practice; values by hand.
  it.each([
    ['34.1881348', 34.1881348],
    ['34 11.28809', 34 + 11.28809 / 60],
    ['-117 25.75793', -(117 + 25.75793 / 60)],
    ["34°11.28809'N", 34 + 11.28809 / 60],
    ['34°11\'17.29"S', -(34 + 11 / 60 + 17.29 / 3600)],
    ['W 117 25 45.5', -(117 + 25 / 60 + 45.5 / 3600)],
    ['117.4293 W', -117.4293],
    ['34 61.5', Number.NaN],
    ['north', Number.NaN],
  ])('%s', (written, degrees) => {
    if (Number.isNaN(degrees)) expect(angleOf(written)).toBeNaN()
    else expect(angleOf(written)).toBeCloseTo(degrees, 12)
  })

  it('whole columns of degrees and minutes without a blank, and of ten-millionths', () => {
    const minutes = rows(
      'time,lat,n/s,lon,e/w',
      (i, lat) => `${START + i},${(4800 + 60 * (lat - 48)).toFixed(5)},S,01125.5,W`,
    )
    expect(one(minutes).latitude[30]).toBeCloseTo(-(48 + 600 / 111_200), 6)
    expect(one(minutes).longitude[0]).toBeCloseTo(-(11 + 25.5 / 60), 9)
    const e7 = rows('time,lat,lon', (i, lat) => `${START + i},${Math.round(lat * 1e7)},${11e7}`)
    expect(one(e7).latitude[30]).toBeCloseTo(48 + 600 / 111_200, 6)
    expect(one(e7).longitude[0]).toBe(11)
  })
})

describe('positions of a log that are not all degrees', () => {
  const log = (place: (i: number, latitude: number) => string): string =>
    rows('time,lat,lon', (i, lat) => `${START + i},${place(i, lat)}`)

  it.each([
    // 91° north, 181° east stand for "not available" in ITU-R M.1371; 2^31 − 1 ten-millionths is an empty field of 32 bits.
    ['91 and 181', '91.0,181.0'],
    ['214.7483647', '214.7483647,214.7483647'],
    ['0 and 0', '0,0'],
  ])('rows of %s leave all others as they are', (_, nowhere) => {
    const track = one(log((i, lat) => (i % 10 === 3 ? nowhere : `${lat},11.5`)))
    expect(track.latitude[30]).toBeCloseTo(48 + 600 / 111_200, 9)
    expect(track.longitude[30]).toBe(11.5)
  })

  it('longitudes from 0 to 360 are those from -180 to 180', () => {
    expect(one(log((_, lat) => `${lat},242.5`)).longitude[5]).toBe(-117.5)
  })

  it('degrees and minutes near the Equator are told by the longitude', () => {
    // Nairobi, 1°17′ S 36°49′ E, and a place 0°20′ north of the Equator.
    expect(one(log(() => '-117.5,3649.0')).latitude[0]).toBeCloseTo(-(1 + 17.5 / 60), 9)
    expect(one(log(() => '20.5,3232.0')).latitude[0]).toBeCloseTo(20.5 / 60, 9)
  })

  it('latitude and longitude that are exchanged are refused with line, what was found and what was expected', () => {
    const { value, problems } = readCsvLog(log((_, lat) => `-117.5,${lat}`))
    expect(value).toBeNull()
    expect(problems.map(({ code, line }) => [code, line])).toEqual([['log-places-exchanged', 1]])
    expect(problems[0].message).toContain('found -117.5 in the column "lat", expected degrees north from -90 to 90')
  })
})

describe('units of a log', () => {
  it.each([
    ['km/h', 72],
    ['mph', 20 / 0.44704],
    ['knots', 20 / 0.514444],
    ['m/s', 20],
  ])('a speed without a unit is read in %s where that fits the positions', (unit, speed) => {
    const text = rows('time,lat,lon,speed', (i, lat) => `${START + i},${lat},11,${speed}`)
    expect(one(text).logged.speedMps?.values[0]).toBeCloseTo(20, 3)
    expect(
      readCsvLog(text)
        .problems.map(({ message }) => message)
        .join(),
    ).toContain(`read in ${unit}:`)
  })

  it('a speed in no unit is not used, and told', () => {
    const text = rows('time,lat,lon,speed', (i, lat) => `${START + i},${lat},11,7`)
    expect(one(text).logged.speedMps).toBeUndefined()
    expect(codes(text)).toEqual(['log-unit-missing'])
  })

  it('stand in names in brackets, behind an underscore, in other words', () => {
    const header =
      'Timestamp;GPS Latitude;GPS Longitude;speed_kmh;Fuel flow rate (g/s);MAF [g/s];HV Battery Current (A);outside_temp_c;ODO mi'
    const track = one(
      rows(header, (i, lat) => `${START + i};${String(lat).replace('.', ',')};11,5;72,0;0,7;10;-12;21;1000`),
    )
    // By the factors of NIST SP 811.
    expect(track.longitude[0]).toBe(11.5)
    expect(track.logged.speedMps?.values[0]).toBeCloseTo(20, 12)
    expect(track.logged.fuelRateKgps?.values[0]).toBeCloseTo(0.0007, 12)
    expect(track.logged.massAirFlowKgps?.values[0]).toBeCloseTo(0.01, 12)
    expect(track.logged.batteryCurrentA?.values[0]).toBe(-12)
    expect(track.logged.ambientTemperatureK?.values[0]).toBeCloseTo(294.15, 9)
    expect(track.logged.odometerM?.values[0]).toBeCloseTo(1_609_344, 6)
  })
})

describe('names in other languages', () => {
  it.each([
    'Zeitstempel;Breitengrad;Längengrad;Höhe (m);Geschwindigkeit (km/h)',
    'fecha;latitud;longitud;altitud (m);velocidad (km/h)',
    'heure;latitude;longitude;altitude (m);vitesse (km/h)',
  ])('%s', (header) => {
    const text = rows(header, (i, lat) => `${new Date((START + i) * 1000).toISOString()};${lat};11,5;250;72`)
    expect(kindOf(text)).toBe('csv-log')
    const track = one(text)
    expect([track.time[0], track.longitude[0], track.elevation[0]]).toEqual([START, 11.5, 250])
    expect(track.logged.speedMps?.values[0]).toBeCloseTo(20, 12)
  })
})

describe('damaged logs', () => {
  it('cells of garbage are counted with the first line, and lose nothing else', () => {
    const text = rows(
      'time,lat,lon,speed (km/h)',
      (i, lat) => `${START + i},${i === 50 ? 'x' : lat},11,${i > 99 ? '<b>' : 72}`,
    )
    const { problems } = readCsvLog(text)
    expect(problems.map(({ code, line }) => [code, line])).toEqual([
      ['log-cell-unreadable', 52],
      ['log-cell-unreadable', 102],
    ])
    expect(one(text).time.length).toBe(120)
    expect(one(text).logged.speedMps?.values[99]).toBeCloseTo(20, 12)
  })

  it('a log of several pieces names the lines of the whole file', () => {
    const text = rows(
      'time,lat,lon,note',
      (i, lat) => `${START + i},${i === 30_000 ? '?x' : lat},11,${'n'.repeat(60)}`,
      30_100,
    )
    expect(text.length).toBeGreaterThan(2_000_000)
    expect(one(text).time.length).toBe(30_100)
    expect(readCsvLog(text).problems.find(({ code }) => code === 'log-cell-unreadable')?.line).toBe(30_002)
  })
})
