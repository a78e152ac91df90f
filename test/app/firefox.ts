import { type ChildProcess, execFileSync, spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { WebSocket } from 'undici'

/** A page in Firefox, steered through WebDriver BiDi. @source W3C, WebDriver BiDi, working draft */
export interface FirefoxPage {
  /** The value of a promise of a text that an expression gives in the page. */
  evaluate: (expression: string) => Promise<string>
  close: () => Promise<void>
}

/** The program of Firefox on this machine, by its usual names; null where there is none. */
export function firefoxHere(): string | null {
  for (const name of ['firefox-esr', 'firefox']) {
    try {
      return execFileSync('which', [name], { encoding: 'utf8' }).trim()
    } catch {
      // The next name.
    }
  }
  return null
}

/** Opens a page from disk in a Firefox without a window, with a profile of its own. */
export async function openInFirefox(program: string, file: string): Promise<FirefoxPage> {
  const profile = mkdtempSync(join(tmpdir(), 'firefox-'))
  const firefox = spawn(program, ['--headless', '--no-remote', '--remote-debugging-port', '0', '--profile', profile])
  const socket = new WebSocket(`${await addressOf(firefox)}/session`)
  await new Promise((resolve, reject) => {
    socket.onopen = resolve
    socket.onerror = ({ message }) => reject(new Error(message))
  })
  const ask = asking(socket)
  await ask('session.new', { capabilities: {} })
  const { contexts } = await ask<{ contexts: { context: string }[] }>('browsingContext.getTree', {})
  const [{ context }] = contexts
  await ask('browsingContext.navigate', { context, url: pathToFileURL(file).href, wait: 'complete' })
  return {
    evaluate: async (expression) => {
      const answer = await ask<Evaluated>('script.evaluate', { expression, target: { context }, awaitPromise: true })
      if (answer.type === 'exception') throw new Error(answer.exceptionDetails.text)
      return answer.result.value
    },
    close: async () => {
      const ended = new Promise((resolve) => firefox.once('exit', resolve))
      await ask('browser.close', {})
      await ended
      rmSync(profile, { recursive: true, force: true })
    },
  }
}

type Evaluated =
  | { type: 'success'; result: { value: string } }
  | { type: 'exception'; exceptionDetails: { text: string } }

/** Firefox tells on its error output where it listens. */
const addressOf = (firefox: ChildProcess): Promise<string> =>
  new Promise((resolve, reject) => {
    let told = ''
    firefox.stderr?.on('data', (text) => {
      told += text
      const address = /WebDriver BiDi listening on (ws:\S+)/.exec(told)?.[1]
      if (address) resolve(address)
    })
    firefox.once('exit', (code) => reject(new Error(`Firefox ended with ${code}: ${told}`)))
  })

type Ask = <T>(method: string, params: unknown) => Promise<T>

/** Commands with a number each, and the answers of the same number. */
function asking(socket: WebSocket): Ask {
  const waiting = new Map<number, (answer: Answer) => void>()
  let last = 0
  socket.onmessage = ({ data }) => {
    const answer = JSON.parse(String(data)) as Answer
    waiting.get(answer.id)?.(answer)
  }
  return (method, params) =>
    new Promise((resolve, reject) => {
      const id = ++last
      waiting.set(id, ({ type, result, message }) =>
        type === 'error' ? reject(new Error(message)) : resolve(result as never),
      )
      socket.send(JSON.stringify({ id, method, params }))
    })
}

interface Answer {
  id: number
  type: 'success' | 'error'
  result?: unknown
  message?: string
}
