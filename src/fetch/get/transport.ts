import { brotliDecompressSync, gunzipSync, inflateSync } from 'node:zlib'
import { Agent, type Dispatcher, EnvHttpProxyAgent, request } from 'undici'
import type { Answer } from '../types.ts'

/** One request over the network: everything about it is said here. */
export interface Get {
  url: string
  headers: Record<string, string>
  /** Hosts that an answer may come from, redirects included. */
  hosts: readonly string[]
  /** No more than so many bytes are taken, packed or unpacked. */
  mostBytes: number
  timeoutMs: number
}

/** Why there is no answer. */
export class Unanswered extends Error {
  /** `lasting`: the next try would end in the same way. */
  readonly lasting: boolean
  constructor(message: string, lasting = false) {
    super(message)
    this.lasting = lasting
  }
}

/** Makes a request; throws `Unanswered` where no whole answer comes. */
export type Transport = (get: Get) => Promise<Answer>

const MOST_REDIRECTS = 5
const REDIRECTS = [301, 302, 303, 307, 308]

/**
 * The variable with which tests lead every connection to a port of this computer. It can make no connection that would
 * not be made otherwise, and none that leaves the computer: there is no way to name another host in it.
 */
const LOOPBACK = 'CETERIS_LOOPBACK_PORT'

/**
 * Requests through undici, which knows the proxies that the environment names (HTTP_PROXY, HTTPS_PROXY, NO_PROXY); the
 * `fetch` of Node 20 does not. This is the one place of the program that opens a connection to another computer.
 */
export function networkTransport(environment: NodeJS.ProcessEnv): { transport: Transport; close: () => Promise<void> } {
  const port = environment[LOOPBACK]
  const dispatcher: Dispatcher = port ? new Agent({ connections: 1 }) : new EnvHttpProxyAgent({ connections: 1 })
  const placed = port ? onLoopback(port) : asItStands
  return { transport: (get) => answered(get, dispatcher, placed), close: () => dispatcher.close() }
}

/** Whether all connections end on this computer, where no pauses are owed to anybody. */
export const isOnLoopback = (environment: NodeJS.ProcessEnv): boolean => Boolean(environment[LOOPBACK])

type Placed = (url: URL) => { url: URL; headers: Record<string, string> }

const asItStands: Placed = (url) => ({ url, headers: {} })

function onLoopback(port: string): Placed {
  if (!/^\d{1,5}$/.test(port)) throw new Error(`${LOOPBACK} must be a port's number`)
  return (url) => ({
    url: new URL(`http://127.0.0.1:${port}${url.pathname}${url.search}`),
    headers: { host: url.host },
  })
}

async function answered(get: Get, dispatcher: Dispatcher, placed: Placed): Promise<Answer> {
  const signal = AbortSignal.timeout(get.timeoutMs)
  let url = new URL(get.url)
  try {
    for (let i = 0; i <= MOST_REDIRECTS; i++) {
      const place = placed(url)
      const answer = await request(place.url, { dispatcher, signal, headers: { ...get.headers, ...place.headers } })
      const headers = flat(answer.headers)
      if (!REDIRECTS.includes(answer.statusCode)) {
        const packed = await bodyOf(answer.body, get.mostBytes)
        return { status: answer.statusCode, headers, bytes: unpacked(packed, headers, get.mostBytes) }
      }
      await answer.body.dump()
      url = followed(url, headers.location, get.hosts)
    }
    throw new Unanswered(`the server sent the question on more than ${MOST_REDIRECTS} times`, true)
  } catch (error) {
    throw error instanceof Unanswered ? error : new Unanswered(reasonOf(error, get.timeoutMs))
  }
}

/** Where a `location` leads; null where it is no address. */
function addressIn(location: string, from: URL): URL | null {
  try {
    return new URL(location, from)
  } catch {
    return null
  }
}

/** Only to hosts that were told to the user, and only encrypted: a login page of a hotel is neither. */
function followed(from: URL, location: string | undefined, hosts: readonly string[]): URL {
  const to = location === undefined ? null : addressIn(location, from)
  if (to === null) throw new Unanswered('the server sent the question on without saying where to', true)
  if (to.protocol === 'https:' && hosts.includes(to.host)) return to
  throw new Unanswered(`the server sent the question on to ${to.host}, which nobody said yes to`, true)
}

function flat(headers: Record<string, string | string[] | undefined>): Record<string, string> {
  return Object.fromEntries(Object.entries(headers).map(([name, value]) => [name, [value ?? ''].flat().join(', ')]))
}

async function bodyOf(body: AsyncIterable<Uint8Array>, mostBytes: number): Promise<Uint8Array> {
  const parts: Uint8Array[] = []
  let bytes = 0
  for await (const part of body) {
    bytes += part.length
    if (bytes > mostBytes) throw tooLarge(mostBytes)
    parts.push(part)
  }
  return new Uint8Array(Buffer.concat(parts))
}

const tooLarge = (bytes: number): Unanswered =>
  new Unanswered(`the answer is larger than the ${Math.max(1, Math.round(bytes / 1e6))} MB that are allowed`, true)

/** What the connection packed: gzip and the like are no part of the answer. A .gz file stays packed. */
function unpacked(bytes: Uint8Array, headers: Record<string, string>, mostBytes: number): Uint8Array {
  const coding = (headers['content-encoding'] ?? 'identity').trim().toLowerCase()
  if (coding === 'identity' || coding === '' || bytes.length === 0) return bytes
  const unpack = { gzip: gunzipSync, 'x-gzip': gunzipSync, deflate: inflateSync, br: brotliDecompressSync }[coding]
  if (unpack === undefined) throw new Unanswered(`the answer is packed as ${coding}, which was not asked for`, true)
  try {
    return new Uint8Array(unpack(bytes, { maxOutputLength: mostBytes }))
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ERR_BUFFER_TOO_LARGE') throw tooLarge(mostBytes)
    throw new Unanswered('the answer was cut off or damaged on the way')
  }
}

function reasonOf(error: unknown, timeoutMs: number): string {
  const { name, code, message } = error as NodeJS.ErrnoException
  if (name === 'TimeoutError' || /TIMEOUT/.test(code ?? '')) return `no answer within ${Math.round(timeoutMs / 1000)} s`
  if (code === 'UND_ERR_SOCKET' || /terminated|closed|aborted/.test(message))
    return 'the connection broke off in the middle of the answer'
  if (code === 'ENOTFOUND' || code === 'EAI_AGAIN')
    return 'the host’s name could not be found: is this computer on the network?'
  if (code === 'ECONNREFUSED') return 'the connection was refused'
  return `the connection failed (${code ?? message})`
}
