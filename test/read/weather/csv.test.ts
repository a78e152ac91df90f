import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { Observations } from '../../../src/read/types.ts'
import { observationTableReader, readObservationTable } from '../../../src/read/weather/csv.ts'

const CONTEXT = { timeZone: null, fileName: 'weather.csv' }
const read = (text: string, timeZone: string | null = null) => readObservationTable(text, { ...CONTEXT, timeZone })
const codes = (text: string, timeZone: string | null = null) =>
  read(text, timeZone).problems.map(({ code, line }) => [code, line])
const iso = (observations: Observations | null) =>
  [...(observations?.time ?? [])].map((seconds) => new Date(seconds * 1000).toISOString().slice(0, 16))

it('a cell in percent stands in a column of humidity without a unit, as spreadsheets show shares', () => {
  const { value, problems } = read('time,humidity,temperature_c\n2026-04-14T07:00Z,86%,8\n2026-04-14T08:00Z,80 %,8\n')
  expect(problems.filter(({ severity }) => severity !== 'note')).toEqual([])
  expect([...(value?.relativeHumidity ?? [])]).toEqual([0.86, 0.8])
})

describe('columns', () => {
  const FULL = [
    'time,station,lat,lon,elevation_m,anemometer_height_m,temperature_c,dew_point_c,relative_humidity_pct,station_pressure_hpa,sea_level_pressure_hpa,altimeter_inhg,wind_speed_kmh,wind_from_deg,wind_gust_kmh,precipitation_mm,road_wet',
    '2021-04-26T12:00:00+02:00,mast,48.1,11.5,520,10,15.5,5,50,950.5,1013,29.92,18,270,36,0.2,wet',
  ].join('\n')

  it('reads every column of the documented table into SI units', () => {
    const { value, problems } = read(FULL)
    expect(problems).toEqual([])
    expect(value?.stations).toEqual([
      {
        id: 'mast',
        latitude: 48.1,
        longitude: 11.5,
        elevationM: 520,
        anemometerHeightM: 10,
        onRoad: false,
        quality: 'instrument',
      },
    ])
    expect(iso(value)).toEqual(['2021-04-26T10:00'])
    const row = Object.fromEntries(
      Object.entries(value!).flatMap(([name, column]) => (column instanceof Float64Array ? [[name, column[0]]] : [])),
    )
    expect(row).toMatchObject({
      relativeHumidity: 0.5,
      windSpeedMps: 5,
      windFromDeg: 270,
      windGustMps: 10,
      precipitationMm: 0.2,
      roadWet: 1,
    })
    expect(row.temperatureK).toBeCloseTo(288.65, 9)
    expect(row.dewPointK).toBeCloseTo(278.15, 9)
    expect(row.stationPressurePa).toBeCloseTo(95050, 6)
    expect(row.seaLevelPressurePa).toBeCloseTo(101300, 6)
    // 29.92 inHg = 1013.2075 hPa (published).
    expect(Math.abs(row.altimeterPa - 101320.75)).toBeLessThan(0.005)
  })

  it.each([
    ['short forms', 'time,temp_c,rh_pct,wind_ms,wind_dir_deg\n2021-04-26T10:00Z,15.5,50,5,270'],
    [
      'CF standard names in their canonical units',
      'time,air_temperature,relative_humidity,wind_speed,wind_from_direction\n2021-04-26T10:00Z,288.65,0.5,5,270',
    ],
    [
      'CF standard names with a unit',
      'time,air_temperature_c,relative_humidity_pct,wind_speed_kmh,wind_from_direction\n2021-04-26T10:00Z,15.5,50,18,270',
    ],
    [
      'semicolons and decimal commas',
      'Time;Temperature_C;RH pct;Wind-speed m/s;wind_ms;wind_dir_deg\n2021-04-26T10:00Z;15,5;50;;5,0;270',
    ],
    ['tabs', 'time\ttemp_c\trh_pct\twind_kt\twind_dir_deg\n2021-04-26 10:00Z\t15.5\t50\t9.719222462203024\t270'],
    [
      'date and time apart',
      'date,time_utc,temp_f,rh_pct,wind_mph,wind_dir_deg\n2021-04-26,10:00:00,59.9,50,11.18468146027201,270',
    ],
  ])('knows %s', (_, text) => {
    const { value } = read(text)
    expect(iso(value)).toEqual(['2021-04-26T10:00'])
    expect(value?.temperatureK[0]).toBeCloseTo(288.65, 9)
    expect(value?.relativeHumidity[0]).toBeCloseTo(0.5, 12)
    expect(value?.windSpeedMps[0]).toBeCloseTo(5, 12)
    expect(value?.windFromDeg[0]).toBe(270)
  })

  it('names unknown columns in a note and goes on', () => {
    const { value, problems } = read('time,temperature_c,visibility_m,mood\n2021-04-26T10:00Z,15,9999,good')
    expect(value?.count).toBe(1)
    expect(problems).toHaveLength(1)
    expect(problems[0]).toMatchObject({ code: 'weather-column-unknown', severity: 'note', line: 1 })
    expect(problems[0].message).toContain('visibility_m, mood')
  })

  it.each([
    ['no unit', 'temperature', '_c'],
    ['an unknown unit', 'temperature_reaumur', '_c'],
    ['an unknown unit of speed', 'wind_gust_furlongs', '_mps'],
    ['no kind of pressure', 'pressure_hpa', 'station_pressure_hpa'],
  ])('says what is missing from a name with %s', (_, name, hint) => {
    const { problems } = read(`time,rh_pct,${name}\n2021-04-26T10:00Z,50,15`)
    expect(problems.map(({ code, line, severity }) => [code, line, severity])).toEqual([
      ['weather-unit-unknown', 1, 'warning'],
    ])
    expect(problems[0].hint).toContain(hint)
  })

  it('reads calm, variable, trace and missing', () => {
    const { value, problems } = read(
      'time,wind_kt,wind_dir_deg,precipitation_in\n2021-04-26T10:00Z,0,180,T\n2021-04-26T11:00Z,3,VRB,0.5\n2021-04-26T12:00Z,M,---,',
    )
    expect(problems).toEqual([])
    expect([...value!.windFromDeg]).toEqual([Number.NaN, Number.NaN, Number.NaN])
    expect([...value!.windVariable]).toEqual([0, 1, 0])
    expect([...value!.precipitationMm]).toEqual([0, 12.7, Number.NaN])
    expect(value!.windSpeedMps[2]).toBeNaN()
  })
})

