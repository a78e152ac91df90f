import type { Area } from '../cells.ts'
import { chooseStations } from '../choose.ts'
import { checkText, checkZip } from '../get/answer-kinds.ts'
import { candidate, page } from '../services/lists.ts'
import type { Ask, Candidate, Service } from '../types.ts'

const HOST = 'opendata.dwd.de'
const LIST_HOST = 'www.dwd.de'
const LIST = 'mosmix_stationskatalog.cfg'
/** Points that speak for the roads of an area. */
const MOST_POINTS = 3

/**
 * Point forecasts of the German weather service, for more than 5,000 places of the world, hourly for ten days.
 * @source DWD open data, MOSMIX_L; the address of the list of places, and its columns, from memory
 */
export const mosmix: Service = {
  id: 'mosmix',
  name: 'German weather service, MOSMIX point forecasts',
  host: HOST,
  otherHosts: [LIST_HOST],
  licence: 'GeoNutzV, CC BY 4.0',
  credit: 'Quelle: Deutscher Wetterdienst',
  kind: 'model',
  triedOn: 'synthetic',
  pauseMs: 1500,
  hasIndex: false,
  byDefault: false,
  covers: () => true,
  pages: () => [
    page(
      'mosmix',
      `https://${LIST_HOST}/DE/leistungen/met_verfahren_mosmix/${LIST}?view=nasPublication`,
      LIST,
      'places of MOSMIX',
      500_000,
    ),
  ],
  stations: (pages) => pointsIn(pages.get(LIST) ?? ''),
  requestsFor: (station) => [requestFor(station)],
  check: ({ purpose }, bytes) => (purpose === 'list' ? checkText(bytes) : checkZip(bytes)),
}

/** The points that add most for an area. */
export const mosmixPoints = (area: Area, candidates: readonly Candidate[]): Candidate[] =>
  chooseStations(area, candidates, [], MOST_POINTS).map(({ station }) => station)

/**
 * Rows of the catalogue: id, ICAO code or ----, name, latitude and longitude, height. Its degrees are written with minutes
 * behind the point: 52.08 is 52° 8'.
 */
function pointsIn(text: string): Candidate[] {
  const rows = [
    ...text.matchAll(/^\s*([A-Z0-9]{4,5})\s+([A-Z]{4}|----)\s+(.+?)\s+(-?\d+\.\d\d)\s+(-?\d+\.\d\d)\s+(-?\d+)\s*$/gm),
  ]
  return rows.flatMap(([, id, icao, name, latitude, longitude, height]) =>
    candidate(
      'mosmix',
      id,
      name,
      { latitude: degreesOf(latitude), longitude: degreesOf(longitude), elevationM: Number(height) },
      { alias: icao === '----' ? null : icao },
    ),
  )
}

function degreesOf(text: string): number {
  const [degrees, minutes] = text.replace('-', '').split('.').map(Number)
  return (text.startsWith('-') ? -1 : 1) * (degrees + minutes / 60)
}

const requestFor = ({ id, name }: Candidate): Ask => ({
  service: 'mosmix',
  purpose: 'forecast',
  url: `https://${HOST}/weather/local_forecasts/mos/MOSMIX_L/single_stations/${id}/kml/MOSMIX_L_LATEST_${id}.kmz`,
  file: `MOSMIX_L_LATEST_${id}.kmz`,
  about: `forecast for ${name}`,
  station: id,
  span: null,
  roughBytes: 40_000,
})
