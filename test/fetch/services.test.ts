import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import { historicalNames } from '../../src/fetch/services/dwd.ts'
import { SERVICE_IDS } from '../../src/fetch/services/names.ts'
import { modelRequests, openMeteo } from '../../src/fetch/services/open-meteo.ts'
import { SERVICES } from '../../src/fetch/services/registry.ts'
import type { Service, Span, Where } from '../../src/fetch/types.ts'
import { isWeatherKind, readWeather } from '../../src/read/weather/read.ts'

const DATA = join(import.meta.dirname, '../data/fetch')
const bytesOf = (name: string): Uint8Array => new Uint8Array(readFileSync(join(DATA, name)))
const textOf = (name: string): string => readFileSync(join(DATA, name), 'utf8')
const service = (id: string): Service => SERVICES.find((one) => one.id === id) as Service
const seconds = (iso: string): number => Date.parse(iso) / 1000
const DAY: Span = { fromS: seconds('2026-06-01T00:00:00Z'), toS: seconds('2026-06-02T00:00:00Z') }
const at = (latitude: number, longitude: number, span = DAY): Where => ({ cells: [{ latitude, longitude }], span })
const NOW = seconds('2026-06-20T12:00:00Z')

/**
 * Addresses as the providers' own descriptions and maintained clients give them (sources beside each service); lists and
 * answers are recorded ones, or synthetic where none was at hand (test/data/fetch/SOURCE.md).
 */
const CASES = [
  {
    id: 'dwd',
    where: at(53.1, 8.9),
    list: 'synthetic-dwd-stations.txt',
    pages: [
      'https://opendata.dwd.de/climate_environment/CDC/observations_germany/climate/10_minutes/wind/recent/zehn_min_ff_Beschreibung_Stationen.txt',
      'https://opendata.dwd.de/climate_environment/CDC/observations_germany/climate/10_minutes/air_temperature/recent/zehn_min_tu_Beschreibung_Stationen.txt',
    ],
    station: { id: '00691', name: 'Bremen', latitude: 53.0451, longitude: 8.7981, elevationM: 4 },
    requests: [
      'https://opendata.dwd.de/climate_environment/CDC/observations_germany/climate/10_minutes/wind/recent/10minutenwerte_wind_00691_akt.zip',
      'https://opendata.dwd.de/climate_environment/CDC/observations_germany/climate/10_minutes/air_temperature/recent/10minutenwerte_TU_00691_akt.zip',
    ],
    answer: 'dwd-stundenwerte_FF_akt.zip',
  },
  {
    id: 'meteoswiss',
    where: at(47.4, 8.6),
    list: 'synthetic-meteoswiss-stations.csv',
    pages: ['https://data.geo.admin.ch/ch.meteoschweiz.ogd-smn/ogd-smn_meta_stations.csv'],
    station: { id: 'sma', latitude: 47.377925, longitude: 8.565742, elevationM: 556 },
    requests: ['https://data.geo.admin.ch/ch.meteoschweiz.ogd-smn/sma/ogd-smn_sma_t_recent.csv'],
    answer: 'synthetic-meteoswiss-ten-minutes.csv',
  },
  {
    id: 'eccc',
    where: at(43.6, -79.6),
    list: 'synthetic-eccc-stations.json',
    pages: ['https://api.weather.gc.ca/collections/climate-stations/items?f=json&bbox=-81,42,-78,45&limit=5000'],
    station: { id: '51459', name: 'TORONTO INTL A', latitude: 43.68, longitude: -79.63, elevationM: 173.4 },
    requests: [
      'https://api.weather.gc.ca/collections/climate-hourly/items?f=json&STN_ID=51459&datetime=2026-05-31T00:00:00/2026-06-03T00:00:00&limit=10000&offset=0',
    ],
    answer: 'synthetic-eccc-hourly.json',
  },
  {
    id: 'smhi',
    where: at(59.4, 17.9),
    list: 'synthetic-smhi-stations.json',
    pages: ['https://opendata-download-metobs.smhi.se/api/version/1.0/parameter/4.json'],
    station: { id: '97400', name: 'Arlanda', latitude: 59.6269, longitude: 17.9545, elevationM: 42 },
    requests: [4, 3, 1, 39, 9].map(
      (p) =>
        `https://opendata-download-metobs.smhi.se/api/version/1.0/parameter/${p}/station/97400/period/latest-months/data.csv`,
    ),
    answer: 'synthetic-smhi-wind.csv',
  },
  {
    id: 'fmi',
    where: at(60.2, 24.9),
    list: 'synthetic-fmi-stations.xml',
    pages: [
      'https://opendata.fmi.fi/wfs?service=WFS&version=2.0.0&request=getFeature&storedquery_id=fmi::ef::stations',
    ],
    station: { id: '100971', name: 'Helsinki Kaisaniemi', latitude: 60.17523, longitude: 24.94459 },
    requests: [
      'https://opendata.fmi.fi/wfs?service=WFS&version=2.0.0&request=getFeature&storedquery_id=fmi::observations::weather::simple&fmisid=100971&parameters=t2m,td,ws_10min,wd_10min,wg_10min,p_sea&timestep=10&starttime=2026-06-01T00:00:00Z&endtime=2026-06-02T00:00:00Z',
    ],
    answer: 'synthetic-fmi-observations.xml',
  },
  {
    id: 'ghcnh',
    where: at(50.1, 8.6),
    list: 'ghcnh-station-list-excerpt.csv',
    pages: ['https://www.ncei.noaa.gov/oa/global-historical-climatology-network/hourly/doc/ghcnh-station-list.csv'],
    station: { id: 'GMI0000EDDF', alias: 'EDDF', latitude: 50.0264, longitude: 8.5431, elevationM: 110.9 },
    requests: null,
    answer: 'synthetic-ghcnh-window.csv',
  },
]

