import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  chmodSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readFetchedList } from '../../src/read/fetched-list.ts'
import { folderWith, PROGRAM } from '../cli/command.ts'
import { HYDERABAD } from './hyderabad.ts'
import { ceterisOn, trackBetween } from './on-loopback.ts'
import { type Replay, replayOf, replayServer } from './replay-server.ts'

/** The requests at which a call is ended: all of them in `npm run test:sacred`. */
const ALL = process.env.CETERIS_SACRED !== undefined
const DATA = join(import.meta.dirname, '../data')
const NETWORKS = readFileSync(join(DATA, 'fetch/iem-api1-networks-3.json'))
const IEM = 'mesonet.agron.iastate.edu'
const networks = replayOf(IEM, '/api/1/networks.json', NETWORKS)
/** Every station has the same reports. */
const reports = replayOf(IEM, '/cgi-bin/request/asos.py', HYDERABAD)
const track = (start: string): string => trackBetween([17.36, 78.45], [17.49, 78.45], start, 600, 600)

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-fetch-files-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const drives = (name: string, files: Record<string, string> = {}): string =>
  folderWith(join(top, name), {
    'tracks/a.gpx': track('2014-03-05T08:00:00Z'),
    'tracks/b.gpx': track('2014-03-10T08:00:00Z'),
    ...files,
  })

/** All files of the list that lie there as it says. */
function listed(folder: string): { entries: number; whole: number } {
  const text = readFileSync(join(folder, 'weather/ceteris-fetched.json'), 'utf8')
  const entries = readFetchedList(text).value!.entries.filter(({ file }) => file !== null)
  const whole = entries.filter(({ file, bytes }) => {
    try {
      return readFileSync(join(folder, 'weather', file!)).length === bytes
    } catch {
      return false
    }
  })
  return { entries: entries.length, whole: whole.length }
}

describe("the user's files", () => {
  it.each([
    ['a list of another program', { 'weather/ceteris-fetched.json': '{"schema":"mine"}\n' }],
    [
      'a list that he changed into nonsense',
      { 'weather/ceteris-fetched.json': '{"schema":"ceteris-fetched/1","entries":7}\n' },
    ],
    ['a file in the place of the folder', { weather: 'my notes on the weather\n' }],
    ['a folder in the place of a file', { 'weather/iem_VOHY_2014-03-05.tsv/mine.txt': 'mine\n' }],
  ])('%s stays as it is, and nothing is written beside it that he would miss', async (what, files) => {
    const server = await replayServer(networks, reports)
    const folder = drives(what.replaceAll(' ', '-'), files as Record<string, string>)
    const ended = await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect([1, 2]).toContain(ended.status)
    expect(ended.stderr).not.toContain('fault of the program')
    for (const [path, text] of Object.entries(files)) expect(readFileSync(join(folder, path), 'utf8')).toBe(text)
  })

  it('a list that somebody forged leads neither to another host nor to another file', async () => {
    const server = await replayServer(networks, reports)
    const mine = 'tracks/a.gpx'
    const fetched = drives('before-it-is-forged')
    await ceterisOn(server.port, 'weather', fetched, '--yes')
    const forged = async (name: string, changes: object) => {
      const folder = join(top, name)
      cpSync(fetched, folder, { recursive: true })
      const path = join(folder, 'weather/ceteris-fetched.json')
      const list = JSON.parse(readFileSync(path, 'utf8')) as { entries: { purpose: string }[] }
      const entries = list.entries.map((entry) =>
        entry.purpose === 'observations'
          ? { ...entry, state: 'provisional', fetched_at: '2014-03-10T12:00:00Z', ...changes }
          : entry,
      )
      writeFileSync(path, JSON.stringify({ ...list, entries }))
      const before = readFileSync(join(folder, mine), 'utf8')
      const ended = await ceterisOn(server.port, 'weather', folder, '--yes')
      expect(readFileSync(join(folder, mine), 'utf8')).toBe(before)
      return ended
    }
    const sha256 = createHash('sha256').update(track('2014-03-05T08:00:00Z')).digest('hex')
    const file = await forged('forged-file', { file: `../${mine}`, sha256 })
    expect(file.status).toBe(2)
    expect(file.stderr).toContain('cannot be read (entries.')
    const host = await forged('forged-host', { url: 'https://evil.example/collect' })
    expect(host.stdout).toContain('evil.example is no host of this service')
    await server.close()
    expect([...new Set(server.seen.map((one) => one.host))]).toEqual([IEM])
  })

  it('a link that leads out of the folder is not followed', async () => {
    const server = await replayServer(networks, reports)
    const folder = drives('link')
    const outside = folderWith(join(top, 'outside'), { 'mine.txt': 'mine\n' })
    symlinkSync(outside, join(folder, 'weather'))
    const ended = await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect(ended.status).toBe(2)
    expect(ended.stdout).toContain('leads out of the folder by a link')
    expect(readdirSync(outside)).toEqual(['mine.txt'])
  })

  it.skipIf(process.getuid?.() === 0)('a folder without the right to write is named', async () => {
    const server = await replayServer(networks, reports)
    const folder = drives('locked')
    mkdirSync(join(folder, 'weather'))
    chmodSync(join(folder, 'weather'), 0o500)
    const ended = await ceterisOn(server.port, 'weather', folder, '--yes')
    chmodSync(join(folder, 'weather'), 0o700)
    await server.close()
    expect(ended.stdout).toContain('could not be written')
  })
})

