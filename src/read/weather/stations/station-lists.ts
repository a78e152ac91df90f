import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed, found } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import { firstOfEach } from '../../many.ts'
import { ourColumns } from '../../table/our-columns.ts'
import { quantityOf } from '../../table/quantities.ts'
import { headerNames, ourHeaderNames, readTable, type Table, toNumber } from '../../table/table.ts'
import type { Observations, StationListing } from '../../types.ts'
import { weatherReader } from '../reader.ts'
import { meteoSwissStation } from '../services/meteoswiss.ts'
import { observationsOf } from '../station-reports.ts'

/** Names of the columns of one kind of list; `height` may be one of several. */
interface ListForm {
  id: string
  latitude: string
  longitude: string
  height: string
  anemometerHeight?: string | undefined
  from?: string
  to?: string
  named?: (id: string) => string
}

/**
 * @source DWD CDC, Metadaten_Geographie; NOAA NCEI, ghcnh-station-list.csv (-999.9: no height); MeteoSwiss open data,
 *   ogd-smn_meta_stations.csv (names of its columns from memory)
 */
const FORMS: ListForm[] = [
  {
    id: 'stations_id',
    latitude: 'geogr.breite',
    longitude: 'geogr.laenge',
    height: 'stationshoehe',
    from: 'von_datum',
    to: 'bis_datum',
  },
  { id: 'ghcn_id', latitude: 'latitude', longitude: 'longitude', height: 'elevation' },
  {
    id: 'station_abbr',
    latitude: 'station_coordinates_wgs84_lat',
    longitude: 'station_coordinates_wgs84_lon',
    height: 'station_height_masl',
    named: meteoSwissStation,
  },
]

/** Headers of the other metadata that come with the German service's tables: parameters, instruments, names. */
const isDwdMetadata = (names: readonly string[]): boolean => names[0] === 'stations_id' && names.includes('von_datum')

/** The German service's list of all stations, in columns of blanks. */
const DWD_LIST = /^Stations_id von_datum bis_datum Stationshoehe geoBreite geoLaenge/i

/**
 * A table of places by station's name, and nothing of the weather: columns as in tables of weather, by whatever names
 * they are known there. Others, such as an owner or remarks, hold nothing that is needed.
 * @param names as `ourColumns` gives them
 */
function ownForm(names: readonly string[]): ListForm | null {
  const at = (field: string) => names.find((name) => quantityOf(name)?.field === field)
  const id = names.find((name) => name === 'station' || name === 'station_id')
  const [latitude, longitude] = [at('latitudeDeg'), at('longitudeDeg')]
  const isPlaces = names.every((name) => PLACE_FIELDS.includes(quantityOf(name)?.field ?? '') || !isOfMoments(name))
  if (!id || !latitude || !longitude || !isPlaces) return null
  return { id, latitude, longitude, height: at('elevationM') ?? '', anemometerHeight: at('anemometerHeightM') }
}

const PLACE_FIELDS = ['latitudeDeg', 'longitudeDeg', 'elevationM', 'anemometerHeightM']

/** Whether a column changes from row to row of a record: a quantity, a time, a report. */
const isOfMoments = (name: string): boolean =>
  quantityOf(name) !== null || /time|date|valid|metar|weather|track|^setup$|^speed/.test(name)

const formOf = (names: readonly string[]): ListForm | null =>
  FORMS.find(({ id, latitude }) => names.includes(id) && names.includes(latitude)) ?? null

/** Reads a list of stations: where stations of other files in the folder are, and since when. It holds no weather. */
export function readStationList(text: string): Outcome<Observations> {
  if (DWD_LIST.test(text.trimStart())) return placesFound(dwdListing(text), [])
  const { value: table, problems } = readTable(text)
  if (!table) return { value: null, problems }
  const form = formOf(table.header)
  if (form) return placesFound(listings(table, form, problems), problems)
  const { names, problems: guesses } = ourColumns(table.header, table.units, table.written)
  const own = ownForm(names)
  if (own) {
    problems.push(...guesses.map((problem) => ({ ...problem, line: table.headerLine })))
    return placesFound(listings({ ...table, header: names }, own, problems), problems)
  }
  return isDwdMetadata(table.header) ? found(observationsOf([], [])) : failed(NO_PLACES, problems)
}