describe('stations', () => {
  it('takes a table without positions for a logger on the road', () => {
    expect(read('time,temp_c\n2021-04-26T10:00Z,15').value?.stations).toMatchObject([
      { id: 'weather.csv', onRoad: true, latitude: Number.NaN, elevationM: Number.NaN },
    ])
  })

  it('leaves a named station without a position to be looked up', () => {
    expect(read('time,station,temp_c\n2021-04-26T10:00Z,EDDM,15').value?.stations).toMatchObject([
      { id: 'EDDM', onRoad: false, latitude: Number.NaN },
    ])
  })

  it('groups rows without a name by position', () => {
    const { value } = read(
      'time,lat,lon,temp_c\n2021-04-26T10:00Z,48.1,11.5,15\n2021-04-26T10:00Z,48.3,11.9,14\n2021-04-26T11:00Z,48.1,11.5,16',
    )
    expect(value?.stations.map(({ id, latitude, onRoad }) => [id, latitude, onRoad])).toEqual([
      ['48.100,11.500', 48.1, false],
      ['48.300,11.900', 48.3, false],
    ])
    expect([...value!.station]).toEqual([0, 1, 0])
  })

  it('says when a station moves, and when a position is not on Earth', () => {
    const row = (lat: number) => `2021-04-26T10:00Z,a,${lat},11,15`
    expect(codes(['time,station,lat,lon,temp_c', row(48), row(49)].join('\n'))).toEqual([['station-moves', 2]])
    expect(codes(['time,station,lat,lon,temp_c', row(148)].join('\n'))).toEqual([['weather-implausible', 2]])
  })
})

