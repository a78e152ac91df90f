import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process'
import {
  appendFileSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { request } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { writeReport } from '../../src/files/write.ts'
import { startWatchServer } from '../../src/watch/watch-server.ts'
import { ceteris, folderWith, PROGRAM, STEADY_WEATHER, straightTrack } from '../cli/command.ts'

let top = ''
const at = (...names: string[]): string => join(top, ...names)
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-watch-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

interface Answer {
  status: number
  headers: Record<string, string | string[] | undefined>
  body: string
}

/** A request as it is given, with a path that nobody tidies up. */
function ask(
  address: string,
  path: string,
  options: { method?: string; headers?: Record<string, string> } = {},
): Promise<Answer> {
  const { hostname, port } = new URL(address)
  return new Promise((resolve, reject) => {
    const sent = request({ hostname, port, path, agent: false, ...options }, (response) => {
      let body = ''
      response.setEncoding('utf8')
      response.on('data', (part: string) => {
        body += part
      })
      response.on('end', () => resolve({ status: response.statusCode ?? 0, headers: response.headers, body }))
    })
    sent.on('error', reject)
    sent.end()
  })
}

interface Event {
  event: string
  address: string
  runs: number
  files: string[]
}

/** The program watching a folder, with the events that it printed. */
interface Watching {
  child: ChildProcessWithoutNullStreams
  events: Event[]
  stderr: string
}

function watching(folder: string, ...options: string[]): Watching {
  const child = spawn(process.execPath, [
    PROGRAM,
    'watch',
    folder,
    '--json',
    '--draws',
    '50',
    '--settle',
    '0.3',
    ...options,
  ])
  const started: Watching = { child, events: [], stderr: '' }
  let rest = ''
  child.stdout.on('data', (part: Buffer) => {
    const lines = (rest + part.toString()).split('\n')
    rest = lines.pop() ?? ''
    started.events.push(...lines.map((line) => JSON.parse(line) as Event))
  })
  child.stderr.on('data', (part: Buffer) => {
    started.stderr += part.toString()
  })
  return started
}

/** The n-th event of a kind, once it has come. */
async function seen(started: Watching, kind: string, count = 1): Promise<Event> {
  const { events, child } = started
  for (let waitedMs = 0; waitedMs < 30_000; waitedMs += 50) {
    const found = events.filter(({ event }) => event === kind)[count - 1]
    if (found) return found
    if (child.exitCode !== null) break
    await sleep(50)
  }
  child.kill('SIGKILL')
  throw new Error(`no event "${kind}" number ${count} among ${JSON.stringify(events)}; ${started.stderr}`)
}

function stopped({ child }: Watching, signal: NodeJS.Signals): Promise<number | null> {
  const ended = new Promise<number | null>((resolve) => {
    child.once('exit', resolve)
  })
  child.kill(signal)
  return ended
}

let open: Watching | null = null
afterEach(() => {
  open?.child.kill('SIGKILL')
  open = null
})

describe('ceteris watch', () => {
  it('makes the report as files arrive, waits for those still being written, and stops cleanly', async () => {
    const folder = folderWith(at('arriving'), { 'weather.csv': STEADY_WEATHER })
    open = watching(folder, '--settle', '1')
    const { address } = await seen(open, 'listening')
    expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/)
    await seen(open, 'no-report')
    expect((await ask(address, '/report/index.html')).body).toContain('There is no report yet')

    writeFileSync(join(folder, 'a.gpx'), straightTrack('2024-05-03T08:05:00Z'))
    expect((await seen(open, 'report')).runs).toBe(1)
    const first = await ask(address, '/report/index.html')
    expect(first.body).toBe(readFileSync(join(folder, 'report/index.html'), 'utf8'))

    // What a browser or a synchroniser has not finished is nobody's track yet.
    writeFileSync(join(folder, 'c.gpx.part'), straightTrack('2024-05-03T08:45:00Z').slice(0, 9000))
    // A file that grows for more than a second: one report of the whole of it, none of a part.
    const track = straightTrack('2024-05-03T08:35:00Z')
    const part = Math.ceil(track.length / 8)
    for (let from = 0; from < track.length; from += part) {
      appendFileSync(join(folder, 'b.gpx'), track.slice(from, from + part))
      await sleep(150)
    }
    const second = await seen(open, 'report', 2)
    expect(second.runs).toBe(2)
    // A slow machine may have seen the first file while it was being written as well.
    const waitedFor = open.events.flatMap(({ event, files }) => (event === 'waiting' ? (files ?? []) : []))
    expect(waitedFor).toContain('b.gpx')
    const report = JSON.parse(readFileSync(join(folder, 'report/report.json'), 'utf8')) as {
      problems: { code: string }[]
    }
    expect(report.problems.map(({ code }) => code)).not.toContain('xml-not-well-formed')
    expect((await ask(address, '/report/index.html')).headers.etag).not.toBe(first.headers.etag)

    expect(await stopped(open, 'SIGINT')).toBe(0)
    expect(open.events.at(-1)?.event).toBe('stopped')
    // Two reports for two arrivals: its own writing did not wake it.
    expect(open.events.filter(({ event }) => event === 'report')).toHaveLength(2)
    expect(existsSync(join(folder, 'report/index.html'))).toBe(true)
    await expect(ask(address, '/')).rejects.toThrow('ECONNREFUSED')
  })

  it('finishes a report that is being made when it is told to stop, and leaves nothing else behind', async () => {
    const folder = folderWith(at('stopping'), {
      'a.gpx': straightTrack('2024-05-03T08:05:00Z', 1500),
      'b.gpx': straightTrack('2024-05-03T08:35:00Z', 1500),
      'weather.csv': STEADY_WEATHER,
    })
    open = watching(folder, '--draws', '2000')
    expect((await seen(open, 'making')).files).toEqual(['a.gpx', 'b.gpx', 'weather.csv'])
    expect(await stopped(open, 'SIGTERM')).toBe(0)
    const report = JSON.parse(readFileSync(join(folder, 'report/report.json'), 'utf8')) as { runs: unknown[] }
    expect(report.runs).toHaveLength(2)
    expect(readdirSync(folder).sort()).toEqual(['a.gpx', 'b.gpx', 'report', 'weather.csv'])
  })

  it('leaves with 2 when its folder is taken away', async () => {
    const folder = folderWith(at('going'), { 'a.gpx': straightTrack('2024-05-03T08:05:00Z'), 'w.csv': STEADY_WEATHER })
    open = watching(folder)
    const { child } = open
    await seen(open, 'report')
    const ended = new Promise<number | null>((resolve) => {
      child.once('exit', resolve)
    })
    rmSync(folder, { recursive: true })
    expect(await ended).toBe(2)
    expect(open.events.at(-1)?.event).toBe('gone')
    expect(existsSync(folder)).toBe(false)
  })

  it('leaves with 2 where there is no folder, a bad place for the report, or a port that is taken', async () => {
    expect(ceteris('watch', at('nowhere'))).toMatchObject({ status: 2, stdout: '' })
    const folder = folderWith(at('bad'), { 'weather.csv': STEADY_WEATHER })
    expect(ceteris('watch', folder, '--out', folder)).toMatchObject({ status: 2, stdout: '' })
    const other = await startWatchServer(at('none'), 0)
    const taken = ceteris('watch', folder, '--port', new URL(other.address).port)
    await other.close()
    expect(taken).toMatchObject({ status: 2, stdout: '' })
    expect(taken.stderr).toContain('another program listens there')
  })
})

