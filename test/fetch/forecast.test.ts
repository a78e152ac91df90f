import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { usualSource } from '../../src/fetch/forecast/fetch-forecast.ts'
import { mosmix } from '../../src/fetch/forecast/mosmix.ts'
import { nws, nwsRequests } from '../../src/fetch/forecast/nws.ts'
import type { Ask } from '../../src/fetch/types.ts'
import { forecastErrors } from '../../src/plan/windows.ts'
import type { Report } from '../../src/report/contract.ts'
import { folderWith } from '../cli/command.ts'
import { ceterisOn, trackBetween } from './on-loopback.ts'
import { replayOf, replayServer } from './replay-server.ts'

const DATA = join(import.meta.dirname, '../data/fetch')
const bytesOf = (name: string): Uint8Array => new Uint8Array(readFileSync(join(DATA, name)))

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-forecast-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const area = (latitude: number, longitude: number) => ({
  cells: [{ latitude, longitude, elevationM: 50 }],
  spans: [],
  hours: [],
})

describe('forecasts', () => {
  it('the list of places writes minutes behind the point', () => {
    const points = mosmix.stations(
      new Map([['mosmix_stationskatalog.cfg', bytesText('synthetic-mosmix-places.cfg')]]),
      [],
    )
    expect(points.map(({ id, alias }) => [id, alias])).toEqual([
      ['01001', 'ENJA'],
      ['10313', null],
      ['EW002', null],
    ])
    // Jan Mayen lies at 70° 56' N, 8° 40' W (WMO No. 9, Volume A).
    expect(points[0]).toMatchObject({ latitude: 70 + 56 / 60, longitude: -(8 + 40 / 60), elevationM: 10 })
  })

  it('the page of a place leads to its forecast in SI units, and to no other host', () => {
    const cells = [{ latitude: 30, longitude: -85 }]
    const points = bytesText('nws-points.json')
    const [ask] = nwsRequests({ cells }, new Map([['nws_points_30_-85.json', points]]))
    // The address that the recorded page names, with the parameter of the API's description.
    expect(ask.url).toBe('https://api.weather.gov/gridpoints/TAE/58,65/forecast/hourly?units=si')
    const away = points.replaceAll('https://api.weather.gov/gridpoints', 'https://evil.example/gridpoints')
    expect(nwsRequests({ cells }, new Map([['nws_points_30_-85.json', away]]))).toEqual([])
  })

  it('recorded answers are known as such, cut ones are not', () => {
    const forecast = bytesOf('nws-gridpoints-forecast-hourly-si.json')
    const ask = { purpose: 'forecast' } as Ask
    expect(nws.check(ask, forecast).state).toBe('whole')
    expect(nws.check(ask, forecast.subarray(0, 3000)).state).toBe('broken')
    expect(nws.check({ purpose: 'list' } as Ask, bytesOf('nws-points.json')).state).toBe('whole')
    const kmz = bytesOf('dwd-MOSMIX_L_LATEST-1-station.kmz')
    expect(mosmix.check(ask, kmz).state).toBe('whole')
    expect(mosmix.check(ask, kmz.subarray(0, 9000)).state).toBe('broken')
  })

  it('the country’s service is asked where all roads are its own', () => {
    expect(usualSource([area(41.6, -93.6)])).toBe('nws')
    expect(usualSource([area(41.6, -93.6), area(48, 16)])).toBe('mosmix')
  })

  it('the doubt of a forecast grows from when it was fetched', () => {
    expect(forecastErrors(48).windMps).toBeGreaterThan(forecastErrors(24).windMps)
  })
})

describe('from a folder with drives to windows ahead', () => {
  const drive = trackBetween([51.96, 7.6], [51.98, 7.7], '2023-04-11T08:00:00Z', 300, 60)
  const weather =
    'station,time,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\nA,2023-04-11T08:00Z,51.97,7.63,60,9,70,1000,4,220\n'

  it('takes two commands; what was fetched is no observation of drives made meanwhile', async () => {
    const server = await replayServer(
      replayOf(
        'www.dwd.de',
        '/DE/leistungen/met_verfahren_mosmix/mosmix_stationskatalog.cfg',
        bytesOf('synthetic-mosmix-places.cfg'),
      ),
      replayOf(
        'opendata.dwd.de',
        '/weather/local_forecasts/mos/MOSMIX_L/single_stations/10313/',
        bytesOf('dwd-MOSMIX_L_LATEST-1-station.kmz'),
      ),
    )
    const folder = folderWith(join(top, 'ahead'), { 'tracks/a.gpx': drive, 'weather/mast.csv': weather })
    const fetched = await ceterisOn(server.port, 'weather', folder, '--forecast', '--yes')
    expect(fetched.stdout).toContain('ceteris plan windows')
    // The recorded forecast was issued on 12 April 2023, 09 UTC.
    const from = ['--from', '2023-04-12T12:00Z', '--days', '1', '--draws', '50', '--json']
    const planned = await ceterisOn(server.port, 'plan', 'windows', folder, ...from)
    expect(planned).toMatchObject({ status: 0, stderr: '' })
    const windows = JSON.parse(planned.stdout) as { slots: { temperature_c: number }[] }
    expect(windows.slots.length).toBeGreaterThan(10)

    // A drive of the forecast's day, without observations of its own, has no air.
    folderWith(folder, { 'tracks/b.gpx': trackBetween([51.96, 7.6], [51.98, 7.7], '2023-04-12T12:00:00Z', 300, 60) })
    await ceterisOn(server.port, 'report', folder, '--draws', '50', '--no-cache', '--cards', 'none')
    await server.close()
    const report = JSON.parse(readFileSync(join(folder, 'report/report.json'), 'utf8')) as Report
    expect(report.runs.map(({ air }) => air.stations.map(({ id }) => id))).toEqual([['A'], []])
    expect(server.seen.filter(({ url }) => url.pathname.includes('/10313/'))).toHaveLength(1)
  })

  it('without any forecast the way to one is told', async () => {
    const folder = folderWith(join(top, 'none'), { 'tracks/a.gpx': drive, 'weather/mast.csv': weather })
    const ended = await ceterisOn(1, 'plan', 'windows', folder)
    expect(ended.status).toBe(2)
    expect(ended.stderr).toContain('fetch one with ceteris weather <folder> --forecast')
  })
})

function bytesText(name: string): string {
  return readFileSync(join(DATA, name), 'utf8')
}
