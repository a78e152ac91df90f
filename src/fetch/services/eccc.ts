import { z } from 'zod'
import { REACH } from '../../air/blend.ts'
import { isoSecond } from '../../base/time.ts'
import { daysOf } from '../cells.ts'
import { checkJson } from '../get/answer-kinds.ts'
import type { Ask, Candidate, Service, Span, Where } from '../types.ts'
import { anyWithin, boxOf } from '../where.ts'
import { candidate, DAY_S, page, parsedJson } from './lists.ts'

const HOST = 'api.weather.gc.ca'
const CANADA = { southDeg: 41.5, westDeg: -141.1, northDeg: 83.2, eastDeg: -52.5 }
/** More stations than these lie in no box of some degrees. */
const MOST_STATIONS = 5000
const MOST_ROWS = 10_000

const list = z.object({
  features: z.array(
    z.object({
      geometry: z.object({ coordinates: z.array(z.number()).min(2) }),
      properties: z.object({
        STN_ID: z.number(),
        STATION_NAME: z.string(),
        ELEVATION: z.union([z.string(), z.number()]).nullish(),
        HLY_FIRST_DATE: z.string().nullish(),
        HLY_LAST_DATE: z.string().nullish(),
      }),
    }),
  ),
})

/**
 * Hourly observations of Environment and Climate Change Canada.
 * @source api.weather.gc.ca, collections climate-stations (names of its columns from memory) and climate-hourly
 */
export const eccc: Service = {
  id: 'eccc',
  name: 'Environment and Climate Change Canada, hourly observations',
  host: HOST,
  licence: 'Environment and Climate Change Canada data servers end-use licence',
  credit: 'Data source: Environment and Climate Change Canada',
  kind: 'observed',
  triedOn: 'synthetic',
  pauseMs: 1500,
  hasIndex: false,
  byDefault: false,
  covers: (where) => anyWithin(where, CANADA),
  pages: (where) => [listPage(where)],
  stations: (pages) =>
    [...pages].filter(([file]) => file.startsWith('eccc_stations_')).flatMap(([, text]) => stationsIn(text)),
  requestsFor: (station, span) => [requestFor(station, span)],
  check: ({ purpose }, bytes) =>
    checkJson(bytes, (value) => {
      const { features, numberMatched } = value as { features?: unknown[]; numberMatched?: number }
      // Cut at the limit without a word otherwise.
      return purpose !== 'list' && (numberMatched ?? 0) > MOST_ROWS ? 0 : (features?.length ?? 0)
    }),
}

/** The stations in a box of whole degrees around the cells. */
function listPage({ cells }: Where): Ask {
  const { southDeg, westDeg, northDeg, eastDeg } = boxOf(cells, REACH.distanceM)
  const box = [Math.floor(westDeg), Math.floor(southDeg), Math.ceil(eastDeg), Math.ceil(northDeg)].join()
  const url = `https://${HOST}/collections/climate-stations/items?f=json&bbox=${box}&limit=${MOST_STATIONS}`
  return page(
    'eccc',
    url,
    `eccc_stations_${box.replaceAll(',', '_')}.json`,
    'stations of Environment Canada',
    1_000_000,
  )
}

function stationsIn(text: string): Candidate[] {
  const read = list.safeParse(parsedJson(text))
  return (read.data?.features ?? []).flatMap(({ geometry: { coordinates }, properties }) => {
    const since = Date.parse(properties.HLY_FIRST_DATE ?? '') / 1000
    const until = Date.parse(properties.HLY_LAST_DATE ?? '') / 1000
    if (Number.isNaN(since)) return []
    const elevation = properties.ELEVATION ?? ''
    const place = {
      latitude: coordinates[1],
      longitude: coordinates[0],
      elevationM: elevation === '' ? Number.NaN : Number(elevation),
    }
    return candidate('eccc', String(properties.STN_ID), properties.STATION_NAME, place, {
      since,
      until: Number.isNaN(until) ? Number.POSITIVE_INFINITY : until + 2 * DAY_S,
    })
  })
}

/** Rows are picked by local time: a day more on both sides. */
function requestFor({ id, name }: Candidate, span: Span): Ask {
  const [from, to] = [isoSecond(span.fromS - DAY_S), isoSecond(span.toS + DAY_S)].map((iso) => iso.replace('Z', ''))
  return {
    service: 'eccc',
    purpose: 'observations',
    url: `https://${HOST}/collections/climate-hourly/items?f=json&STN_ID=${id}&datetime=${from}/${to}&limit=${MOST_ROWS}&offset=0`,
    file: `eccc_${id}_${daysOf(span)}.json`,
    about: name,
    station: id,
    span,
    roughBytes: (40_000 * (span.toS - span.fromS)) / DAY_S + 80_000,
  }
}
