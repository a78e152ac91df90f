import type { Area, Cell } from '../cells.ts'
import { type FetchedFolder, heldOf, pageText } from '../fetched-folder.ts'
import { type Fetched, fetchOne, type Gathering } from '../gather.ts'
import type { Ask, Service, Where } from '../types.ts'
import { anyWithin } from '../where.ts'
import { mosmix, mosmixPoints } from './mosmix.ts'
import { nws, nwsRequests, UNITED_STATES } from './nws.ts'
import { openMeteoForecast, openMeteoRequests } from './open-meteo.ts'

/** A source of forecasts: whom it asks, and what for the roads of an area, as far as its pages are read. */
interface ForecastSource {
  service: Service
  requests: (area: Area, pages: ReadonlyMap<string, string>) => Ask[]
}

export const FORECASTS: Record<string, ForecastSource> = {
  mosmix: {
    service: mosmix,
    requests: (area, pages) =>
      mosmixPoints(area, mosmix.stations(pages, [])).flatMap((point) => mosmix.requestsFor(point, NO_SPAN, 0, pages)),
  },
  nws: { service: nws, requests: (area, pages) => nwsRequests({ cells: someCells(area) }, pages) },
  'open-meteo': { service: openMeteoForecast, requests: (area) => openMeteoRequests({ cells: someCells(area) }) },
}

const NO_SPAN = { fromS: 0, toS: 0 }
/** A forecast that was fetched within the last hour is not fetched again, s. */
const LASTS_S = 3600
/** Of long roads so many cells are asked for. */
const MOST_CELLS = 4

/** The source that is asked where none is named: that of the country, and one for the world. */
export const usualSource = (areas: readonly Area[]): string =>
  areas.every(({ cells }) => UNITED_STATES.some((box) => anyWithin({ cells, span: NO_SPAN }, box))) ? 'nws' : 'mosmix'

/** Some cells of an area, evenly along their order. */
export function someCells({ cells }: Pick<Area, 'cells'>): Cell[] {
  if (cells.length <= MOST_CELLS) return cells
  return Array.from({ length: MOST_CELLS }, (_, i) => cells[Math.round((i * (cells.length - 1)) / (MOST_CELLS - 1))])
}

const whereOf = (area: Area): Where => ({ cells: someCells(area), span: NO_SPAN })

/** What is to be asked now, as far as it is known: pages first, then forecasts that are not there or are old. */
export function forecastAsks(
  areas: readonly Area[],
  source: string,
  folder: FetchedFolder,
  nowS: number,
): { pages: Ask[]; asks: Ask[] } {
  const { service, requests } = FORECASTS[source]
  const pages: Ask[] = []
  const asks: Ask[] = []
  for (const area of areas) {
    const have = new Map<string, string>()
    for (const page of service.pages(whereOf(area), nowS, have)) {
      const text = pageText(folder, page)
      if (text === null) pages.push(page)
      else have.set(page.file, text)
    }
    asks.push(...requests(area, have).filter((ask) => isOld(ask, folder, nowS)))
  }
  const once = (all: Ask[]): Ask[] => [...new Map(all.map((ask) => [ask.url, ask])).values()]
  return { pages: once(pages), asks: once(asks) }
}

function isOld(ask: Ask, folder: FetchedFolder, nowS: number): boolean {
  const held = heldOf(folder, ask, nowS)
  return held === null || nowS - Date.parse(held.entry.fetched_at) / 1000 > LASTS_S
}

/** Fetches pages, then the forecasts that they lead to. */
export async function fetchForecasts(
  areas: readonly Area[],
  source: string,
  folder: FetchedFolder,
  gathering: Gathering,
): Promise<Fetched[]> {
  const { service } = FORECASTS[source]
  const all: Fetched[] = []
  for (const ask of forecastAsks(areas, source, folder, gathering.clockS()).pages) {
    all.push(await fetchOne(ask, service, folder, gathering))
  }
  for (const ask of forecastAsks(areas, source, folder, gathering.clockS()).asks) {
    all.push(await fetchOne(ask, service, folder, gathering))
  }
  return all
}
