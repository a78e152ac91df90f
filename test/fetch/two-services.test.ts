import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Report } from '../../src/report/contract.ts'
import { folderWith } from '../cli/command.ts'
import { storedZip } from '../tools/stored-zip.ts'
import { ceterisOn, trackBetween } from './on-loopback.ts'
import { type Replay, replayOf, replayServer } from './replay-server.ts'

const DATA = join(import.meta.dirname, '../data/fetch')
const DWD = '/climate_environment/CDC/observations_germany/climate/10_minutes'

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-two-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

/** The day before yesterday, 08:00 UTC: within what the service calls recent. */
const day = new Date(Math.floor(Date.now() / 86_400_000) * 86_400_000 - 2 * 86_400_000)
const at = (minutes: number): Date => new Date(day.getTime() + minutes * 60_000)
const stamp = (time: Date): string => time.toISOString().replace(/\D/g, '').slice(0, 12)

/**
 * Rows every ten minutes from 06:00 to 10:00, in the layout of the recorded ten-minute products (QN; values; eor, see
 * dwd-produkt_zehn_min_fx in the sources), values invented: 5.1 m/s from 250°, 11.4 °C, 1009.3 hPa at the station.
 */
const rows = (values: string): string =>
  Array.from({ length: 25 }, (_, i) => `        691;${stamp(at(360 + 10 * i))};    3;${values};eor`).join('\n')
const zipOf = (name: string, header: string, values: string) =>
  storedZip([
    {
      name: `produkt_zehn_min_${name}_20250601_20261126_00691.txt`,
      text: `STATIONS_ID;MESS_DATUM;  QN;${header};eor\n${rows(values)}\n`,
    },
    {
      name: 'Metadaten_Geographie_00691.txt',
      text: 'Stations_id;Stationshoehe;Geogr.Breite;Geogr.Laenge;von_datum;bis_datum;Stationsname\n        691;   4.10; 53.0451;  8.7981;20000101;        ;Bremen\n',
    },
  ])

it('a national network is asked first, the airport beside it is not asked as well, and the report names the network', async () => {
  const list = readFileSync(join(DATA, 'synthetic-dwd-stations.txt'))
  const lists: Replay = ({ host, url }, response) => {
    if (host !== 'opendata.dwd.de' || !url.pathname.endsWith('_Beschreibung_Stationen.txt')) return false
    response.end(list)
    return true
  }
  const server = await replayServer(
    lists,
    replayOf(
      'opendata.dwd.de',
      `${DWD}/wind/recent/10minutenwerte_wind_00691_akt.zip`,
      zipOf('ff', 'FF_10;DD_10', '   5.1; 250'),
    ),
    replayOf(
      'opendata.dwd.de',
      `${DWD}/air_temperature/recent/10minutenwerte_TU_00691_akt.zip`,
      zipOf('tu', 'PP_10;TT_10;TM5_10;RF_10;TD_10', '  1009.3;  11.4;  10.9;  80.0;   8.1'),
    ),
  )
  const folder = folderWith(join(top, 'bremen'), {
    'tracks/a.gpx': trackBetween([53.05, 8.85], [53.05, 9.05], at(480).toISOString(), 600, 10),
  })
  const fetched = await ceterisOn(server.port, 'weather', folder, '--yes')
  const reported = await ceterisOn(server.port, 'report', folder, '--draws', '50', '--no-cache', '--cards', 'none')
  await server.close()
  expect(fetched.stdout).toContain('UNTRIED')
  expect(reported.status).toBe(0)
  const report = JSON.parse(readFileSync(join(folder, 'report/report.json'), 'utf8')) as Report
  expect(report.sources).toMatchObject([{ credit: 'Quelle: Deutscher Wetterdienst', provisional: true }])
  const [{ air, wind }] = report.runs
  expect(air.stations).toHaveLength(1)
  expect(wind.speed_mps).toBeCloseTo(5.1, 2)
  expect(wind.from_deg).toBeCloseTo(250, 1)
  // 6 m below the station's height of 4 m above the sea the road lies at 10 m: 0.04 K cooler, 0.7 hPa lower.
  expect(air.temperature_c).toBeCloseTo(11.4 - 0.0065 * 6, 1)
  expect(air.station_pressure_hpa).toBeCloseTo(1009.3 - 0.7, 0)
  // The airport of Bremen (EDDW) is the same place as the network's station there.
  expect(server.seen.filter(({ url }) => url.searchParams.get('station') === 'EDDW')).toEqual([])
})
