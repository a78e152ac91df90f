import { checkJson } from '../get/answer-kinds.ts'
import { page, parsedJson } from '../services/lists.ts'
import type { Ask, Service, Where } from '../types.ts'

const HOST = 'api.weather.gov'

/** The United States with Alaska and Hawaii. */
export const UNITED_STATES = [
  { southDeg: 24.4, westDeg: -125, northDeg: 49.4, eastDeg: -66.9 },
  { southDeg: 51, westDeg: -180, northDeg: 71.5, eastDeg: -129.9 },
  { southDeg: 18.8, westDeg: -160.6, northDeg: 22.3, eastDeg: -154.7 },
]

/**
 * Hourly forecasts of the US weather service for cells of 2.5 km: first the page of a place, which names the cell.
 * @source weather.gov/documentation/services-web-api
 */
export const nws: Service = {
  id: 'nws',
  name: 'US National Weather Service, hourly forecasts',
  host: HOST,
  licence: 'public domain',
  credit: 'Forecasts of the US National Weather Service',
  kind: 'model',
  triedOn: 'recorded',
  pauseMs: 5000,
  hasIndex: false,
  byDefault: false,
  covers: () => true,
  pages: ({ cells }) =>
    cells.map(({ latitude, longitude }) =>
      page(
        'nws',
        `https://${HOST}/points/${latitude},${longitude}`,
        pageName(latitude, longitude),
        'cell of a place',
        5000,
      ),
    ),
  stations: () => [],
  requestsFor: () => [],
  check: ({ purpose }, bytes) =>
    checkJson(bytes, (value) => {
      const { properties } = value as { properties?: { periods?: unknown[]; forecastHourly?: unknown } }
      return purpose === 'list'
        ? Number(typeof properties?.forecastHourly === 'string')
        : (properties?.periods?.length ?? 0)
    }),
}

const pageName = (latitude: number, longitude: number): string => `nws_points_${latitude}_${longitude}.json`

/** The forecasts that the pages of places name, in SI units. */
export function nwsRequests({ cells }: Pick<Where, 'cells'>, pages: ReadonlyMap<string, string>): Ask[] {
  return cells.flatMap(({ latitude, longitude }) => {
    const read = parsedJson(pages.get(pageName(latitude, longitude)) ?? '') as {
      properties?: { forecastHourly?: unknown }
    } | null
    const named = read?.properties?.forecastHourly
    const url = typeof named === 'string' && URL.canParse(named) ? new URL(named) : null
    // A page leads nowhere but to its own host.
    if (url === null || url.host !== HOST || url.protocol !== 'https:') return []
    url.searchParams.set('units', 'si')
    return [
      {
        service: 'nws',
        purpose: 'forecast' as const,
        url: url.href,
        file: `nws_hourly_${latitude}_${longitude}.json`,
        about: 'hourly forecast of a cell',
        station: null,
        span: null,
        roughBytes: 150_000,
      },
    ]
  })
}