describe('the server of the report', () => {
  const PAGE = `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'sha256-x'"><p>hello`
  const REPORT = {
    'report.json': '{\n  "schema": "ceteris-report/2"\n}\n',
    'index.html': PAGE,
    'pairs.csv': 'a\n',
  }

  it('serves the files of the report folder, each as what it is, and nothing else', async () => {
    const folder = at('served/report')
    await writeReport(folder, { ...REPORT, 'cards/a b.svg': '<svg/>', 'odd.bin': 'x' })
    writeFileSync(at('served/secret.txt'), 'secret')
    writeFileSync(join(folder, 'my-notes.md'), 'secret')
    symlinkSync(at('served/secret.txt'), join(folder, 'link.txt'))
    symlinkSync(at('served'), join(folder, 'up'))
    const server = await startWatchServer(folder, 0)
    const type = async (path: string) => {
      const { status, headers } = await ask(server.address, path)
      return status === 200 ? headers['content-type'] : status
    }
    expect(await type('/')).toBe('text/html; charset=utf-8')
    expect(await type('/report/index.html')).toBe('text/html; charset=utf-8')
    expect(await type('/report/report.json')).toBe('application/json')
    expect(await type('/report/pairs.csv?x=1')).toBe('text/csv; charset=utf-8')
    expect(await type('/report/cards/a%20b.svg')).toBe('image/svg+xml')
    expect(await type('/report/odd.bin')).toBe('application/octet-stream')
    for (const path of [
      '/report',
      '/report/',
      '/index.html',
      '/secret.txt',
      '/report/../secret.txt',
      '/report/%2e%2e/secret.txt',
      '/report/..%2fsecret.txt',
      '/report/cards/../../secret.txt',
      '/report/cards/..%5c..%5csecret.txt',
      '/report//etc/passwd',
      '/report/%00index.html',
      '/report/link.txt',
      '/report/my-notes.md',
      '/report/.ceteris-report.json',
      '/report/up/secret.txt',
      '/report/cards',
      '//report/index.html',
      `/report/${encodeURIComponent(at('served/secret.txt'))}`,
    ]) {
      const { status, body } = await ask(server.address, path)
      expect({ path, status, told: body.includes('secret\n') || body === 'secret' }).toEqual({
        path,
        status: 404,
        told: false,
      })
    }
    await server.close()
  })

  it('can only be read, under its own name, and lets a browser keep what has not changed', async () => {
    await writeReport(at('rules/report'), REPORT)
    const server = await startWatchServer(at('rules/report'), 0)
    const path = '/report/index.html'
    for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS']) {
      expect((await ask(server.address, path, { method })).status).toBe(405)
    }
    for (const host of ['evil.example', `evil.example:${new URL(server.address).port}`, '127.0.0.1']) {
      expect((await ask(server.address, path, { headers: { Host: host } })).status).toBe(403)
    }
    const whole = await ask(server.address, path)
    expect(whole.headers['x-content-type-options']).toBe('nosniff')
    expect(whole.headers['content-security-policy']).toBe(
      "default-src 'none'; script-src 'sha256-x'; frame-ancestors 'self'",
    )
    expect(whole.headers['access-control-allow-origin']).toBeUndefined()
    const etag = String(whole.headers.etag)
    expect(await ask(server.address, path, { headers: { 'If-None-Match': etag } })).toMatchObject({
      status: 304,
      body: '',
    })
    expect(await ask(server.address, path, { method: 'HEAD' })).toMatchObject({ status: 200, body: '' })
    const page = await ask(server.address, '/')
    const policy = String(page.headers['content-security-policy'])
    expect(policy).toContain("default-src 'none'")
    expect(policy).not.toContain('unsafe')
    await server.close()
  })

  it('tells open pages of a new report', async () => {
    const server = await startWatchServer(folderWith(at('events/report'), REPORT), 0)
    const { hostname, port } = new URL(server.address)
    const heard = new Promise<string>((resolve, reject) => {
      const sent = request({ hostname, port, path: '/events', agent: false }, (response) => {
        expect(response.headers['content-type']).toBe('text/event-stream')
        let text = ''
        response.on('data', (part: Buffer) => {
          if (text === '') server.announce()
          text += part.toString()
          if (text.includes('data: 2')) server.close().catch(reject)
        })
        response.on('end', () => resolve(text))
      })
      sent.on('error', reject)
      sent.end()
    })
    expect((await heard).match(/event: report\ndata: \d+\n\n/g)).toEqual([
      'event: report\ndata: 1\n\n',
      'event: report\ndata: 2\n\n',
    ])
  })

  it('serves nothing of a folder that holds no report', async () => {
    const server = await startWatchServer(folderWith(at('photos'), { 'holiday.jpg': 'x', 'index.html': 'mine' }), 0)
    expect((await ask(server.address, '/report/holiday.jpg')).status).toBe(404)
    expect((await ask(server.address, '/report/index.html')).body).toContain('There is no report yet')
    await server.close()
  })
})