const NO_PLACES = { code: 'station-list-empty', message: 'no row of this list says where a station is' }

export const stationListReader = weatherReader({
  kind: 'station-list',
  recognises: (head) => {
    const names = headerNames(head)
    return (
      DWD_LIST.test(head) || formOf(names) !== null || isDwdMetadata(names) || ownForm(ourHeaderNames(head)) !== null
    )
  },
  encoding: 'windows-1252',
  dependsOn: [],
  read: readStationList,
  format: {
    name: 'Lists of stations',
    holds:
      'where stations of other files are: a table `station,lat,lon,elevation_m` (and `anemometer_height_m`), GHCNh’s `ghcnh-station-list.csv`, MeteoSwiss’ `ogd-smn_meta_stations.csv`, and the German service’s `Metadaten_Geographie_….txt` (also in its ZIPs; of a station that moved, the place of those days) and `…_Beschreibung_Stationen.txt`.',
  },
})

function placesFound(places: StationListing[], problems: Problem[]): Outcome<Observations> {
  if (places.length === 0) return failed(NO_PLACES, firstOfEach(problems))
  return found({ ...observationsOf([], []), places }, firstOfEach(problems))
}

function listings(table: Table, form: ListForm, problems: Problem[]): StationListing[] {
  const at = (name: string | undefined) => (name === undefined ? -1 : table.header.indexOf(name))
  const [id, latitude, longitude, height] = [form.id, form.latitude, form.longitude, form.height].map(at)
  const [from, to] = [at(form.from), at(form.to)]
  return table.rows.flatMap(({ line, cells }) => {
    const number = (column: number): number => toNumber(cells[column] ?? '', table.delimiter) ?? Number.NaN
    const place = { latitude: number(latitude), longitude: number(longitude) }
    if (!(Math.abs(place.latitude) <= 90 && Math.abs(place.longitude) <= 180) || cells[id] === '') {
      const message = 'this row names no station, or no place on Earth; it is left out'
      problems.push({ code: 'weather-cell-unreadable', severity: 'warning', message, line })
      return []
    }
    const elevationM = inMetres(form.height, number(height))
    const anemometerHeightM = inMetres(form.anemometerHeight, number(at(form.anemometerHeight)))
    return [
      {
        id: form.named ? form.named(cells[id]) : cells[id],
        ...place,
        elevationM: elevationM < -500 ? Number.NaN : elevationM,
        ...(Number.isNaN(anemometerHeightM) ? {} : { anemometerHeightM }),
        from: dayIn(cells[from]),
        to: dayIn(cells[to]),
      },
    ]
  })
}

/** Heights are in metres where the column's name says nothing else. */
const inMetres = (name: string | undefined, value: number): number => quantityOf(name ?? '')?.convert(value) ?? value

/** `Stations_id von_datum bis_datum Stationshoehe geoBreite geoLaenge Stationsname …`, below it dashes and a row each. */
function dwdListing(text: string): StationListing[] {
  return [...text.matchAll(/^ *(\d+) +(\d{8}) +(\d{8}) +(-?[\d.]+) +(-?[\d.]+) +(-?[\d.]+) /gm)].map((words) => ({
    id: words[1],
    latitude: Number(words[5]),
    longitude: Number(words[6]),
    elevationM: Number(words[4]),
    // The station's own life, not that of its place: the list has the last place only.
    from: Number.NaN,
    to: Number.NaN,
  }))
}

/** `20091014` as seconds since 1970; NaN for none, which is "open". */
function dayIn(written: string | undefined): number {
  const [, year, month, day] = /^(\d{4})(\d\d)(\d\d)$/.exec(written ?? '') ?? []
  return year === undefined ? Number.NaN : parseInstant(`${year}-${month}-${day}T00:00:00Z`).seconds
}
