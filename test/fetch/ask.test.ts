import { describe, expect, it } from 'vitest'
import { type Caps, type Clock, politeAsker, type Question, retryAfterMs } from '../../src/fetch/get/ask.ts'
import { type Get, type Transport, Unanswered } from '../../src/fetch/get/transport.ts'
import type { Answer } from '../../src/fetch/types.ts'

const START_MS = Date.parse('2026-05-04T06:00:00Z')
const CAPS: Caps = { requests: 100, bytes: 1e6, minutes: 60 }

type Step = Partial<Answer> | Unanswered

/** A world in which nobody waits: each request takes a tenth of a second, and answers come from a list. */
function world(steps: Step[], caps: Caps = CAPS, random = 0.5) {
  const at: { ms: number; get: Get }[] = []
  const waits: number[] = []
  let nowMs = START_MS
  const clock: Clock = {
    now: () => nowMs,
    wait: async (ms) => {
      waits.push(ms)
      nowMs += ms
    },
    random: () => random,
  }
  const transport: Transport = async (get) => {
    at.push({ ms: nowMs - START_MS, get })
    nowMs += 100
    const step = steps[Math.min(at.length, steps.length) - 1]
    if (step instanceof Unanswered) throw step
    return { status: 200, headers: {}, bytes: new TextEncoder().encode('rows\n'), ...step }
  }
  const told: string[] = []
  const ask = politeAsker(transport, clock, caps, 'ceteris/1.2.3', (what) => told.push(what))
  return { ask, at, waits, told }
}

const question = (changes: Partial<Question> = {}): Question => ({
  url: 'https://weather.example/a',
  hosts: ['weather.example'],
  pauseMs: 1100,
  known: null,
  check: (bytes) => (bytes.length > 0 ? { state: 'whole' } : { state: 'broken', why: 'the answer is empty' }),
  ...changes,
})

describe('manners', () => {
  it('keep the pause of a host between its requests, counted from the last answer, and name the program', async () => {
    const { ask, at } = world([{}])
    for (const path of ['a', 'b', 'c']) await ask(question({ url: `https://weather.example/${path}` }))
    await ask(question({ url: 'https://other.example/', hosts: ['other.example'] }))
    expect(at.map(({ ms }) => ms)).toEqual([0, 1200, 2400, 2500])
    expect(at.map(({ get }) => get.headers['user-agent'])).toEqual(Array(4).fill('ceteris/1.2.3'))
    expect(at.map(({ get }) => get.url.at(-1))).toEqual(['a', 'b', 'c', '/'])
  })

  it.each([
    ['429 without Retry-After', { status: 429, bytes: new TextEncoder().encode('Too many requests, slow down.') }],
    ['503 with a text', { status: 503, bytes: new TextEncoder().encode('ERROR: server over capacity') }],
    ['200 with an empty body', { bytes: new Uint8Array(0) }],
    ['a broken connection', new Unanswered('the connection broke off in the middle of the answer')],
  ] as [string, Step][])('after %s ask later and later, five times at most', async (_, step) => {
    const { ask, at, waits, told } = world([step])
    expect(await ask(question())).toMatchObject({ state: 'failed' })
    expect(at).toHaveLength(5)
    // 2·2ⁿ s with chance at its middle (2, 4, 8, 16 s); the pause of the host is over by then.
    expect(waits).toEqual([2000, 4000, 8000, 16_000])
    expect(told).toHaveLength(4)
  })

  it('chance spreads the waits, so that many programs do not come back together', async () => {
    const early = world([{ status: 503 }, {}], CAPS, 0)
    const late = world([{ status: 503 }, {}], CAPS, 0.999)
    expect(await early.ask(question())).toMatchObject({ state: 'whole' })
    await late.ask(question())
    expect([early.waits[0], late.waits[0]]).toEqual([1000, 2998])
  })

  it('wait as long as Retry-After says, in seconds or until a date', async () => {
    const seconds = world([{ status: 429, headers: { 'retry-after': '7' } }, {}])
    expect(await seconds.ask(question())).toMatchObject({ state: 'whole' })
    expect(seconds.waits).toEqual([7000])
    const date = world([{ status: 503, headers: { 'retry-after': 'Mon, 04 May 2026 06:00:30 GMT' } }, {}])
    await date.ask(question())
    expect(date.waits).toEqual([29_900])
  })

  it('a server that wants an hour has it: the call goes on without it', async () => {
    const { ask, at } = world([{ status: 429, headers: { 'retry-after': '3600' } }])
    expect(await ask(question())).toMatchObject({ state: 'failed', why: expect.stringContaining('60 minutes') })
    expect(at).toHaveLength(1)
  })

  it.each([400, 403, 404, 422])('status %i is not asked again', async (status) => {
    const { ask, at } = world([{ status, bytes: new TextEncoder().encode('no such thing\n') }])
    expect(await ask(question())).toMatchObject({
      state: 'failed',
      status,
      why: expect.stringContaining('no such thing'),
    })
    expect(at).toHaveLength(1)
  })

  it('a host that failed three times in a row is left alone', async () => {
    const { ask, at } = world([{ status: 503 }])
    for (let i = 0; i < 5; i++) await ask(question())
    expect(at).toHaveLength(15)
    expect(await ask(question())).toMatchObject({ state: 'failed', why: expect.stringContaining('left alone') })
  })

  it('a known answer is asked for with its marks, and 304 keeps it', async () => {
    const { ask, at } = world([{ status: 304, bytes: new Uint8Array(0) }])
    const known = { etag: '"x"', lastModified: 'Mon, 04 May 2026 05:00:00 GMT' }
    expect(await ask(question({ known }))).toMatchObject({ state: 'unchanged' })
    expect(at[0].get.headers).toMatchObject({
      'if-none-match': '"x"',
      'if-modified-since': 'Mon, 04 May 2026 05:00:00 GMT',
    })
  })

  it('a part of a file is asked for in its own bytes, and a whole file is no part', async () => {
    const { ask, at } = world([{ status: 206 }, { status: 200 }])
    expect(await ask(question({ range: [0, 99] }))).toMatchObject({ state: 'whole' })
    expect(at[0].get.headers).toMatchObject({ range: 'bytes=0-99', 'accept-encoding': 'identity' })
    expect(await ask(question({ range: [0, 99] }))).toMatchObject({ state: 'failed', again: false })
  })

  it('end at the caps for requests, bytes and minutes, each with its words', async () => {
    const requests = world([{}], { ...CAPS, requests: 2 })
    for (let i = 0; i < 2; i++) await requests.ask(question())
    expect(await requests.ask(question())).toEqual({
      state: 'capped',
      why: 'the 2 requests that are allowed are used up',
    })
    expect(requests.at).toHaveLength(2)
    const bytes = world([{ bytes: new Uint8Array(2e6) }], { ...CAPS, bytes: 2e6 })
    await bytes.ask(question())
    expect(await bytes.ask(question())).toEqual({ state: 'capped', why: 'the 2 MB that are allowed are used up' })
    const minutes = world([{ status: 503 }], { ...CAPS, minutes: 0.1 })
    expect(await minutes.ask(question())).toEqual({ state: 'capped', why: 'the 0.1 minutes that are allowed are over' })
  })
})

describe('Retry-After', () => {
  // RFC 9110, 10.2.3: both forms, with the examples given there.
  it.each([
    ['120', 120_000],
    ['Fri, 31 Dec 1999 23:59:59 GMT', 0],
    ['soon', null],
    [undefined, null],
  ])('%s', (value, want) => {
    expect(retryAfterMs(value, START_MS)).toBe(want)
  })
})