describe('one-minute data of US airports', () => {
  // The header is that of the Iowa Environmental Mesonet's asos1min.py (iemweb/request/asos1min.py); the row is invented.
  it('are read by their columns', () => {
    const text =
      'station,station_name,valid(UTC),tmpf,dwpf,sknt,drct,gust_sknt,pres1\nAMW,AMES,2022-01-01 00:01,32,23,10,270,14,29.02\n'
    const { value } = read(text)
    expect(iso(value)).toEqual(['2022-01-01T00:01'])
    expect(value!.temperatureK[0]).toBeCloseTo(273.15, 9)
    expect(value!.windSpeedMps[0]).toBeCloseTo(5.1444, 4)
    expect(value!.windGustMps[0]).toBeCloseTo(7.2022, 4)
    // 29.02 inHg of 3386.389 Pa, conventional (NIST SP 811 appendix B).
    expect(value!.stationPressurePa[0]).toBeCloseTo(98273, -1)
  })
})

describe('times', () => {
  const bare = (time: string) => `time,temp_c\n${time},15`

  it.each([
    ['summer', '2021-04-26T12:00:00', 'Europe/Berlin', '2021-04-26T10:00'],
    ['winter', '2021-01-26 12:00', 'Europe/Berlin', '2021-01-26T11:00'],
    ['the other side', '2021-01-26T20:00:00', 'America/New_York', '2021-01-27T01:00'],
    ['half an hour', '2021-01-26T12:00:00', 'Asia/Kolkata', '2021-01-26T06:30'],
  ])('reads a bare time in the zone of the campaign: %s', (_, time, zone, want) => {
    expect(iso(read(bare(time), zone).value)).toEqual([want])
    expect(codes(bare(time), zone)).toEqual([['time-zone-assumed', 2]])
  })

  it('says so where the zone’s summer time was taken, and how a table in standard time is marked', () => {
    const note = (time: string) => read(bare(time), 'America/Toronto').problems[0]
    expect(note('2021-07-26T12:00:00').message).toContain('with its summer time')
    expect(note('2021-07-26T12:00:00').hint).toContain('# time zone: Etc/GMT+5')
    expect(note('2021-01-26T12:00:00').message).not.toContain('summer')
    // tz database, etcetera: the sign is that of POSIX, so Etc/GMT+5 is five hours behind UTC, Toronto's standard time.
    expect(iso(read(`# time zone: Etc/GMT+5\n${bare('2021-07-26T12:00:00')}`, 'America/Toronto').value)).toEqual([
      '2021-07-26T17:00',
    ])
  })

  // ISO 8601: local time less its offset is UTC; Central European Time is UTC+1, its summer time UTC+2 (directive 2000/84/EC, from memory).
  it.each([
    ['time (UTC+1)', '2021-07-26T11:00'],
    ['Time [GMT-05:00]', '2021-07-26T17:00'],
    ['time (MEZ)', '2021-07-26T11:00'],
    ['time (CET)', '2021-07-26T11:00'],
    ['time (CEST)', '2021-07-26T10:00'],
    ['time (Europe/Berlin)', '2021-07-26T10:00'],
    ['time (local)', '2021-07-26T16:00'],
  ])('takes the zone of the heading before that of the campaign: %s', (heading, want) => {
    const { value } = read(`${heading},temp_c\n2021-07-26T12:00:00,15`, 'America/Toronto')
    expect(iso(value)).toEqual([want])
  })

  it('keeps a written offset whatever the campaign says', () => {
    expect(iso(read(bare('2021-04-26T12:00:00+05:30'), 'Europe/Berlin').value)).toEqual(['2021-04-26T06:30'])
    expect(codes(bare('2021-04-26T12:00:00Z'), 'Europe/Berlin')).toEqual([])
  })

  it.each([
    ['nobody names one', null],
    ['the campaign names one that does not exist', 'Europe/Atlantis'],
  ])('does not invent a zone when %s', (_, zone) => {
    const { value, problems } = read(bare('2021-04-26T12:00:00'), zone)
    expect(value).toBeNull()
    expect(problems.map(({ code, line, severity }) => [code, line, severity])).toEqual([
      ['time-zone-missing', 2, 'error'],
      ['weather-no-rows', 1, 'error'],
    ])
  })

  it.each([
    ['twice', '2021-10-31T02:30:00', '2021-10-31T00:30'],
    ['never', '2021-03-28T02:30:00', '2021-03-28T01:30'],
  ])('warns of a time that the clock showed %s', (_, time, want) => {
    expect(codes(bare(time), 'Europe/Berlin').at(-1)).toEqual(['time-doubtful', 2])
    expect(iso(read(bare(time), 'Europe/Berlin').value)).toEqual([want])
  })

  it('takes the zone from the name of the column', () => {
    expect(iso(read('valid(UTC),temp_c\n2021-04-26 12:00,15', 'Europe/Berlin').value)).toEqual(['2021-04-26T12:00'])
  })

  it('takes bare times for UTC where they are those of the METAR beside them', () => {
    const text = 'station,valid,tmpf,metar\nEDDF,2021-04-26 11:50,53.6,EDDF 261150Z 24008KT CAVOK 12/03 Q1021'
    const { value, problems } = read(text, 'Europe/Berlin')
    expect(iso(value)).toEqual(['2021-04-26T11:50'])
    expect(problems[0].message).toContain('METAR column')
  })
})

