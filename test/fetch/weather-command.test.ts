import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type FetchedList, readFetchedList } from '../../src/read/fetched-list.ts'
import type { Report } from '../../src/report/contract.ts'
import { folderWith } from '../cli/command.ts'
import { HYDERABAD } from './hyderabad.ts'
import { ceterisOn, trackBetween } from './on-loopback.ts'
import { type Replay, type ReplayServer, replayOf, replayServer } from './replay-server.ts'

const DATA = join(import.meta.dirname, '../data')
const NO_RESULTS = readFileSync(join(DATA, 'fetch/iem-asos-no-results.tsv'))
const NETWORKS = readFileSync(join(DATA, 'fetch/iem-api1-networks-3.json'))
const IEM = 'mesonet.agron.iastate.edu'

let top = ''
let server: ReplayServer
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-fetch-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

/** A drive north at 25 m/s from 17.36° N, 78.45° E, past the airport of Hyderabad. */
const trackAt = (start: string, seconds = 600): string =>
  trackBetween([17.36, 78.45], [17.36 + ((seconds - 1) * 25) / 110_700, 78.45], start, seconds, 600)

const twoDrives = (name: string): string =>
  folderWith(join(top, name), {
    'tracks/first.gpx': trackAt('2014-03-05T08:00:00Z'),
    'tracks/second.gpx': trackAt('2014-03-10T08:00:00Z'),
  })

/** Hyderabad's reports whatever the hours asked for; every other station has none. */
const hyderabad: Replay = (seen, response) => {
  if (seen.host !== IEM || seen.url.pathname !== '/cgi-bin/request/asos.py') return false
  response.end(seen.url.searchParams.get('station') === 'VOHY' ? HYDERABAD : NO_RESULTS)
  return true
}
const networks = replayOf(IEM, '/api/1/networks.json', NETWORKS)

const listIn = (folder: string): FetchedList =>
  readFetchedList(readFileSync(join(folder, 'weather/ceteris-fetched.json'), 'utf8')).value as FetchedList