describe.each(CASES)('$id', ({ id, where, list, pages, station, requests, answer }) => {
  const one = service(id)
  const asked = one.pages(where, NOW, new Map())
  const have = new Map(asked.map(({ file }) => [file, textOf(list)]))
  const found = one.stations(have, [])

  it('reads its lists first, where it covers the roads', () => {
    expect(one.covers(where, NOW)).toBe(true)
    expect(asked.map(({ url }) => url)).toEqual(pages)
    for (const ask of asked) expect(one.check(ask, bytesOf(list))).toEqual({ state: 'whole' })
  })

  it('finds stations with place and height in them', () => {
    expect(found.find((candidate) => candidate.id === station.id)).toMatchObject(station)
  })

  it('asks for a station by name and days', () => {
    const candidate = found.find((c) => c.id === station.id)!
    const asks = one.requestsFor(candidate, DAY, NOW, have)
    if (requests) expect(asks.map(({ url }) => url)).toEqual(requests)
    for (const ask of asks) {
      expect(new URL(ask.url).host).toBe(one.host)
      // Nothing in it says where somebody drove.
      expect(ask.url).not.toContain(String(where.cells[0].latitude))
    }
  })

  it('knows its answer, a cut one, a page and an empty one', () => {
    const ask = one.requestsFor(found.find((c) => c.id === station.id)!, DAY, NOW, have)[0]
    if (answer) {
      const whole = bytesOf(answer)
      expect(one.check(ask, whole)).toEqual({ state: 'whole' })
      expect(one.check(ask, whole.subarray(0, whole.length - 12)).state).toBe('broken')
    }
    expect(one.check(ask, new Uint8Array(0)).state).toBe('broken')
    expect(one.check(ask, new TextEncoder().encode('<!DOCTYPE html><html></html>')).state).toBe('wrong')
  })

  it('its answer is one of the formats that a report reads', async () => {
    if (!answer) return
    const parts = await mapParts({ path: answer, bytes: bytesOf(answer), sha256: '' })
    const context = { timeZone: null, fileName: answer, coverFrom: null, coverTo: null, coverSpans: [] }
    const counts = parts.map(({ kind, text }) =>
      isWeatherKind(kind) ? readWeather(kind, text!, context).value?.count : 0,
    )
    expect(Math.max(...counts.map((count) => count ?? 0))).toBeGreaterThan(0)
    expect(parts.flatMap(({ problems }) => problems).filter(({ severity }) => severity === 'error')).toEqual([])
  })

  it('is told as untried, and has licence and credit', () => {
    expect(one.triedOn).toBe('synthetic')
    expect(one.licence).not.toBe('')
    expect(one.credit).not.toBe('')
    expect(readFileSync(join(DATA, '../../../docs/weather.md'), 'utf8')).toMatch(new RegExp(`\\| \`${id}\`.*untried`))
  })
})