describe('what is wrong is said with its line', () => {
  const HEAD =
    'time,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg,precipitation_mm,road_wet'
  const GOOD = '2021-04-26T10:00Z,15,50,950,5,270,0,dry'
  const table = (bad: string) => `${HEAD}\n${GOOD}\n${bad}\n`

  it.each<[string, string, string, keyof Observations]>([
    ['a humidity of 180 %', '2021-04-26T11:00Z,15,180,950,5,270,0,dry', 'weather-implausible', 'relativeHumidity'],
    ['a temperature of 75 °C', '2021-04-26T11:00Z,75,50,950,5,270,0,dry', 'weather-implausible', 'temperatureK'],
    ['a pressure of 300 hPa', '2021-04-26T11:00Z,15,50,300,5,270,0,dry', 'weather-implausible', 'stationPressurePa'],
    ['a wind of 300 m/s', '2021-04-26T11:00Z,15,50,950,300,270,0,dry', 'weather-implausible', 'windSpeedMps'],
    ['a negative wind', '2021-04-26T11:00Z,15,50,950,-1,270,0,dry', 'weather-implausible', 'windSpeedMps'],
    ['a direction of 400', '2021-04-26T11:00Z,15,50,950,5,400,0,dry', 'weather-implausible', 'windFromDeg'],
    ['negative rain', '2021-04-26T11:00Z,15,50,950,5,270,-2,dry', 'weather-implausible', 'precipitationMm'],
    ['a word for a number', '2021-04-26T11:00Z,warm,50,950,5,270,0,dry', 'weather-cell-unreadable', 'temperatureK'],
    ['a damp road', '2021-04-26T11:00Z,15,50,950,5,270,0,damp', 'weather-cell-unreadable', 'roadWet'],
  ])('%s', (_, bad, code, column) => {
    const { value, problems } = read(table(bad))
    expect(problems.map((p) => [p.code, p.line, p.severity])).toEqual([[code, 3, 'warning']])
    expect(value?.count).toBe(2)
    expect((value![column] as Float64Array)[1]).toBeNaN()
    expect((value![column] as Float64Array)[0]).not.toBeNaN()
  })

  it.each([
    ['a time that is none', 'yesterday,15,50,950,5,270,0,dry', 'weather-time-unreadable'],
    ['a cell too many', `${GOOD},1`, 'table-row-too-long'],
  ])('%s costs the row', (_, bad, code) => {
    expect(codes(table(bad))).toEqual([[code, 3]])
    expect(read(table(bad)).value?.count).toBe(1)
  })

  it('brings a humidity of 100 to 105 % to 100 %', () => {
    expect(read('time,rh_pct\n2021-04-26T10:00Z,103').value?.relativeHumidity[0]).toBe(1)
  })

  it('shows what was written, in the unit of its column', () => {
    const { problems } = read('time,temperature_f\n2021-04-26T10:00Z,-999\n2021-04-26T11:00Z,50')
    expect(problems[0]).toMatchObject({
      code: 'weather-implausible',
      message: expect.stringContaining('temperature_f: found -999, expected an air temperature of'),
      line: 2,
    })
  })

  it('suspects the unit where a share is given in per cent', () => {
    const { problems } = read('time,relative_humidity\n2021-04-26T10:00Z,65')
    expect(problems[0]).toMatchObject({ code: 'weather-implausible', line: 2 })
    expect(problems[0].hint).toContain('relative_humidity_pct')
  })

  it.each([
    ['no times', 'when,temp_c\n1,2', 'weather-time-column-missing'],
    ['nothing observed', 'time,lat,lon\n2021-04-26T10:00Z,48,11', 'weather-nothing-observed'],
    ['no rows', 'time,temp_c\n', 'weather-no-rows'],
    ['nothing at all', '', 'table-empty'],
    ['only bad rows', 'time,temp_c\nx,1\ny,2', 'weather-no-rows'],
  ])('fails on a table with %s', (_, text, code) => {
    const { value, problems } = read(text)
    expect(value).toBeNull()
    expect(problems.at(-1)).toMatchObject({ code, severity: 'error' })
  })
})