describe('from a folder with tracks alone to a report', () => {
  it('takes two commands, asks for stations and days alone, and names the source in the report', async () => {
    server = await replayServer(networks, hyderabad)
    const folder = twoDrives('two')
    const fetched = await ceterisOn(server.port, 'weather', folder, '--yes')
    expect(fetched.stderr).toBe('')
    expect(fetched.status).toBe(0)
    const reported = await ceterisOn(server.port, 'report', folder, '--draws', '50', '--no-cache', '--cards', 'none')
    expect(reported.status).toBe(0)
    await server.close()

    const report = JSON.parse(readFileSync(join(folder, 'report/report.json'), 'utf8')) as Report
    expect(report.runs.map(({ air }) => air.stations.map(({ id }) => id))).toEqual([['VOHY'], ['VOHY']])
    // Reported: 26 °C at 07:40Z and 27 °C at 08:40Z on the 5th, 16004KT and 10004KT; the road is about 55 m higher.
    expect(report.runs[0].air.temperature_c).toBeGreaterThan(25.6)
    expect(report.runs[0].air.temperature_c).toBeLessThan(26.6)
    expect(report.runs[0].wind.speed_mps).toBeLessThan(4 * 0.51445)
    expect(report.sources).toMatchObject([{ purpose: 'observations', licence: 'public domain', provisional: false }])
    expect(report.sources[0].files).toHaveLength(2)
    expect(report.problems.filter(({ severity }) => severity === 'error')).toEqual([])
    expect(readFileSync(join(folder, 'report/report.md'), 'utf8')).toContain('Iowa Environmental Mesonet')
    expect(readFileSync(join(folder, 'report/index.html'), 'utf8')).toContain('Iowa Environmental Mesonet')

    const asked = server.seen.filter(({ url }) => url.pathname.endsWith('asos.py'))
    expect(asked[0].url.searchParams.get('station')).toBe('VOHY')
    expect([
      ...new Set(asked.map(({ url }) => `${url.searchParams.get('sts')} ${url.searchParams.get('ets')}`)),
    ]).toEqual(['2014-03-05T00:00:00Z 2014-03-06T00:00:00Z', '2014-03-10T00:00:00Z 2014-03-11T00:00:00Z'])
    for (const { headers, url } of server.seen) {
      expect(headers['user-agent']).toMatch(/^ceteris\/\d+\.\d+\.\d+$/)
      // No position of the drive stands in any address.
      expect(url.href).not.toMatch(/17\.[34]|78\.4/)
    }
  })

  it('asks nobody twice: what is there stays, and what had nothing is remembered', async () => {
    server = await replayServer(networks, hyderabad)
    const folder = twoDrives('again')
    expect((await ceterisOn(server.port, 'weather', folder, '--yes')).status).toBe(0)
    const first = server.seen.length
    const files = readdirSync(join(folder, 'weather')).sort()
    const again = await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect(again).toMatchObject({ status: 0, stderr: '' })
    expect(again.stdout).toMatch(/^Nothing to fetch/)
    expect(server.seen).toHaveLength(first)
    expect(readdirSync(join(folder, 'weather')).sort()).toEqual(files)
    expect(listIn(folder).entries.filter(({ state }) => state === 'nothing').length).toBeGreaterThan(0)
  })

  it('tells what a whole answer does not hold', async () => {
    server = await replayServer(networks, hyderabad)
    // The recorded answer has no report between 01:40Z and 09:40Z of that day.
    const folder = folderWith(join(top, 'gap'), { 'tracks/first.gpx': trackAt('2014-03-03T06:00:00Z') })
    const ended = await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect(ended.status).toBe(1)
    expect(ended.stderr).toContain(
      'iem_VOHY_2014-03-03.tsv: nothing was observed from 2014-03-03 04:30Z to 2014-03-03 07:39Z',
    )
  })

  it('fetches nothing without a terminal and without --yes, and says what it would ask', async () => {
    server = await replayServer(networks, hyderabad)
    const folder = twoDrives('no')
    const ended = await ceterisOn(server.port, 'weather', folder)
    await server.close()
    expect(ended.status).toBe(2)
    expect(ended.stderr).toContain('nothing was fetched: there is no terminal to ask on; give --yes')
    expect(ended.stdout).toContain('mesonet.agron.iastate.edu')
    expect(ended.stdout).toContain('VOHY')
    expect(server.seen).toEqual([])
    expect(readdirSync(folder)).toEqual(['tracks'])
  })

  it('--dry-run prints addresses alone on standard output and asks nobody', async () => {
    server = await replayServer()
    const folder = twoDrives('dry')
    const ended = await ceterisOn(server.port, 'weather', folder, '--dry-run')
    await server.close()
    expect(ended.status).toBe(0)
    const addresses = ended.stdout.trimEnd().split('\n')
    expect(addresses.every((address) => address.startsWith(`https://${IEM}/`))).toBe(true)
    expect(server.seen).toEqual([])
    expect(readdirSync(folder)).toEqual(['tracks'])
  })

  it("leaves the user's own file alone, whatever its name, and says so", async () => {
    server = await replayServer(networks, hyderabad)
    const folder = twoDrives('mine')
    const name = 'weather/iem_VOHY_2014-03-05.tsv'
    folderWith(folder, { [name]: 'my own notes\n' })
    const ended = await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect(ended.status).toBe(1)
    expect(ended.stdout).toContain(`there is a file ${name} that this program did not write so; it is left as it is`)
    expect(readFileSync(join(folder, name), 'utf8')).toBe('my own notes\n')
  })

  it('a file that it wrote and somebody changed is his from then on', async () => {
    server = await replayServer(networks, hyderabad)
    const folder = twoDrives('changed')
    await ceterisOn(server.port, 'weather', folder, '--yes')
    const path = join(folder, 'weather/iem_VOHY_2014-03-05.tsv')
    writeFileSync(path, 'changed by hand\n')
    await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect(readFileSync(path, 'utf8')).toBe('changed by hand\n')
  })

  it('private places are told to nobody', async () => {
    server = await replayServer(networks, hyderabad)
    const folder = folderWith(join(top, 'private'), {
      'tracks/home.gpx': trackAt('2014-03-10T08:00:00Z', 120),
      'campaign.yaml': 'private:\n  home: { lat: 17.373, lon: 78.45, radius_m: 2000 }\n',
    })
    const ended = await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect(ended.status).toBe(2)
    expect(ended.stderr).toContain('all drives lie within the private places of campaign.yaml')
    expect(server.seen).toEqual([])
  })

  it('a service that fails is told with its reason, and nothing half-written stays', async () => {
    const down: Replay = (_, response) => {
      response.writeHead(404).end('gone\n')
      return true
    }
    server = await replayServer(down)
    const folder = twoDrives('down')
    const ended = await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect(ended.status).toBe(2)
    expect(ended.stdout).toContain('failed, the server answered with status 404 (“gone”)')
    expect(readdirSync(folder)).toEqual(['tracks'])
  })
})

