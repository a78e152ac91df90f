import type { Answer, Known, Verdict } from '../types.ts'
import { type Transport, Unanswered } from './transport.ts'

/** Time and chance, injected: tests need not wait. */
export interface Clock {
  /** Milliseconds since 1970. */
  now: () => number
  wait: (ms: number) => Promise<void>
  /** From 0 up to 1. */
  random: () => number
}

/** What may be asked for in all; whatever is left then is told. */
export interface Caps {
  requests: number
  bytes: number
  minutes: number
}

/** One question to a host, whose body is judged by `check`. */
export interface Question {
  url: string
  hosts: readonly string[]
  pauseMs: number
  known: Known | null
  /** Of a part of a file: first and last byte. */
  range?: [first: number, last: number]
  check: (bytes: Uint8Array) => Verdict
}

export type Reply =
  | { state: 'whole'; answer: Answer }
  | { state: 'unchanged'; answer: Answer }
  | { state: 'nothing'; why: string; answer: Answer }
  | { state: 'failed'; why: string; status: number | null; again: boolean }
  | { state: 'capped'; why: string }

export type Asker = (question: Question) => Promise<Reply>

const MOST_TRIES = 5
const TIMEOUT_MS = 60_000
/** After so many failures in a row a host is left alone. */
const MOST_FAILURES = 3
/** A server that wants to be left alone for longer is: the next call of the program goes on. */
const LONGEST_WAIT_MS = 10 * 60_000
const FIRST_WAIT_MS = 2000
const WORTH_ASKING_AGAIN = [429, 500, 502, 503, 504]

/**
 * Asks one question after the other, never two at once: with pauses between those to one host, and again after faults
 * that pass, later and later and at times that no two callers share.
 * @param userAgent name and version of the program, by which a service knows who asks
 * @param told hears of every wait that somebody would wonder about
 */
export function politeAsker(
  transport: Transport,
  clock: Clock,
  caps: Caps,
  userAgent: string,
  told: (what: string) => void = () => {},
): Asker {
  const spent: Spent = { begunMs: clock.now(), requests: 0, bytes: 0 }
  const askOnce = onceAsker(transport, clock, caps, userAgent, spent)
  const failures = new Map<string, number>()

  const asked = async (question: Question, host: string): Promise<Reply> => {
    for (let i = 1; ; i++) {
      const reply = await askOnce(question, host)
      if (reply.state !== 'failed' || !reply.again || i === MOST_TRIES) return reply
      const waitMs = reply.waitMs ?? FIRST_WAIT_MS * 2 ** (i - 1) * (0.5 + clock.random())
      if (waitMs > LONGEST_WAIT_MS) {
        return { ...reply, why: `${reply.why}; it asks to be left alone for ${Math.ceil(waitMs / 60_000)} minutes` }
      }
      told(`${host}: ${reply.why}; asking again in ${Math.ceil(waitMs / 1000)} s`)
      await clock.wait(waitMs)
    }
  }

  return async (question) => {
    const { host, protocol } = new URL(question.url)
    if (protocol !== 'https:' || !question.hosts.includes(host)) {
      const why = `${host} is no host of this service, or is not asked for an encrypted answer; it was not asked`
      return { state: 'failed', why, status: null, again: false }
    }
    if ((failures.get(host) ?? 0) >= MOST_FAILURES) {
      const why = `${host} failed ${MOST_FAILURES} times in a row and is left alone for now`
      return { state: 'failed', why, status: null, again: true }
    }
    const reply = await asked(question, host)
    if (reply.state !== 'capped')
      failures.set(host, reply.state === 'failed' && reply.again ? (failures.get(host) ?? 0) + 1 : 0)
    return reply
  }
}

/** What was asked for so far, in all. */
interface Spent {
  begunMs: number
  requests: number
  bytes: number
}

type Judged = Reply & { waitMs?: number | null }

