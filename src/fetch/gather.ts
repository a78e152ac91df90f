import { present } from '../base/present.ts'
import {
  type FetchedFolder,
  heldOf,
  keepAnswer,
  keepNothing,
  keepUnchanged,
  knownOf,
  type Terms,
} from './fetched-folder.ts'
import type { Asker, Reply } from './get/ask.ts'
import { choiceFor, keyOf, pagesFor, type Setting, type Task } from './observed-plan.ts'
import type { Ask, Service } from './types.ts'

/** What came of one request. */
export interface Fetched {
  ask: Ask
  result: 'written' | 'unchanged' | 'nothing' | 'failed' | 'left' | 'not-written'
  why: string | null
  bytes: number
}

/** How a gathering reports while it goes on. */
export interface Gathering {
  asker: Asker
  clockS: () => number
  told: (fetched: Fetched) => void
}

/** A station that has nothing is made up for by the next best, so many times. */
const MOST_ROUNDS = 3
/** A service of which so many stations failed is not asked again in this call. */
const MOST_FAILURES = 2

const termsOf = ({ name, licence, credit }: Service): Terms => ({ serviceName: name, licence, credit })

/** Asks for one thing and keeps what comes. */
export async function fetchOne(
  ask: Ask,
  service: Service,
  folder: FetchedFolder,
  gathering: Gathering,
): Promise<Fetched> {
  const { asker, clockS } = gathering
  const held = heldOf(folder, ask, clockS())
  const reply = await asker({
    url: ask.url,
    hosts: [service.host, ...(service.otherHosts ?? [])],
    pauseMs: service.pauseMs,
    known: knownOf(held),
    check: (bytes) => service.check(ask, bytes),
  })
  const fetched = { ask, ...kept(reply, ask, service, folder, clockS()) }
  gathering.told(fetched)
  return fetched
}

function kept(reply: Reply, ask: Ask, service: Service, folder: FetchedFolder, nowS: number): Omit<Fetched, 'ask'> {
  const settled = (result: Fetched['result'], refusal: string | null, why: string | null, bytes = 0) =>
    refusal === null ? { result, why, bytes } : { result: 'not-written' as const, why: refusal, bytes: 0 }
  if (reply.state === 'capped') return { result: 'left', why: reply.why, bytes: 0 }
  if (reply.state === 'failed') return { result: 'failed', why: reply.why, bytes: 0 }
  if (reply.state === 'unchanged') return settled('unchanged', keepUnchanged(folder, ask, nowS), null)
  const { answer } = reply
  const terms = termsOf(service)
  if (reply.state === 'nothing')
    return settled('nothing', keepNothing(folder, ask, answer, terms, nowS, reply.why), reply.why)
  return settled('written', keepAnswer(folder, ask, answer, terms, nowS), null, answer.bytes.length)
}

/** Lists of stations and directories that are wanted for the roads; what failed is told and done without. */
export async function fetchPages(tasks: readonly Task[], setting: Setting, gathering: Gathering): Promise<Fetched[]> {
  const all: Fetched[] = []
  const failed = new Set<string>()
  for (const service of setting.services) {
    for (const task of tasks.filter(({ where }) => service.covers(where, setting.nowS))) {
      for (;;) {
        const next = pagesFor(service, task, setting).wanted.find(({ url }) => !failed.has(url))
        if (next === undefined) break
        const fetched = await fetchOne(next, service, setting.folder, gathering)
        all.push(fetched)
        if (fetched.result !== 'written') failed.add(next.url)
      }
    }
  }
  return all
}

/** Observations for roads and time: of the stations that add most, and of others where those have nothing. */
export async function fetchObserved(task: Task, setting: Setting, gathering: Gathering): Promise<Fetched[]> {
  const excluded = new Set<string>()
  const failures = new Map<string, number>()
  const asked = new Set<string>()
  const all: Fetched[] = []
  let { observed } = setting
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const services = setting.services.filter(({ id }) => (failures.get(id) ?? 0) < MOST_FAILURES)
    const choice = choiceFor(task, { ...setting, observed, services }, excluded)
    let isShort = false
    for (const { station } of choice.chosen) {
      const asks = choice.asks.filter((ask) => ask.service === station.service && ask.station === station.id)
      const results = await inTurn(
        asks.filter(({ url }) => !asked.has(url)),
        setting,
        gathering,
        all,
      )
      for (const { url } of asks) asked.add(url)
      if (results.some((result) => HELPS.includes(result))) {
        observed = [...observed, { ...station, spans: [task.where.span] }]
      } else {
        excluded.add(keyOf(station))
        if (results.includes('failed')) failures.set(station.service, (failures.get(station.service) ?? 0) + 1)
        isShort = true
      }
    }
    if (!isShort || all.some(({ result }) => result === 'left')) break
  }
  return all
}

const HELPS: readonly (Fetched['result'] | 'there')[] = ['written', 'unchanged', 'there']

/** Asks for what is not there yet, in turn. */
export async function fetchAsks(asks: readonly Ask[], setting: Setting, gathering: Gathering): Promise<Fetched[]> {
  const all: Fetched[] = []
  await inTurn(asks, setting, gathering, all)
  return all
}

async function inTurn(
  asks: readonly Ask[],
  setting: Setting,
  gathering: Gathering,
  all: Fetched[],
): Promise<(Fetched['result'] | 'there')[]> {
  const results: (Fetched['result'] | 'there')[] = []
  for (const ask of asks) {
    const held = heldOf(setting.folder, ask, gathering.clockS())
    if (held?.state === 'there' || held?.state === 'nothing') {
      results.push(held.state)
      continue
    }
    const fetched = await fetchOne(ask, serviceIn(setting, ask), setting.folder, gathering)
    all.push(fetched)
    results.push(fetched.result)
  }
  return results
}

/** Asks again for what may have changed since: recent observations that were provisional, and lists of none. */
export async function renewProvisional(setting: Setting, gathering: Gathering): Promise<Fetched[]> {
  const all: Fetched[] = []
  for (const ask of provisionalAsks(setting)) {
    all.push(await fetchOne(ask, serviceIn(setting, ask), setting.folder, gathering))
  }
  return all
}

const serviceIn = ({ services }: Setting, ask: Ask): Service => present(services.find(({ id }) => id === ask.service))

const RENEW_AFTER_S = 3600

/** What is to be renewed: provisional, and not fetched within the last hour. */
export function provisionalAsks({ folder, nowS, services }: Setting): Ask[] {
  return folder.entries.flatMap((entry) => {
    const { purpose, service, url, file, about, station, from, to } = entry
    const isOld = nowS - Date.parse(entry.fetched_at) / 1000 > RENEW_AFTER_S
    const isAsked = services.some(({ id }) => id === service)
    if (entry.state !== 'provisional' || !isOld || !isAsked || file === null || from === null || to === null) return []
    const span = { fromS: Date.parse(from) / 1000, toS: Date.parse(to) / 1000 }
    const ask = { service, purpose, url, file, about, station, span, roughBytes: entry.bytes ?? 0 }
    return heldOf(folder, ask, nowS)?.state === 'renew' ? [ask] : []
  })
}
