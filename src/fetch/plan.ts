import type { Need } from './cells.ts'
import { heldOf } from './fetched-folder.ts'
import { type Choice, pagesFor, type Setting } from './observed-plan.ts'
import type { Ask, Service } from './types.ts'

/** All that a call would ask for, as far as it is known before anything was asked. */
export interface FetchPlan {
  need: Need
  services: readonly Service[]
  choices: readonly Choice[]
  /** Lists of stations that are read first; the choice may change then. */
  pages: Ask[]
  renewed: Ask[]
  /** Requests for what is not there yet. */
  asks: Ask[]
  bytes: number
  isEmpty: boolean
}

/** Puts together what is to be asked for: no address twice, nothing that is there already. */
export function planOf(
  need: Need,
  setting: Setting,
  choices: readonly Choice[],
  models: readonly Ask[],
  renewed: Ask[],
): FetchPlan {
  const renewedUrls = new Set(renewed.map(({ url }) => url))
  const asks = once([...choices.flatMap((choice) => choice.asks), ...models]).filter(
    (ask) => !renewedUrls.has(ask.url) && isWanted(ask, setting),
  )
  const wanting = choices.filter(({ asks: some, there }) => setting.isNamed || some.length > 0 || there === 0)
  const pages = once(wanting.flatMap(({ task }) => pagesWanted(task, setting)))
  const all = [...pages, ...renewed, ...asks]
  const bytes = all.reduce((sum, { roughBytes }) => sum + roughBytes, 0)
  return { need, services: setting.services, choices, pages, renewed, asks, bytes, isEmpty: all.length === 0 }
}

const pagesWanted = (task: Choice['task'], setting: Setting): Ask[] =>
  setting.services
    .filter((service) => service.covers(task.where, setting.nowS))
    .flatMap((service) => pagesFor(service, task, setting).wanted)

function isWanted(ask: Ask, { folder, nowS }: Setting): boolean {
  const held = heldOf(folder, ask, nowS)
  return held === null || held.state === 'renew'
}

function once(asks: readonly Ask[]): Ask[] {
  return [...new Map(asks.map((ask) => [ask.url, ask])).values()]
}