/** Asks once, after the pause that the host is due, as long as the caps allow it. */
function onceAsker(
  transport: Transport,
  clock: Clock,
  caps: Caps,
  userAgent: string,
  spent: Spent,
): (question: Question, host: string) => Promise<Judged> {
  const lastMs = new Map<string, number>()

  const sent = async (question: Question, host: string): Promise<Answer | Unanswered> => {
    spent.requests++
    try {
      const answer = await transport({
        url: question.url,
        headers: headersOf(question, userAgent),
        hosts: question.hosts,
        mostBytes: Math.max(1, caps.bytes - spent.bytes),
        timeoutMs: TIMEOUT_MS,
      })
      spent.bytes += answer.bytes.length
      return answer
    } catch (error) {
      if (error instanceof Unanswered) return error
      throw error
    } finally {
      lastMs.set(host, clock.now())
    }
  }

  return async (question, host) => {
    const leftMs = (lastMs.get(host) ?? Number.NEGATIVE_INFINITY) + question.pauseMs - clock.now()
    if (leftMs > 0) await clock.wait(leftMs)
    const why = capReached(spent, caps, clock.now())
    if (why !== null) return { state: 'capped', why }
    return judged(await sent(question, host), question, clock.now())
  }
}

function capReached(spent: Spent, caps: Caps, nowMs: number): string | null {
  if (spent.requests >= caps.requests) return `the ${caps.requests} requests that are allowed are used up`
  if (spent.bytes >= caps.bytes) return `the ${Math.round(caps.bytes / 1e6)} MB that are allowed are used up`
  if (nowMs - spent.begunMs >= caps.minutes * 60_000) return `the ${caps.minutes} minutes that are allowed are over`
  return null
}

function judged(answer: Answer | Unanswered, question: Question, nowMs: number): Judged {
  if (answer instanceof Unanswered)
    return { state: 'failed', why: answer.message, status: null, again: !answer.lasting }
  if (answer.status === 304 && question.known !== null) return { state: 'unchanged', answer }
  const isWhole = question.range === undefined ? answer.status === 200 : answer.status === 206
  if (!isWhole) return refused(answer, nowMs)
  const verdict = question.check(answer.bytes)
  if (verdict.state === 'whole') return { state: 'whole', answer }
  if (verdict.state === 'nothing') return { state: 'nothing', why: verdict.why, answer }
  return { state: 'failed', why: verdict.why, status: answer.status, again: verdict.state === 'broken' }
}

/** @source RFC 9110, 13.1 (conditional requests) and 14.2 (ranges) */
function headersOf({ known, range }: Question, userAgent: string): Record<string, string> {
  return {
    'user-agent': userAgent,
    accept: '*/*',
    // A part of a file is counted in its own bytes, not in those of a packed copy.
    'accept-encoding': range === undefined ? 'gzip' : 'identity',
    ...(range === undefined ? {} : { range: `bytes=${range[0]}-${range[1]}` }),
    ...(known?.etag ? { 'if-none-match': known.etag } : {}),
    ...(known?.lastModified ? { 'if-modified-since': known.lastModified } : {}),
  }
}

function refused(answer: Answer, nowMs: number): Reply & { waitMs: number | null } {
  const { status, headers, bytes } = answer
  const again = WORTH_ASKING_AGAIN.includes(status)
  const said = saidIn(bytes)
  const why = `the server answered with status ${status}${said === '' ? '' : ` (“${said}”)`}`
  return { state: 'failed', why, status, again, waitMs: again ? retryAfterMs(headers['retry-after'], nowMs) : null }
}

/**
 * How long a server asks to be left alone, ms; null where it does not say.
 * @source RFC 9110, 10.2.3: seconds, or a date
 */
export function retryAfterMs(value: string | undefined, nowMs: number): number | null {
  if (value === undefined) return null
  if (/^\d+$/.test(value.trim())) return 1000 * Number(value)
  const at = Date.parse(value)
  return Number.isNaN(at) ? null : Math.max(0, at - nowMs)
}

/** The first line of what a server says, without marks. */
function saidIn(bytes: Uint8Array): string {
  const text = new TextDecoder('utf-8').decode(bytes.subarray(0, 4000))
  if (/^\s*</.test(text)) return /<title>\s*([^<]{1,80})/i.exec(text)?.[1].trim() ?? ''
  return text
    .trim()
    .split('\n', 1)[0]
    .replace(/\p{Cc}/gu, ' ')
    .slice(0, 120)
}