describe('a call that is ended', () => {
  /** Starts the program and sends a signal while the n-th request waits for its answer. */
  async function endedAt(request: number, signal: NodeJS.Signals, folder: string) {
    let asked = 0
    let child: ReturnType<typeof spawn> | null = null
    const killing: Replay = () => {
      asked++
      if (asked === request) child?.kill(signal)
      return false
    }
    // The request at which it is ended gets its answer all the same.
    const server = await replayServer(killing, networks, reports)
    child = spawn(process.execPath, [PROGRAM, 'weather', folder, '--yes'], {
      env: { ...process.env, CETERIS_LOOPBACK_PORT: String(server.port) },
      stdio: ['ignore', 'ignore', 'pipe'],
    })
    let stderr = ''
    child.stderr?.setEncoding('utf8').on('data', (text: string) => {
      stderr += text
    })
    const status = await new Promise((resolve) => child?.on('close', (code, by) => resolve(code ?? by)))
    await server.close()
    return { status, stderr }
  }

  const ENDS = [
    [2, 'SIGINT'],
    [3, 'SIGKILL'],
    [3, 'SIGINT'],
    [2, 'SIGKILL'],
  ] as const
  it.each(ENDS.slice(0, ALL ? ENDS.length : 2))(
    'at request %i by %s leaves nothing half-written, and the next one goes on from there',
    async (request, signal) => {
      const folder = drives(`ended-${request}-${signal}`)
      const { status, stderr } = await endedAt(request, signal, folder)
      expect(status).toBe(signal === 'SIGINT' ? 130 : 'SIGKILL')
      if (signal === 'SIGINT')
        expect(stderr).toContain('what was fetched so far is kept, and the same call goes on from there')
      for (const name of readdirSync(join(folder, 'weather')).filter((one) => one.endsWith('.tsv'))) {
        expect(readFileSync(join(folder, 'weather', name)).equals(HYDERABAD)).toBe(true)
      }
      const kept = readdirSync(join(folder, 'weather'), { recursive: true, encoding: 'utf8' })
      const server = await replayServer(networks, reports)
      const next = await ceterisOn(server.port, 'weather', folder, '--yes')
      await server.close()
      expect(next.status).toBe(0)
      // What had been written is not asked for again.
      for (const { url } of server.seen) {
        const day = url.searchParams.get('sts')?.slice(0, 10)
        const file = day ? `iem_${url.searchParams.get('station')}_${day}.tsv` : 'iem_networks.json'
        expect(kept.filter((path) => path.endsWith(file))).toEqual([])
      }
      const { entries, whole } = listed(folder)
      expect(whole).toBe(entries)
      // A killed call's hidden folder goes with the next one.
      expect(readdirSync(join(folder, 'weather')).filter((name) => name.startsWith('.ceteris-writing'))).toEqual([])
    },
  )

  it('at the cap of requests says what is left, and the next one fetches it', async () => {
    const server = await replayServer(networks, reports)
    const folder = drives('capped')
    const first = await ceterisOn(server.port, 'weather', folder, '--yes', '--most-requests', '2')
    expect(first.status).toBe(1)
    expect(first.stdout).toContain('left for the next call, the 2 requests that are allowed are used up')
    const next = await ceterisOn(server.port, 'weather', folder, '--yes')
    await server.close()
    expect(next.status).toBe(0)
    expect(server.seen.filter(({ url }) => url.pathname.includes('networks'))).toHaveLength(1)
  })
})

describe('what may still change', () => {
  it('is renewed with the marks of the last answer; 304 keeps the file, another answer replaces it', async () => {
    const folder = drives('renewed')
    const first = await replayServer(networks, replayOf(IEM, '/cgi-bin', HYDERABAD, { etag: '"one"' }))
    await ceterisOn(first.port, 'weather', folder, '--yes')
    await first.close()
    // As if it had been fetched on the day of the drives.
    const path = join(folder, 'weather/ceteris-fetched.json')
    const list = readFetchedList(readFileSync(path, 'utf8')).value!
    const early = list.entries.map((entry) =>
      entry.purpose === 'observations' ? { ...entry, state: 'provisional', fetched_at: '2014-03-10T12:00:00Z' } : entry,
    )
    writeFileSync(path, `${JSON.stringify({ ...list, entries: early }, null, 2)}\n`)

    const unchanged: Replay = ({ headers, url }, response) => {
      if (!url.pathname.startsWith('/cgi-bin')) return false
      response.writeHead(headers['if-none-match'] === '"one"' ? 304 : 500).end()
      return true
    }
    const second = await replayServer(networks, unchanged)
    const renewed = await ceterisOn(second.port, 'weather', folder, '--yes')
    await second.close()
    expect(renewed.stdout).toContain('0 files written')
    expect(renewed.stdout).toContain('unchanged')
    expect(renewed.status).toBe(0)
    const after = readFetchedList(readFileSync(path, 'utf8')).value!.entries.filter(
      ({ purpose }) => purpose === 'observations',
    )
    expect(after.map(({ state }) => state)).toEqual(after.map(() => 'final'))
    expect(listed(folder).whole).toBe(listed(folder).entries)
  })
})
