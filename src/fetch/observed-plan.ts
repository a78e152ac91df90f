import type { Area, Need } from './cells.ts'
import { type Chosen, chooseStations, type Place } from './choose.ts'
import { type FetchedFolder, heldOf, pageText } from './fetched-folder.ts'
import type { Airport, Ask, Candidate, Service, Span, Where } from './types.ts'

/** A station of the folder, with the time for which it speaks. */
export interface Observed extends Place {
  spans: Span[]
}

/** What the planning works with. */
export interface Setting {
  folder: FetchedFolder
  services: readonly Service[]
  airports: readonly Airport[]
  /** Stations whose observations lie in the folder already. */
  observed: readonly Observed[]
  nowS: number
  /** Whether the user named the services: their lists are read even where other stations are there already. */
  isNamed: boolean
}

/** Roads and time for which stations are chosen together. */
export interface Task {
  area: Area
  where: Where
}

/** Stations chosen for roads and time, and what is to be asked of them. */
export interface Choice {
  task: Task
  chosen: Chosen[]
  asks: Ask[]
  /** Stations that were there already and count for this. */
  there: number
}

/** Spans of each area, none of them in the future. */
export const tasksOf = (need: Need, nowS: number): Task[] =>
  need.areas.flatMap((area) =>
    area.spans.filter(({ fromS }) => fromS < nowS).map((span) => ({ area, where: { cells: area.cells, span } })),
  )

/** The pages that are kept, by their file's name, and those that are wanted and are not there. */
export function pagesFor(
  service: Service,
  { where }: Task,
  { folder, nowS }: Setting,
): { have: Map<string, string>; wanted: Ask[] } {
  const have = new Map<string, string>()
  const wanted: Ask[] = []
  // A page may lead to others.
  for (let seen = -1; seen < have.size; ) {
    seen = have.size
    wanted.length = 0
    for (const ask of service.pages(where, nowS, have)) {
      if (have.has(ask.file)) continue
      const text = heldOf(folder, ask, nowS)?.state === 'there' || !isListed(folder, ask) ? pageText(folder, ask) : null
      if (text === null) wanted.push(ask)
      else have.set(ask.file, text)
    }
  }
  return { have, wanted }
}

/** Whether the program fetched the page itself; one that the user put there never grows old. */
const isListed = ({ entries }: FetchedFolder, { url }: Ask): boolean => entries.some((entry) => entry.url === url)

/**
 * Chooses stations for roads and time among those of all services, with what is known so far.
 * @param excluded keys of stations that are known to have nothing for it
 */
export function choiceFor(task: Task, setting: Setting, excluded: ReadonlySet<string> = new Set()): Choice {
  const { where, area } = task
  const covering = setting.services.filter((s) => s.kind === 'observed' && s.covers(where, setting.nowS))
  const pages = new Map(covering.map((service) => [service.id, pagesFor(service, task, setting).have]))
  const candidates = covering.flatMap((service) =>
    service.stations(pages.get(service.id) ?? new Map(), setting.airports),
  )
  const requestsOf = (station: Candidate): Ask[] =>
    covering
      .find(({ id }) => id === station.service)
      ?.requestsFor(station, where.span, setting.nowS, pages.get(station.service) ?? new Map()) ?? []
  const there = setting.observed.filter(({ spans }) => spans.some((span) => overlaps(span, where.span)))
  const able = candidates.filter(
    (station) => !excluded.has(keyOf(station)) && !hasNothing(station, requestsOf, setting),
  )
  const chosen = chooseStations({ ...area, spans: [where.span] }, able, there).filter(
    ({ station }) => requestsOf(station).length > 0,
  )
  return { task, chosen, asks: chosen.flatMap(({ station }) => requestsOf(station)), there: there.length }
}

export const keyOf = ({ service, id }: Candidate): string => `${service} ${id}`

const overlaps = (a: Span, b: Span): boolean => a.fromS < b.toS && b.fromS < a.toS

/** Asked before, and told to have nothing: that answer is not sought twice. */
function hasNothing(station: Candidate, requestsOf: (station: Candidate) => Ask[], { folder, nowS }: Setting): boolean {
  if (!folder.entries.some((e) => e.state === 'nothing' && e.service === station.service && e.station === station.id))
    return false
  const asks = requestsOf(station)
  return asks.length > 0 && asks.every((ask) => heldOf(folder, ask, nowS)?.state === 'nothing')
}
