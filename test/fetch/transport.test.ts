import { createServer } from 'node:http'
import { type AddressInfo, connect } from 'node:net'
import { gzipSync } from 'node:zlib'
import { afterEach, describe, expect, it } from 'vitest'
import { type Get, networkTransport, Unanswered } from '../../src/fetch/get/transport.ts'
import { type Replay, type ReplayServer, replayServer } from './replay-server.ts'

const HOST = 'weather.example'
const TEXT = 'station\tvalid\nVOHY\t2014-03-05 07:40\n'

let server: ReplayServer | null = null
afterEach(async () => {
  await server?.close()
  server = null
})

async function got(replay: Replay, get: Partial<Get> = {}) {
  server = await replayServer(replay)
  const { transport, close } = networkTransport({ CETERIS_LOOPBACK_PORT: String(server.port) })
  const whole = { url: `https://${HOST}/a?b=c`, headers: {}, hosts: [HOST], mostBytes: 1e6, timeoutMs: 20_000, ...get }
  try {
    return await transport(whole)
  } catch (error) {
    if (error instanceof Unanswered) return error
    throw error
  } finally {
    await close()
  }
}

const textOf = (answer: Awaited<ReturnType<typeof got>>): string =>
  answer instanceof Unanswered ? `unanswered: ${answer.message}` : new TextDecoder().decode(answer.bytes)

describe('the one place that opens connections', () => {
  it('asks the host that is meant, and no other address than this computer', async () => {
    const answer = await got((_, response) => Boolean(response.end(TEXT)))
    expect(textOf(answer)).toBe(TEXT)
    expect(server?.seen.map(({ host, url }) => `${host}${url.pathname}${url.search}`)).toEqual([`${HOST}/a?b=c`])
  })

  it('unpacks what the connection packed, and nothing else', async () => {
    const packed: Replay = (_, response) =>
      Boolean(response.writeHead(200, { 'content-encoding': 'gzip' }).end(gzipSync(TEXT)))
    expect(textOf(await got(packed))).toBe(TEXT)
    await server?.close()
    const file = gzipSync(TEXT)
    const answer = await got((_, response) => Boolean(response.writeHead(200).end(file)))
    expect(answer).toMatchObject({ status: 200, bytes: new Uint8Array(file) })
  })

  it('a packed answer that was cut off is none', async () => {
    const cut: Replay = (_, response) =>
      Boolean(response.writeHead(200, { 'content-encoding': 'gzip' }).end(gzipSync(TEXT).subarray(0, 30)))
    expect(textOf(await got(cut))).toBe('unanswered: the answer was cut off or damaged on the way')
  })

  it('a body in pieces that breaks off is no answer, with and without a length', async () => {
    const pieces: Replay = (_, response) => {
      response.write(TEXT, () => response.destroy())
      return true
    }
    expect(textOf(await got(pieces))).toBe('unanswered: the connection broke off in the middle of the answer')
    await server?.close()
    const short: Replay = (_, response) => {
      response.writeHead(200, { 'content-length': '1000' }).write(TEXT, () => response.destroy())
      return true
    }
    expect(textOf(await got(short))).toBe('unanswered: the connection broke off in the middle of the answer')
  })

  it('a server that never answers is given up', async () => {
    expect(textOf(await got(() => true, { timeoutMs: 300 }))).toBe('unanswered: no answer within 0 s')
  })

  it('goes on to where the same service sends it, and to no host that nobody said yes to', async () => {
    const moved: Replay = ({ url }, response) => {
      if (url.pathname === '/a') response.writeHead(302, { location: '/b' }).end()
      else response.end(TEXT)
      return true
    }
    expect(textOf(await got(moved))).toBe(TEXT)
    await server?.close()
    const away: Replay = (_, response) => Boolean(response.writeHead(302, { location: 'https://login.example/' }).end())
    const answer = await got(away)
    expect(textOf(answer)).toBe(
      'unanswered: the server sent the question on to login.example, which nobody said yes to',
    )
    expect(answer).toMatchObject({ lasting: true })
    await server?.close()
    const bare: Replay = (_, response) => Boolean(response.writeHead(301, { location: `http://${HOST}/a` }).end())
    expect(textOf(await got(bare))).toContain('nobody said yes to')
    await server?.close()
    const round: Replay = (_, response) => Boolean(response.writeHead(302, { location: '/a' }).end())
    expect(textOf(await got(round))).toContain('more than 5 times')
  })

  it('takes no more than what is allowed, packed or unpacked', async () => {
    const large: Replay = (_, response) => Boolean(response.end('x'.repeat(5000)))
    expect(textOf(await got(large, { mostBytes: 4000 }))).toContain('larger than the')
    await server?.close()
    const bomb: Replay = (_, response) =>
      Boolean(response.writeHead(200, { 'content-encoding': 'gzip' }).end(gzipSync('x'.repeat(1e6))))
    expect(textOf(await got(bomb, { mostBytes: 5000 }))).toContain('larger than the')
  })

  it('goes through the proxy that the environment names, and not where NO_PROXY forbids it', async () => {
    const asked: string[] = []
    const proxy = createServer()
    proxy.on('connect', (request, socket) => {
      asked.push(request.url ?? '')
      socket.end('HTTP/1.1 502 Bad Gateway\r\n\r\n')
    })
    await new Promise<void>((resolve) => proxy.listen(0, '127.0.0.1', resolve))
    const { port } = proxy.address() as AddressInfo
    const { transport, close } = networkTransport(process.env)
    await close()
    expect(transport).toBeTypeOf('function')
    const before = process.env.HTTPS_PROXY
    process.env.HTTPS_PROXY = `http://127.0.0.1:${port}`
    try {
      const over = networkTransport(process.env)
      const get = { url: `https://${HOST}/a`, headers: {}, hosts: [HOST], mostBytes: 1e6, timeoutMs: 20_000 }
      await expect(over.transport(get)).rejects.toBeInstanceOf(Unanswered)
      await over.close()
    } finally {
      if (before === undefined) delete process.env.HTTPS_PROXY
      else process.env.HTTPS_PROXY = before
      proxy.closeAllConnections()
      proxy.close()
    }
    expect(asked).toEqual([`${HOST}:443`])
  })

  it('tests reach no other computer', () => {
    expect(() => connect({ host: 'weather.example', port: 443 })).toThrow('a test tried to connect to weather.example')
  })
})
