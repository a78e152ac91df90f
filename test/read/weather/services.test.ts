import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { mapParts } from '../../../src/campaign/load/map-parts.ts'
import { kindOf } from '../../../src/read/kind.ts'
import type { Measured, Observations } from '../../../src/read/types.ts'
import { isWeatherKind, readWeather } from '../../../src/read/weather/read.ts'

const bytesOf = (name: string) =>
  new Uint8Array(readFileSync(new URL(`../../data/weather/services/${name}`, import.meta.url)))

/** The first part of a file that holds observations, read as a campaign would. */
async function read(name: string, timeZone: string | null = null) {
  const parts = await mapParts({ path: name, bytes: bytesOf(name), sha256: name })
  const part = parts.find(({ kind }) => isWeatherKind(kind) && kind !== 'station-list')!
  const context = { timeZone, fileName: part.path, coverFrom: null, coverTo: null, coverSpans: [] }
  if (!isWeatherKind(part.kind)) throw new Error(part.kind)
  return { kind: part.kind, mapProblems: part.problems, ...readWeather(part.kind, part.text!, context) }
}

const KELVIN = 273.15
const KNOT = 1852 / 3600

/** `row` counts the observations in time order; numbers are converted by hand from what the file says. */
interface Row {
  file: string
  kind: string
  timeZone?: string
  row: number
  time: string
  want: Partial<Record<Measured, number>>
  /** The words of the file. */
  source: string
}

