import { checkPage, checkText, checkZip } from '../get/answer-kinds.ts'
import type { Ask, Candidate, Service, Span } from '../types.ts'
import { anyWithin } from '../where.ts'
import { candidate, DAY_S, page } from './lists.ts'

const HOST = 'opendata.dwd.de'
const ROOT = `https://${HOST}/climate_environment/CDC/observations_germany/climate/10_minutes`
/** Germany, with its neighbours' border strips. */
const GERMANY = { southDeg: 46.8, westDeg: 5.5, northDeg: 55.3, eastDeg: 15.5 }
/** `recent` holds about 500 days, up to yesterday. */
const RECENT_DAYS = 480

/** Wind, and temperature with humidity and station pressure: folder, name in files, name of the list of stations. */
const PARTS = [
  { folder: 'wind', name: 'wind', list: 'zehn_min_ff_Beschreibung_Stationen.txt' },
  { folder: 'air_temperature', name: 'TU', list: 'zehn_min_tu_Beschreibung_Stationen.txt' },
] as const

type Part = (typeof PARTS)[number]

/**
 * Means of ten minutes of the German weather service.
 * @source DWD open data, CDC directory, as clients of it use it (earthobservations/wetterdienst); GeoNutzV
 */
export const dwd: Service = {
  id: 'dwd',
  name: 'German weather service, observations of ten minutes',
  host: HOST,
  licence: 'GeoNutzV, CC BY 4.0',
  credit: 'Quelle: Deutscher Wetterdienst',
  kind: 'observed',
  triedOn: 'synthetic',
  pauseMs: 1500,
  hasIndex: false,
  byDefault: true,
  covers: (where) => anyWithin(where, GERMANY),
  pages: ({ span }, nowS) => [
    ...PARTS.map(({ folder, list }) =>
      page('dwd', `${ROOT}/${folder}/recent/${list}`, `dwd_${list}`, 'stations of the German weather service', 250_000),
    ),
    // Older files have dates in their names, which only the directory tells.
    ...(isOld(span, nowS) ? PARTS.map(directory) : []),
  ],
  stations: (pages) => {
    const [wind, temperature] = PARTS.map(({ list }) => stationsIn(pages.get(`dwd_${list}`) ?? ''))
    const both = new Set(temperature.map(({ id }) => id))
    return wind.filter(({ id }) => both.size === 0 || both.has(id))
  },
  requestsFor: (station, span, nowS, pages) => PARTS.flatMap((part) => requestsOf(part, station, span, nowS, pages)),
  check: ({ purpose, url }, bytes) =>
    purpose !== 'list' ? checkZip(bytes) : url.endsWith('/') ? checkPage(bytes) : checkText(bytes),
}

const isOld = ({ fromS }: Span, nowS: number): boolean => fromS < nowS - RECENT_DAYS * DAY_S

const directoryName = ({ name }: Part): string => `dwd_directory_${name}_historical.html`

const directory = (part: Part): Ask =>
  page('dwd', `${ROOT}/${part.folder}/historical/`, directoryName(part), 'directory of older files', 500_000)

/**
 * The list of stations: columns of blanks, names with blanks in them.
 * @source DWD CDC, Beschreibung_Stationen: Stations_id von_datum bis_datum Stationshoehe geoBreite geoLaenge Stationsname …
 */
function stationsIn(text: string): Candidate[] {
  const rows = [...text.matchAll(/^\s*(\d{1,5})\s+(\d{8})\s+(\d{8})\s+(-?[\d.]+)\s+([\d.]+)\s+([\d.]+)\s+(.*?)\s*$/gm)]
  return rows.flatMap(([, id, from, to, height, latitude, longitude, rest]) =>
    candidate(
      'dwd',
      id.padStart(5, '0'),
      rest.split(/\s{2,}/)[0],
      { latitude: Number(latitude), longitude: Number(longitude), elevationM: Number(height) },
      { since: dayOfText(from), until: dayOfText(to) + 2 * DAY_S },
    ),
  )
}

const dayOfText = (text: string): number =>
  Date.UTC(Number(text.slice(0, 4)), Number(text.slice(4, 6)) - 1, Number(text.slice(6, 8))) / 1000

function requestsOf(
  part: Part,
  { id, name }: Candidate,
  span: Span,
  nowS: number,
  pages: ReadonlyMap<string, string>,
): Ask[] {
  const today = Math.floor(nowS / DAY_S) * DAY_S
  const ask = (folder: string, file: string, roughBytes: number): Ask => ({
    service: 'dwd',
    purpose: 'observations',
    url: `${ROOT}/${part.folder}/${folder}/${file}`,
    file: `dwd_${file}`,
    about: name,
    station: id,
    span,
    roughBytes,
  })
  if (isOld(span, nowS)) {
    return historicalNames(pages.get(directoryName(part)) ?? '', part, id, span).map((file) =>
      ask('historical', file, 3_000_000),
    )
  }
  const begin = `10minutenwerte_${part.name}_${id}`
  return [
    ...(span.fromS < today ? [ask('recent', `${begin}_akt.zip`, 700_000)] : []),
    // What was observed since yesterday.
    ...(span.toS > today - DAY_S && nowS - span.toS < 2 * DAY_S ? [ask('now', `${begin}_now.zip`, 5000)] : []),
  ]
}

/** Files of a station whose days, as their names tell, meet those asked for. Stray files begin with "_". */
export function historicalNames(index: string, { name }: { name: string }, id: string, span: Span): string[] {
  const names = new Set([...index.matchAll(/href="(10minutenwerte_[^"]+_hist\.zip)"/g)].map(([, file]) => file))
  return [...names].filter((file) => {
    const found = /^10minutenwerte_(\w+)_(\d{5})_(\d{8})_(\d{8})_hist\.zip$/.exec(file)
    if (found === null || found[1] !== name || found[2] !== id) return false
    return dayOfText(found[3]) < span.toS && dayOfText(found[4]) + DAY_S > span.fromS
  })
}
