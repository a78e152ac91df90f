import { createInterface } from 'node:readline/promises'
import type { Fetched, Gathering } from '../../fetch/gather.ts'
import { type Caps, type Clock, politeAsker } from '../../fetch/get/ask.ts'
import { isOnLoopback, networkTransport } from '../../fetch/get/transport.ts'
import { stoppingCleanly } from '../../files/clean-stop.ts'
import { abandonWorks } from '../../files/unfinished-work.ts'
import { packageVersion } from '../../shell/package-version.ts'

interface Consent {
  yes?: boolean
  dryRun?: boolean
  json?: boolean
}

/**
 * Tells what would be fetched and asks for a yes. With --dry-run the addresses go to standard output and the explanation
 * to standard error.
 * @param isEmpty nothing is to be asked
 * @returns `yes`; `done` where nothing is to be done; or why nothing is fetched
 */
export async function consentTo(
  text: string,
  addresses: readonly string[],
  isEmpty: boolean,
  { yes, dryRun, json }: Consent,
): Promise<string> {
  const isAside = dryRun === true || json === true
  if (isAside) process.stderr.write(text)
  else process.stdout.write(text)
  if (dryRun) {
    process.stdout.write(addresses.map((address) => `${address}\n`).join(''))
    return 'done'
  }
  if (isEmpty) return 'done'
  if (yes) return 'yes'
  if (!process.stdin.isTTY || !process.stderr.isTTY) {
    return 'nothing was fetched: there is no terminal to ask on; give --yes to fetch, or --dry-run to see the addresses'
  }
  const lines = createInterface({ input: process.stdin, output: process.stderr })
  try {
    const answer = (await lines.question('Fetch this? [y/N] ')).trim().toLowerCase()
    return answer === 'y' || answer === 'yes' ? 'yes' : 'nothing was fetched: the answer was no'
  } finally {
    lines.close()
  }
}

/** Name and version, by which a service knows who asks. */
const userAgent = (): string => `ceteris/${packageVersion()}`

/** The time and chance of this computer; waits are for other people's servers, and short on this computer itself. */
function clockOf(environment: NodeJS.ProcessEnv): Clock {
  const shorter = isOnLoopback(environment) ? 100 : 1
  return {
    now: Date.now,
    wait: (ms) => new Promise((resolve) => setTimeout(resolve, ms / shorter)),
    random: Math.random,
  }
}

/**
 * Does work that asks over the network, with progress on a terminal, so that Ctrl-C leaves what was fetched so far.
 * @param expected requests, for the progress
 */
export async function online<T>(expected: number, caps: Caps, work: (gathering: Gathering) => Promise<T>): Promise<T> {
  const { transport, close } = networkTransport(process.env)
  const clock = clockOf(process.env)
  const progress = progressOf(expected, clock)
  const asker = politeAsker(transport, clock, caps, userAgent(), progress.waiting)
  try {
    const gathering = { asker, clockS: () => clock.now() / 1000, told: progress.advanced }
    return await stoppingCleanly(
      () => work(gathering),
      abandonWorks,
      'what was fetched so far is kept, and the same call goes on from there',
    )
  } finally {
    progress.end()
    await close()
  }
}

/** On a terminal a line that is drawn over; elsewhere only waits are told. */
function progressOf(expected: number, clock: Clock) {
  const isTerminal = process.stderr.isTTY === true
  const begunMs = clock.now()
  let done = 0
  return {
    waiting: (what: string): void => {
      process.stderr.write(`${isTerminal ? '\r\u001b[K' : ''}${what}\n`)
    },
    advanced: ({ ask }: Fetched): void => {
      done++
      if (!isTerminal) return
      const total = Math.max(expected, done)
      const leftS = Math.ceil((((clock.now() - begunMs) / done) * (total - done)) / 1000)
      process.stderr.write(`\r\u001b[K${done} of about ${total} requests, ${leftS} s left: ${ask.about}`)
    },
    end: (): void => {
      if (isTerminal) process.stderr.write('\r\u001b[K')
    },
  }
}