const ROWS: Row[] = [
  {
    file: 'ghcnh-GHCNh_FPI0000NTAT_por-excerpt.psv',
    kind: 'ghcnh',
    row: 0,
    time: '2014-04-08T15:00:00.000Z',
    want: {
      temperatureK: 25.9 + KELVIN,
      dewPointK: 17.3 + KELVIN,
      stationPressurePa: 101520,
      windSpeedMps: 5.8,
      windFromDeg: 120,
      relativeHumidity: 0.59,
    },
    source: 'temperature 25.9 | dew_point 17.3 | station_level_pressure 1015.2 | wind 120, 5.8 m/s | 59 %',
  },
  {
    file: 'ghcnh-GHCNh_USW00013967_por-excerpt.psv',
    kind: 'ghcnh',
    row: 2,
    time: '2023-01-12T08:50:00.000Z',
    want: {
      temperatureK: 4 + KELVIN,
      dewPointK: -1 + KELVIN,
      stationPressurePa: 96830,
      altimeterPa: 101520,
      windSpeedMps: 12.9,
      windFromDeg: 330,
      windGustMps: 18,
    },
    source: '4.0 | -1.0 | 968.3 | 330 | 12.9 | gust 18.0 | altimeter 1015.2',
  },
  {
    file: 'ghcnh-GHCNh_USW00013967_por-excerpt.psv',
    kind: 'ghcnh',
    row: 3,
    time: '2025-02-03T15:52:00.000Z',
    // Temperature 17.0 and dew point -1.0 have the quality code 7 (wrong), relative humidity the letter f.
    want: {
      temperatureK: Number.NaN,
      dewPointK: Number.NaN,
      relativeHumidity: Number.NaN,
      windSpeedMps: 5.7,
      windFromDeg: 230,
    },
    source: 'temperature 17.0, quality 7 | wind 230, 5.7, quality 5',
  },
  {
    file: 'ghcnh-GHCNh_USW00026442_por-excerpt.psv',
    kind: 'ghcnh',
    row: 0,
    time: '2005-06-10T17:50:00.000Z',
    want: { temperatureK: 11.9 + KELVIN, windSpeedMps: 1, windFromDeg: Number.NaN },
    source: 'wind_direction VRB, wind_speed 1.0; METAR in the remarks: VRB02KT',
  },
  {
    file: 'synthetic-ghcnh-access-data-service.json',
    kind: 'ghcnh-json',
    row: 2,
    time: '2023-01-12T08:50:00.000Z',
    want: { temperatureK: 4 + KELVIN, windSpeedMps: 12.9, windFromDeg: 330, windGustMps: 18 },
    source: 'the rows of Oklahoma City in the form that users of the service describe',
  },
  {
    file: 'synthetic-ghcnh-access-data-service.csv',
    kind: 'ghcnh',
    row: 3,
    time: '2025-02-03T15:52:00.000Z',
    want: { temperatureK: Number.NaN, windSpeedMps: 5.7 },
    source: 'the same as CSV; temperature with quality 7',
  },
  {
    file: 'open-meteo-archive-berlin-2024-03-11.json',
    kind: 'open-meteo',
    row: 12,
    time: '2024-03-11T12:00:00.000Z',
    want: { temperatureK: 13.7 + KELVIN, dewPointK: 7.2 + KELVIN, relativeHumidity: 0.65, precipitationMm: 0 },
    source: 'temperature_2m[12] 13.7, dew_point_2m 7.2, relative_humidity_2m 65',
  },
  {
    file: 'awc-metar-LEJR-2023.json',
    kind: 'aviation-weather',
    row: 0,
    time: '2023-10-27T15:30:00.000Z',
    want: {
      temperatureK: 22 + KELVIN,
      dewPointK: 13 + KELVIN,
      altimeterPa: 101500,
      windSpeedMps: 11 * KNOT,
      windFromDeg: 240,
    },
    source: 'obsTime 1698420600; LEJR 271530Z 24011KT 220V280 9999 FEW050 22/13 Q1015',
  },
  {
    file: 'synthetic-awc-metar-2026.json',
    kind: 'aviation-weather',
    row: 0,
    // reportTime, the nominal hour, is 09:00.
    time: '2026-05-03T08:53:00.000Z',
    want: {
      temperatureK: 13.9 + KELVIN,
      dewPointK: 9.4 + KELVIN,
      windSpeedMps: 4 * KNOT,
      windFromDeg: Number.NaN,
      seaLevelPressurePa: 101290,
    },
    source: 'METAR KMCI 030853Z VRB04KT … A2992 RMK AO2 SLP129 T01390094',
  },
  {
    file: 'nws-observation-latest.json',
    kind: 'national-weather',
    row: 0,
    time: '2022-03-02T23:53:00.000Z',
    want: {
      temperatureK: 22.8 + KELVIN,
      dewPointK: 18.3 + KELVIN,
      windSpeedMps: 4 * KNOT,
      windFromDeg: 20,
      seaLevelPressurePa: 101870,
    },
    source: 'KFLL 022353Z 02004KT … A3008 RMK AO2 SLP187 T02280183; windSpeed 7.56 km/h',
  },
  {
    file: 'nws-gridpoints-forecast-hourly-si.json',
    kind: 'national-weather-forecast',
    row: 0,
    time: '2019-10-15T00:00:00.000Z',
    want: { temperatureK: 25.5 + KELVIN, dewPointK: 5 + KELVIN, relativeHumidity: 0.63, windSpeedMps: 0 },
    source: 'startTime 2019-10-14T20:00:00-04:00, temperature 25.5 C, windSpeed "0 km/h"',
  },
  {
    file: 'dwd-MOSMIX_L_LATEST-1-station.kmz',
    kind: 'mosmix',
    row: 0,
    time: '2023-04-12T10:00:00.000Z',
    want: {
      temperatureK: 282.75,
      dewPointK: 279.05,
      seaLevelPressurePa: 99700,
      windSpeedMps: 5.14,
      windFromDeg: 179,
      windGustMps: 9.26,
    },
    source: 'TTT 282.75, Td 279.05, PPPP 99700.00, FF 5.14, DD 179.00, FX1 9.26',
  },
  {
    file: 'dwd-stundenwerte_FF_akt.zip',
    kind: 'observation-table',
    row: 0,
    time: '2018-09-15T00:00:00.000Z',
    want: { windSpeedMps: 1.6, windFromDeg: 80 },
    source: '4911;2018091500;   10;   1.6;  80;eor',
  },
  {
    file: 'dwd-produkt_zehn_min_fx_20181203_20200604_01766.txt',
    kind: 'observation-table',
    row: 1,
    time: '2018-12-03T00:10:00.000Z',
    want: { windGustMps: 6.9 },
    source: '1766;201812030010;    3;   6.9;   2.9;   4.5; 210;eor',
  },
  {
    file: 'synthetic-meteoswiss.csv',
    kind: 'meteoswiss',
    row: 0,
    time: '2024-05-03T08:00:00.000Z',
    want: {
      temperatureK: 11.2 + KELVIN,
      dewPointK: 7.4 + KELVIN,
      stationPressurePa: 95030,
      windSpeedMps: 3.4,
      windFromDeg: 240,
      windGustMps: 6.1,
    },
    source: 'invented row; m/s (fkl010z0) stands before km/h (fu3010z0)',
  },
  {
    file: 'synthetic-environment-canada-hourly.csv',
    kind: 'environment-canada',
    timeZone: 'America/Toronto',
    row: 0,
    // Midnight of a July night in standard time, UTC-5, where clocks of the place show 01:00 EDT.
    time: '2017-07-01T05:00:00.000Z',
    want: {
      temperatureK: 21.2 + KELVIN,
      stationPressurePa: 99320,
      windSpeedMps: 13 / 3.6,
      windFromDeg: 240,
      precipitationMm: 0,
    },
    source: 'invented row: 24 tens of degrees, 13 km/h, 99.32 kPa',
  },
  {
    file: 'synthetic-environment-canada-hourly.json',
    kind: 'environment-canada-json',
    row: 0,
    time: '2017-07-01T05:00:00.000Z',
    want: { temperatureK: 21.2 + KELVIN, stationPressurePa: 99320, windSpeedMps: 13 / 3.6, windFromDeg: 240 },
    source: 'the same row, with UTC_DATE',
  },
  {
    file: 'synthetic-smhi-wind.csv',
    kind: 'smhi',
    row: 1,
    time: '2024-05-03T09:00:00.000Z',
    want: { windSpeedMps: 4.6, windFromDeg: 240, temperatureK: Number.NaN },
    source: 'invented row',
  },
  {
    file: 'synthetic-fmi-simple.xml',
    kind: 'fmi',
    row: 0,
    time: '2024-05-03T08:00:00.000Z',
    want: {
      temperatureK: 9.8 + KELVIN,
      dewPointK: 4.1 + KELVIN,
      seaLevelPressurePa: 101640,
      windSpeedMps: 5.2,
      windFromDeg: 215,
      windGustMps: 8,
    },
    source: 'invented values',
  },
]

