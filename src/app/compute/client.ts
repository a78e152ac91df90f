import type { Report } from '../../report/contract.ts'
import type { Compute, Computed, Given, OnProgress } from './compute.ts'
import type { Call, Failure, FromWorker, Results, SentGiven, Start, ToWorker } from './messages.ts'

/** A worker that does not stop within this time is ended, and what it kept is lost: a slow telephone must not come to that. */
const STOPS_WITHIN_MS = 5000

/** What the workers run, and how. */
export interface Program extends Omit<Start, 'script'> {
  /** The text of their script, asked for once. */
  script: () => Promise<Blob>
}

interface Pending {
  asked: Call
  onProgress: OnProgress
  resolve: (result: Results[keyof Results]) => void
  reject: (reason: unknown) => void
}

/**
 * Starts the worker that computes, from the text of its script; other threads work for it where there is much to read.
 * A call rejects with the signal's reason as soon as it is stopped.
 */
export function startCompute({ script, version, threads }: Program): Compute {
  let address: Promise<string> | null = null
  const pending = new Map<number, Pending>()
  const numbers = numbersOfContents()
  // Started at once: it is ready when the first files come.
  let worker: Promise<Worker> | null = started()
  let lastId = 0

  const post = (message: ToWorker): void => {
    worker ??= started()
    worker.then((ready) => ready.postMessage(message), failAll)
  }

  async function started(): Promise<Worker> {
    address ??= script().then((text) => URL.createObjectURL(new Blob([text], { type: 'text/javascript' })))
    const fresh = new Worker(await address)
    fresh.onmessage = ({ data }: MessageEvent<FromWorker>) => settle(data)
    fresh.onerror = (event) => {
      event.preventDefault()
      end()
      failAll(new ComputeError('fault', event.message || 'the worker could not be started'))
    }
    fresh.postMessage({ start: { script: await address, version, threads } } satisfies ToWorker)
    return fresh
  }

  function failAll(reason: unknown): void {
    for (const { reject } of pending.values()) reject(reason)
    pending.clear()
  }

  function settle(message: FromWorker): void {
    const call = pending.get(message.id)
    if (!call) return
    if ('progress' in message) {
      call.onProgress(message.progress)
      return
    }
    pending.delete(message.id)
    if ('result' in message) call.resolve(message.result)
    else call.reject(new ComputeError(message.failed.why, message.failed.message))
  }

  function end(): void {
    worker?.then((ready) => ready.terminate())
    worker = null
  }

  /** Ends a worker that hangs in one call; the calls that wait behind it are asked again of a new one. */
  function restart(): void {
    end()
    for (const [id, { asked }] of pending) post({ id, asked })
  }

  function ask<C extends keyof Results>(
    asked: Call & { call: C },
    onProgress: OnProgress = () => undefined,
    signal?: AbortSignal,
  ): { id: number; result: Promise<Results[C]> } {
    const id = ++lastId
    const result = new Promise<Results[C]>((resolve, reject) => {
      signal?.throwIfAborted()
      pending.set(id, { asked, onProgress, resolve: (value) => resolve(value as Results[C]), reject })
      post({ id, asked })
    })
    signal?.addEventListener('abort', () => stop(id, signal.reason), { once: true })
    return { id, result }
  }

  /** Rejects a call at once, and lets the worker go on with the next one, or starts another worker. */
  function stop(id: number, reason: unknown): void {
    const call = pending.get(id)
    if (!call) return
    call.reject(reason)
    call.onProgress = () => undefined
    post({ stop: id })
    setTimeout(() => {
      if (pending.delete(id)) restart()
    }, STOPS_WITHIN_MS)
  }

  const sent = ({ files, ...given }: Given): SentGiven => ({
    ...given,
    files: files.map(({ path, content }) => ({ path, content, id: numbers(content) })),
  })

  return {
    recognise: (given, onProgress, signal) => ask({ call: 'recognise', given: sent(given) }, onProgress, signal).result,
    report: async (given, onProgress, signal) => {
      const { id, result } = ask({ call: 'report', given: sent(given) }, onProgress, signal)
      const json = await result
      return {
        report: JSON.parse(json) as Report,
        json,
        page: () => ask({ call: 'page', of: id }).result,
        outputFiles: (progress, stop) => ask({ call: 'outputFiles', of: id }, progress, stop).result,
      } satisfies Computed
    },
    close: () => {
      end()
      address?.then((url) => URL.revokeObjectURL(url))
      failAll(new DOMException('the computing was ended', 'AbortError'))
    },
  }
}

/** Why a call failed: another report was made since, or there is a fault in the program. */
export class ComputeError extends Error {
  readonly why: Failure['why']

  constructor(why: Failure['why'], message: string) {
    super(message)
    this.why = why
  }
}

/** Gives each content a number of its own, and the same content the same number. */
function numbersOfContents(): (content: Blob) => number {
  const known = new WeakMap<Blob, number>()
  let last = 0
  return (content) => {
    const number = known.get(content) ?? ++last
    known.set(content, number)
    return number
  }
}
