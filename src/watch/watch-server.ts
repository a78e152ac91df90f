import { createHash } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { extname, join, relative, sep } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { isFileError } from '../files/file-errors.ts'
import { listOf } from '../files/report-list.ts'
import { NO_REPORT, PAGE_POLICY, REPORT_PATH, watchPage } from './watch-page.ts'

export interface WatchServer {
  /** Such as http://127.0.0.1:40123/ */
  address: string
  /** Tells every open page that there is a new report. */
  announce: () => void
  close: () => Promise<void>
}

const CONTENT_TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.json': 'application/json',
  '.geojson': 'application/geo+json',
  '.csv': 'text/csv; charset=utf-8',
  '.md': 'text/markdown; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.parquet': 'application/vnd.apache.parquet',
}

/** Whatever else than a page is opened runs and fetches nothing. */
const OTHER_POLICY = "default-src 'none'; style-src 'unsafe-inline'; sandbox; frame-ancestors 'self'"

/** A page's own policy, which stands in it, said once more in the header, where it may also say who may frame it. */
function pagePolicy(page: Buffer): string {
  const own = /http-equiv="Content-Security-Policy" content="([^"\r\n]*)"/.exec(page.toString('utf8'))?.[1]
  return `${own ?? "default-src 'none'"}; frame-ancestors 'self'`
}

const HOST = '127.0.0.1'
const HEARTBEAT_MS = 20_000

/**
 * Serves the files of one report folder to this computer alone: GET and HEAD, by names that are looked up in the list of
 * the folder's files and never made into a path. Requests under another host's name are refused, so that no web page
 * can ask through a name that it controls.
 * @param folder absolute path of the report folder, which may come and go
 * @param port 0 for any that is free; throws the system's error where it is taken
 */
export async function startWatchServer(folder: string, port: number): Promise<WatchServer> {
  const pages = new Set<ServerResponse>()
  const state = { folder, pages, made: 1 }
  const server = createServer((request, response) => {
    answer(state, portOf(server), request, response).catch(() => {
      if (!response.headersSent) plain(response, 500, 'The file could not be read.')
      else response.destroy()
    })
  })
  await new Promise<void>((listening, failed) => {
    server.once('error', failed)
    server.listen(port, HOST, listening)
  })
  const heartbeat = setInterval(() => {
    for (const page of pages) page.write(': still here\n\n')
  }, HEARTBEAT_MS)
  return {
    address: `http://${HOST}:${portOf(server)}/`,
    announce: () => {
      state.made++
      for (const page of pages) page.write(reportEvent(state.made))
    },
    close: async () => {
      clearInterval(heartbeat)
      for (const page of pages) page.end()
      const closed = new Promise<void>((done) => server.close(() => done()))
      server.closeAllConnections()
      await closed
    },
  }
}

interface State {
  folder: string
  /** Open pages. */
  pages: Set<ServerResponse>
  /** Number of the newest report; a page that shows another one reloads. */
  made: number
}

const reportEvent = (made: number): string => `event: report\ndata: ${made}\n\n`

const portOf = (server: Server): number => (server.address() as AddressInfo).port

async function answer(state: State, port: number, request: IncomingMessage, response: ServerResponse): Promise<void> {
  const names = [HOST, 'localhost'].map((name) => `${name}:${port}`)
  if (!names.includes(request.headers.host ?? ''))
    return plain(response, 403, 'This address answers to its own name only.')
  if (request.method !== 'GET' && request.method !== 'HEAD') {
    response.setHeader('Allow', 'GET, HEAD')
    return plain(response, 405, 'This address can only be read.')
  }
  const path = (request.url ?? '').split('?')[0]
  if (path === '/events') return follow(state, request, response)
  if (path === '/')
    return send(request, response, Buffer.from(watchPage(state.made)), CONTENT_TYPES['.html'], PAGE_POLICY)
  if (!path.startsWith(REPORT_PATH)) return plain(response, 404, 'There is no such file.')
  return sendReportFile(state.folder, path.slice(REPORT_PATH.length), request, response)
}

function follow({ pages, made }: State, request: IncomingMessage, response: ServerResponse): void {
  response.writeHead(200, { 'Content-Type': 'text/event-stream', 'Cache-Control': 'no-store' })
  if (request.method === 'HEAD') {
    response.end()
    return
  }
  response.write(`retry: 1000\n\n${reportEvent(made)}`)
  pages.add(response)
  response.on('close', () => pages.delete(response))
}

async function sendReportFile(
  folder: string,
  name: string,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const bytes = await reportFile(folder, name)
  const kind = extname(name).toLowerCase()
  if (bytes !== null) {
    const type = CONTENT_TYPES[kind] ?? 'application/octet-stream'
    return send(request, response, bytes, type, kind === '.html' ? pagePolicy(bytes) : OTHER_POLICY)
  }
  if (name === 'index.html') {
    const page = Buffer.from(NO_REPORT)
    return send(request, response, page, CONTENT_TYPES['.html'], pagePolicy(page))
  }
  return plain(response, 404, 'There is no such file.')
}

/** The bytes of a file of the report by its name as a URL writes it; null where the folder lists no such file. */
async function reportFile(folder: string, urlName: string): Promise<Buffer | null> {
  for (let attempt = 0; attempt < 3; attempt++) {
    // The folder is away for a moment while a new report takes its place.
    if (attempt > 0) await sleep(30)
    // Whatever else may lie in the report's place is nobody's business.
    const list = listOf(folder)
    if (list === null) continue
    try {
      const entries = await readdir(folder, { recursive: true, withFileTypes: true })
      const listed = entries
        .filter((entry) => entry.isFile())
        .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
        .filter((file) => list.has(file.split(sep).join('/')))
      const found = listed.find((file) => file.split(sep).map(encodeURIComponent).join('/') === urlName)
      return found === undefined ? null : await readFile(join(folder, found))
    } catch (error) {
      if (!isFileError(error)) throw error
    }
  }
  return null
}

function send(
  request: IncomingMessage,
  response: ServerResponse,
  bytes: Buffer,
  contentType: string,
  policy: string,
): void {
  const etag = `"${createHash('sha256').update(bytes).digest('base64url').slice(0, 27)}"`
  const headers = {
    'Content-Type': contentType,
    'Content-Security-Policy': policy,
    'X-Content-Type-Options': 'nosniff',
    'Referrer-Policy': 'no-referrer',
    'Cross-Origin-Resource-Policy': 'same-origin',
    'Cache-Control': 'no-cache',
    ETag: etag,
  }
  if (request.headers['if-none-match'] === etag) {
    response.writeHead(304, headers).end()
    return
  }
  response.writeHead(200, { ...headers, 'Content-Length': bytes.length })
  response.end(request.method === 'HEAD' ? undefined : bytes)
}

function plain(response: ServerResponse, status: number, text: string): void {
  response.writeHead(status, {
    'Content-Type': 'text/plain; charset=utf-8',
    'X-Content-Type-Options': 'nosniff',
    'Content-Security-Policy': "default-src 'none'; frame-ancestors 'self'",
  })
  response.end(`${text}\n`)
}