describe('tables of the Iowa Environmental Mesonet', () => {
  const file = (name: string) =>
    read(readFileSync(new URL(`../../data/weather/iem-asos/${name}`, import.meta.url), 'utf8'))

  it('are read with the zone that their comment states, all 414 rows', () => {
    const { value, problems } = file('measures.txt')
    expect(value?.count).toBe(414)
    expect(value?.stations.map(({ id }) => id)).toEqual(['VOHY'])
    expect(problems.map(({ code }) => code)).toEqual(['weather-column-unknown', 'time-zone-assumed'])
    // First row of the file: 2014-03-01 00:40, 69.80 °F, 60.80 °F, 73.09 %, 130°, 4 kt, 29.97 inHg, HZ.
    expect(iso(value)[0]).toBe('2014-03-01T00:40')
    expect(value?.temperatureK[0]).toBeCloseTo(294.15, 9)
    expect(value?.dewPointK[0]).toBeCloseTo(289.15, 9)
    expect(value?.relativeHumidity[0]).toBeCloseTo(0.7309, 12)
    expect(value?.windFromDeg[0]).toBe(130)
    expect(value?.windSpeedMps[0]).toBeCloseTo((4 * 1852) / 3600, 12)
    expect(value?.altimeterPa[0]).toBeCloseTo(29.97 * 3386.388640341, 6)
    expect(value?.presentWeather[0]).toBe('HZ')
    expect(value?.temperatureStepK[0]).toBe(1)
  })

  it('have their gaps filled from the METAR column', () => {
    const { value } = file('measures.txt')
    // The table has M for "26/12 QNH 1011" of 1 April, 00:40.
    const row = iso(value).indexOf('2014-04-01T00:40')
    expect(value?.temperatureK[row]).toBeCloseTo(299.15, 9)
    expect(value?.altimeterPa[row]).toBeCloseTo(101100, 6)
    // "VRB" is M in the column of directions.
    const variable = readFileSync(new URL('../../data/weather/iem-asos/measures.txt', import.meta.url), 'utf8')
      .split('\n')
      .filter((line) => / VRB\d\dKT /.test(line)).length
    expect([...value!.windVariable].filter((flag) => flag === 1)).toHaveLength(variable)
  })

  it('give the station its position', () => {
    expect(file('measures2.txt').value?.stations).toMatchObject([
      { id: 'VOHY', latitude: 17.4531, longitude: 78.4676, elevationM: 545, onRoad: false },
    ])
  })

  it('say when the answer was empty', () => {
    const { value, problems } = file('warnings.txt')
    expect(value).toBeNull()
    expect(problems.at(-1)).toMatchObject({ code: 'weather-no-rows', line: 6 })
  })
})

it.each([
  ['time,temperature_c,wind_gust_kmh', ['weather-wind-missing']],
  ['time,wind_speed_kmh,wind_gust_kmh', ['weather-temperature-missing']],
  ['time,relative_humidity_pct,wind_gust_kmh', ['weather-temperature-missing', 'weather-wind-missing']],
  ['time,temperature_c,wind_speed_kmh', []],
])(
  'a table without a column of wind or temperature is warned of, with its line and columns: %s',
  (header, expected) => {
    const { value, problems } = observationTableReader.read(`# a mast\n${header}\n2026-04-14T07:00Z,8,20\n`, {
      ...CONTEXT,
      days: [],
    })
    expect(value?.count).toBe(1)
    const told = problems.filter(({ severity }) => severity === 'warning')
    expect(told.map(({ code }) => code).sort()).toEqual(expected)
    for (const { line, hint } of told) {
      expect(line).toBe(2)
      expect(hint).toContain(header.replaceAll(',', ', '))
    }
  },
)