describe('the German service', () => {
  it('finds older files by the days in their names, and no stray ones', () => {
    const index = textOf('synthetic-dwd-directory.html')
    const names = (from: string, to: string): string[] =>
      historicalNames(index, { name: 'wind' }, '00691', { fromS: seconds(from), toS: seconds(to) })
    expect(names('2021-06-01', '2021-06-02')).toEqual(['10minutenwerte_wind_00691_20200101_20231231_hist.zip'])
    expect(names('2019-12-31', '2020-01-02')).toHaveLength(2)
    expect(names('2024-06-01', '2024-06-02')).toEqual([])
  })

  it('reads the directory before it asks for older files', () => {
    const span = { fromS: seconds('2021-06-01'), toS: seconds('2021-06-02') }
    const pages = service('dwd').pages(at(53, 9, span), NOW, new Map())
    expect(pages.map(({ url }) => url).filter((url) => url.endsWith('/historical/'))).toHaveLength(2)
  })
})

it('NOAA is asked for time and codes by name, without which rows have neither', () => {
  const one = service('ghcnh')
  const have = new Map([['ghcnh-station-list.csv', textOf('ghcnh-station-list-excerpt.csv')]])
  const station = one.stations(have, []).find(({ id }) => id === 'GMI0000EDDF')!
  const { searchParams } = new URL(one.requestsFor(station, DAY, NOW, have)[0].url)
  expect(searchParams.get('dataset')).toBe('global-historical-climatology-network-hourly')
  expect(searchParams.get('startDate')).toBe('2026-06-01T00:00:00Z')
  expect(searchParams.get('endDate')).toBe('2026-06-01T23:59:59Z')
  expect(searchParams.get('dataTypes')).toMatch(
    /^DATE,.*wind_speed,wind_speed_Measurement_Code,wind_speed_Quality_Code/,
  )
})

describe('the model', () => {
  it('is asked for by name, in m/s, for the middles of cells, and not for days that it does not have yet', () => {
    const [ask, ...others] = modelRequests(at(48.125, 16.375), NOW)
    expect(others).toEqual([])
    const { host, searchParams } = new URL(ask.url)
    expect(host).toBe('archive-api.open-meteo.com')
    expect(Object.fromEntries(searchParams)).toMatchObject({
      latitude: '48.125',
      longitude: '16.375',
      models: 'era5',
      wind_speed_unit: 'ms',
      timezone: 'GMT',
      elevation: 'nan',
      start_date: '2026-06-01',
      end_date: '2026-06-01',
    })
    expect(modelRequests(at(48.125, 16.375), DAY.toS)).toEqual([])
  })

  it('knows its recorded answer and its refusals', () => {
    const [ask] = modelRequests(at(48.125, 16.375), NOW)
    expect(openMeteo.check(ask, bytesOf('open-meteo-archive-berlin-2024-03-11.json'))).toEqual({ state: 'whole' })
    // Open-Meteo, RateLimiter.swift: what it says with status 429; some proxies turn that into 200.
    const refusal = '{"error":true,"reason":"Minutely API request limit exceeded. Please try again in one minute."}'
    expect(openMeteo.check(ask, new TextEncoder().encode(refusal)).state).toBe('wrong')
  })
})

it('the command line names all services of observations', () => {
  expect([...SERVICE_IDS].sort()).toEqual(
    SERVICES.filter(({ kind }) => kind === 'observed')
      .map(({ id }) => id)
      .sort(),
  )
})
