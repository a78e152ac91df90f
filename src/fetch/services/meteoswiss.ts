import { checkRows } from '../get/answer-kinds.ts'
import type { Ask, Candidate, Service, Span } from '../types.ts'
import { anyWithin } from '../where.ts'
import { candidate, DAY_S, numberOf, page, rowsByName } from './lists.ts'

const HOST = 'data.geo.admin.ch'
const ROOT = `https://${HOST}/ch.meteoschweiz.ogd-smn`
const LIST = 'ogd-smn_meta_stations.csv'
const SWITZERLAND = { southDeg: 45.7, westDeg: 5.8, northDeg: 47.9, eastDeg: 10.6 }

/**
 * The automatic network of MeteoSwiss: means of ten minutes of this year, of hours of earlier ones, whose files of ten
 * minutes hold ten years and are too large to be read.
 * @source data.geo.admin.ch, collection ch.meteoschweiz.ogd-smn; the addresses of its files from memory
 */
export const meteoswiss: Service = {
  id: 'meteoswiss',
  name: 'MeteoSwiss, automatic network',
  host: HOST,
  licence: 'CC BY 4.0',
  credit: 'Source: MeteoSwiss',
  kind: 'observed',
  triedOn: 'synthetic',
  pauseMs: 1500,
  hasIndex: false,
  byDefault: false,
  covers: (where) => anyWithin(where, SWITZERLAND),
  pages: () => [{ ...page('meteoswiss', `${ROOT}/${LIST}`, LIST, 'stations of MeteoSwiss', 60_000), beside: true }],
  stations: (pages) =>
    rowsByName(pages.get(LIST) ?? '', ';').flatMap((row) =>
      candidate('meteoswiss', (row.station_abbr ?? '').toLowerCase(), row.station_name ?? '', {
        latitude: numberOf(row.station_coordinates_wgs84_lat),
        longitude: numberOf(row.station_coordinates_wgs84_lon),
        elevationM: numberOf(row.station_height_masl),
      }),
    ),
  requestsFor: (station, span, nowS) =>
    filesFor(span, nowS).map(([file, bytes]) => requestOf(station, span, file, bytes)),
  check: ({ purpose }, bytes) =>
    checkRows(bytes, {
      separator: ';',
      isHead: () => false,
      isHeader: (line) =>
        (purpose === 'list' ? /^.{0,3}station_abbr;/ : /^.{0,3}station_abbr;reference_timestamp;/).test(line),
    }),
}

/** Names of files that hold a span, with their size. */
function filesFor({ fromS, toS }: Span, nowS: number): [name: string, bytes: number][] {
  const yearOf = (seconds: number): number => new Date(seconds * 1000).getUTCFullYear()
  const thisYear = yearOf(nowS)
  const [first, last] = [yearOf(fromS), yearOf(toS - 1)]
  const files: [string, number][] = []
  for (let decade = Math.floor(first / 10) * 10; decade <= last && first < thisYear; decade += 10) {
    files.push([`h_historical_${decade}-${decade + 9}`, 12_000_000])
  }
  if (last === thisYear) files.push(['t_recent', 6_000_000])
  if (toS > Math.floor(nowS / DAY_S) * DAY_S) files.push(['t_now', 20_000])
  return files
}

const requestOf = ({ id, name }: Candidate, span: Span, kind: string, roughBytes: number): Ask => ({
  service: 'meteoswiss',
  purpose: 'observations',
  url: `${ROOT}/${id}/ogd-smn_${id}_${kind}.csv`,
  file: `ogd-smn_${id}_${kind}.csv`,
  about: name,
  station: id,
  span,
  roughBytes,
})
