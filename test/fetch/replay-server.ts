import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'

/** A request as the server saw it. */
export interface Seen {
  host: string
  url: URL
  headers: IncomingMessage['headers']
}

/** Answers a request; returns false where it is none of its own. */
export type Replay = (seen: Seen, response: ServerResponse) => boolean

/** A server on this computer that replays answers in the place of all hosts. */
export interface ReplayServer {
  port: number
  seen: Seen[]
  close: () => Promise<void>
}

/** Starts it; what no replay knows is answered with 404, as an address that has changed would be. */
export async function replayServer(...replays: Replay[]): Promise<ReplayServer> {
  const seen: Seen[] = []
  const server = createServer((request, response) => {
    const host = request.headers.host ?? ''
    const one = { host, url: new URL(request.url ?? '/', `https://${host}`), headers: request.headers }
    seen.push(one)
    if (!replays.some((replay) => replay(one, response))) response.writeHead(404).end('not found\n')
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return { port: (server.address() as AddressInfo).port, seen, close: () => closed(server) }
}

function closed(server: Server): Promise<void> {
  server.closeAllConnections()
  return new Promise((resolve, reject) => server.close((error) => (error ? reject(error) : resolve())))
}

/** Answers with a text or bytes where host and path begin as said. */
export const replayOf =
  (host: string, path: string, body: string | Uint8Array, headers: Record<string, string> = {}): Replay =>
  (seen, response) => {
    if (seen.host !== host || !`${seen.url.pathname}${seen.url.search}`.startsWith(path)) return false
    response.writeHead(200, headers).end(body)
    return true
  }