describe('answers of weather services', () => {
  it.each(ROWS)('$file, row $row: as the file says', async ({ file, kind, timeZone = null, row, time, want }) => {
    const answer = await read(file, timeZone)
    expect(answer.kind).toBe(kind)
    const value = answer.value!
    expect(new Date(value.time[row] * 1000).toISOString()).toBe(time)
    for (const [name, number] of Object.entries(want)) {
      const got = value[name as Measured][row]
      if (Number.isNaN(number)) expect(got, name).toBeNaN()
      // Units are converted in double precision; pressures are hundreds of thousands.
      else expect(Math.abs(got - number), `${name} ${got}`).toBeLessThan(1e-9 * Math.max(1, Math.abs(number)) + 1e-9)
    }
  })

  it.each([
    ['awc-metar-LEJR-2023.json', 'LEJR', 36.751, -6.056, 25],
    ['nws-observation-latest.json', 'KFLL', 26.07, -80.15, 3],
    ['open-meteo-archive-berlin-2024-03-11.json', 'model 52.55 13.41', 52.54833, 13.407822, 38],
    ['dwd-MOSMIX_L_LATEST-1-station.kmz', 'P0036', 51.97, 7.63, 60],
    ['ghcnh-GHCNh_USW00013967_por-excerpt.psv', 'KOKC', 35.3883, -97.6003, 389.8],
    ['synthetic-smhi-wind.csv', 'Lund', 55.693, 13.229, 26.6],
  ])('%s says where its station is', async (file, id, latitude, longitude, elevationM) => {
    expect((await read(file)).value!.stations[0]).toMatchObject({ id, latitude, longitude, elevationM })
  })

  it('marks models and forecasts as what they are', async () => {
    for (const file of [
      'open-meteo-archive-berlin-2024-03-11.json',
      'dwd-MOSMIX_L_LATEST-1-station.kmz',
      'nws-gridpoints-forecast-hourly-si.json',
    ]) {
      const { value, problems } = await read(file)
      expect(value!.stations.map(({ quality }) => quality)).toEqual(['model'])
      expect(problems.map(({ code }) => code)).toContain('weather-model')
    }
    expect((await read('nws-observation-latest.json')).value!.stations[0].quality).toBe('instrument')
  })

  it('counts what a service marks as bad, and rows that were cut', async () => {
    const { problems } = await read('ghcnh-GHCNh_USW00013967_por-excerpt.psv')
    // The last line of this sample is the word TOOSHORT.
    expect(problems.map(({ code }) => code).sort()).toEqual(['isd-quality', 'table-row-too-short'])
    expect(problems.find(({ code }) => code === 'isd-quality')!.message).toContain('3 values not used')
  })

  it('an observation without values is no observation, and a refusal is told as one', async () => {
    const { value, problems } = await read('nws-observation-missing-value.json')
    expect([value, problems.map(({ code }) => code)]).toEqual([null, ['service-none']])
    const refusal = '{"error":true,"reason":"Minutely API request limit exceeded. Please try again in one minute."}'
    expect(kindOf(refusal)).toBe('open-meteo')
    const context = { timeZone: null, fileName: 'x', coverFrom: null, coverTo: null }
    expect(readWeather('open-meteo', refusal, context).problems[0]).toMatchObject({ code: 'service-refusal' })
  })

  it('values that the quality control of api.weather.gov rejects come back neither from it nor from the raw report', () => {
    const text = new TextDecoder().decode(bytesOf('nws-observation-latest.json'))
    const spoilt = text.replace(/("value": 22\.800000000000001,\s*"qualityControl": )"V"/, '$1"X"')
    expect(spoilt).not.toBe(text)
    const { value, problems } = readWeather('national-weather', spoilt, {
      timeZone: null,
      fileName: 'x',
      coverFrom: null,
      coverTo: null,
    })
    expect(value!.temperatureK[0]).toBeNaN()
    expect(value!.windSpeedMps[0]).toBeCloseTo(7.56 / 3.6, 9)
    expect(problems.map(({ code }) => code)).toEqual(['isd-quality'])
  })
})