describe('a model', () => {
  it('is fetched only when it is named, and stands as one in plan and report', async () => {
    // A recorded answer for Berlin, 11 March 2024, which has temperature and humidity, and no wind.
    const answer = readFileSync(join(DATA, 'fetch/open-meteo-archive-berlin-2024-03-11.json'))
    const server = await replayServer(replayOf('archive-api.open-meteo.com', '/v1/archive', answer))
    const folder = folderWith(join(top, 'model'), {
      'tracks/a.gpx': trackBetween([52.52, 13.38], [52.56, 13.44], '2024-03-11T10:00:00Z', 400, 40),
    })
    const without = await ceterisOn(server.port, 'weather', folder, '--service', 'iem', '--dry-run')
    expect(without.stdout).not.toContain('open-meteo')
    const args = ['weather', folder, '--service', 'iem', '--model', 'era5']
    const fetched = await ceterisOn(server.port, ...args, '--yes', '--json')
    expect(fetched.stderr).toContain('A MODEL, not an observation')
    expect(fetched.stderr).toContain('non-commercial use only')
    const told = JSON.parse(fetched.stdout) as { schema: string; requests: { purpose: string; result: string }[] }
    expect(told.schema).toBe('ceteris-weather/1')
    expect(told.requests.filter(({ purpose }) => purpose === 'model')).toMatchObject([{ result: 'written' }])
    // The airports had nothing here, and were told so; that is no reason to lose what the model said.
    expect(fetched.status).toBe(1)
    await ceterisOn(server.port, 'report', folder, '--draws', '50', '--no-cache', '--cards', 'none')
    await server.close()
    const report = JSON.parse(readFileSync(join(folder, 'report/report.json'), 'utf8')) as Report
    expect(report.sources).toMatchObject([{ purpose: 'model', licence: expect.stringContaining('non-commercial') }])
    expect(readFileSync(join(folder, 'report/report.md'), 'utf8')).toContain('a model, not an observation')
    // The recorded answer has 12.1 °C at 10 UTC and 12.7 °C at 11 UTC; the drive lasts until 10:07.
    expect(report.runs[0].air.temperature_c).toBeGreaterThan(12)
    expect(report.runs[0].air.temperature_c).toBeLessThan(12.3)
  })
})

it('the help says what is untried', async () => {
  const { stdout } = await ceterisOn(1, 'weather', '--help')
  expect(stdout.replace(/\s+/g, ' ')).toContain('all but iem are untried against real answers')
})

it('services that observe there and are not asked are named', async () => {
  const folder = folderWith(join(top, 'swiss'), {
    'tracks/a.gpx': trackBetween([47.38, 8.55], [47.45, 8.6], '2024-03-11T10:00:00Z', 400, 450),
  })
  const { stderr } = await ceterisOn(1, 'weather', folder, '--dry-run')
  expect(stderr).toContain('Not asked, though they observe there: meteoswiss (untried), ghcnh (untried).')
})
