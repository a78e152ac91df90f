import { isoSecond } from '../../base/time.ts'
import { daysOf } from '../cells.ts'
import { checkRows } from '../get/answer-kinds.ts'
import type { Ask, Candidate, Service, Span } from '../types.ts'
import { candidate, DAY_S, numberOf, page, rowsByName } from './lists.ts'

const HOST = 'www.ncei.noaa.gov'
const LIST = 'ghcnh-station-list.csv'
const LIST_URL = `https://${HOST}/oa/global-historical-climatology-network/hourly/doc/${LIST}`
/** Rows come about a day and a half late. */
const LATE_S = 2 * DAY_S

/** Each quantity with its codes, which come only when they are named; without DATE rows have no time. */
const QUANTITIES = [
  'temperature',
  'dew_point_temperature',
  'station_level_pressure',
  'sea_level_pressure',
  'altimeter',
  'wind_direction',
  'wind_speed',
  'wind_gust',
]
const CODES = ['Measurement_Code', 'Quality_Code', 'Report_Type', 'Source_Code']
const COLUMNS = [
  'DATE',
  'LATITUDE',
  'LONGITUDE',
  'ELEVATION',
  ...QUANTITIES.flatMap((name) => [name, ...CODES.map((code) => `${name}_${code}`)]),
]

/**
 * NOAA's hourly observations of the whole world, through the access data service, a window of days of one station.
 * Airports are those of the METAR archive again; what it adds are places without an airport, and quality codes.
 * @source NCEI, access data service; GHCNh documentation 1.0.1, as used by others in 2026 (no answer was at hand)
 */
export const ghcnh: Service = {
  id: 'ghcnh',
  name: 'NOAA NCEI, Global Historical Climatology Network hourly',
  host: HOST,
  licence: 'CC0 1.0',
  credit: 'NOAA National Centers for Environmental Information, Global Historical Climatology Network hourly',
  kind: 'observed',
  triedOn: 'synthetic',
  // Requests in quick succession are refused.
  pauseMs: 3000,
  hasIndex: false,
  byDefault: false,
  covers: ({ span }, nowS) => span.fromS < nowS - LATE_S,
  pages: () => [page('ghcnh', LIST_URL, LIST, 'stations of NOAA', 1_900_000)],
  stations: (pages) => rowsByName(pages.get(LIST) ?? '', ',').flatMap(stationOf),
  requestsFor: (station, span) => [requestFor(station, span)],
  check: ({ purpose }, bytes) =>
    checkRows(bytes, {
      separator: ',',
      isHead: () => false,
      isHeader: (line) => (purpose === 'list' ? /^.{0,3}GHCN_ID,/ : /(^|,)"?DATE"?(,|$)/).test(line),
    }),
}

/** Outside the United States the ICAO code stands in the id alone: GMI0000EDDF. -999.9 is no height. */
function stationOf(row: Record<string, string>): Candidate[] {
  const id = row.ghcn_id ?? ''
  const height = numberOf(row.elevation)
  const place = {
    latitude: numberOf(row.latitude),
    longitude: numberOf(row.longitude),
    elevationM: height <= -999 ? Number.NaN : height,
  }
  const alias = row.icao || (/^..I0000([A-Z]{4})$/.exec(id)?.[1] ?? null)
  return candidate('ghcnh', id, row.name ?? id, place, { alias })
}

function requestFor({ id, name }: Candidate, span: Span): Ask {
  const query = new URLSearchParams({
    dataset: 'global-historical-climatology-network-hourly',
    stations: id,
    startDate: isoSecond(span.fromS),
    endDate: isoSecond(span.toS - 1),
    dataTypes: COLUMNS.join(),
    format: 'csv',
    includeStationLocation: '1',
  })
  return {
    service: 'ghcnh',
    purpose: 'observations',
    url: `https://${HOST}/access/services/data/v1?${query}`,
    file: `ghcnh_${id}_${daysOf(span)}.csv`,
    about: name,
    station: id,
    span,
    roughBytes: (10_000 * (span.toS - span.fromS)) / DAY_S,
  }
}