describe('times of Environment Canada’s tables', () => {
  const context = (timeZone: string | null) => ({ timeZone, fileName: 'x', coverFrom: null, coverTo: null })
  const text = new TextDecoder().decode(bytesOf('synthetic-environment-canada-hourly.csv'))
  const first = (value: Observations | null) => new Date(value!.time[0] * 1000).toISOString()

  it('are standard time in summer and winter, whatever the zone of the campaign does', () => {
    const january = text.replaceAll('2017-07-01', '2017-01-01').replaceAll('"07","01"', '"01","01"')
    expect(first(readWeather('environment-canada', text, context('America/Toronto')).value)).toBe(
      '2017-07-01T05:00:00.000Z',
    )
    expect(first(readWeather('environment-canada', january, context('America/Toronto')).value)).toBe(
      '2017-01-01T05:00:00.000Z',
    )
    // Saskatchewan has no summer time; Newfoundland's standard time is UTC-3:30.
    expect(first(readWeather('environment-canada', text, context('America/Regina')).value)).toBe(
      '2017-07-01T06:00:00.000Z',
    )
    expect(first(readWeather('environment-canada', text, context('America/St_Johns')).value)).toBe(
      '2017-07-01T03:30:00.000Z',
    )
  })

  it('are not guessed: no zone, or one that cannot be the station’s, leaves the rows out', () => {
    for (const [zone, code] of [
      [null, 'time-zone-missing'],
      ['Europe/Berlin', 'time-zone-contradicts'],
    ] as const) {
      const { value, problems } = readWeather('environment-canada', text, context(zone))
      expect([value, problems.at(-1)?.code]).toEqual([null, code])
    }
  })
})
