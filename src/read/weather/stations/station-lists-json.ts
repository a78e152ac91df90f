import type { Outcome } from '../../../base/problem.ts'
import { failed, found } from '../../../base/problem.ts'
import type { Observations, StationListing } from '../../types.ts'
import { isObject, type JsonObject, listAt, numberAt, objectAt, parseJson, textAt } from '../json.ts'
import { weatherReader } from '../reader.ts'
import { observationsOf } from '../station-reports.ts'

/**
 * Reads lists of stations as JSON: SMHI's (`parameter/4.json`), the Iowa Environmental Mesonet's of one network, and
 * Environment Canada's collection climate-stations. A station is listed under its number and under its name, because tables
 * name it by one of them.
 * @source SMHI open data, meteorological observations, version 1.0; mesonet.agron.iastate.edu/api/1/network; api.weather.gc.ca
 */
export function readStationListJson(text: string): Outcome<Observations> {
  const { value: json, problems } = parseJson(text)
  if (json === null) return { value: null, problems }
  const smhi = listAt(json, 'station').filter(isObject).flatMap(smhiStation)
  const mesonet = listAt(json, 'data').filter(isObject).flatMap(mesonetStation)
  const canada = listAt(json, 'features').filter(isObject).flatMap(canadianStation)
  const places = [...smhi, ...mesonet, ...canada]
  if (places.length === 0) {
    return failed({ code: 'station-list-empty', message: 'no entry of this list says where a station is' }, problems)
  }
  return found({ ...observationsOf([], []), places }, problems)
}

export const stationListJsonReader = weatherReader({
  kind: 'station-list-json',
  syntax: 'json',
  recognises: (head) =>
    (/"station"\s*:\s*\[/.test(head) && /"latitude"\s*:/.test(head)) ||
    (/"STN_ID"\s*:/.test(head) && /"ELEVATION"\s*:/.test(head)) ||
    (/"archive_begin"/.test(head) && /"latitude"/.test(head)),
  dependsOn: [],
  read: readStationListJson,
  format: {
    name: 'Lists of stations as JSON',
    holds:
      'those of SMHI, of the Iowa Environmental Mesonet (one network) and of Environment Canada (`climate-stations`).',
  },
})

function listing(id: string, latitude: number, longitude: number, elevationM: number): StationListing[] {
  const isPlace = id !== '' && Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180
  return isPlace ? [{ id, latitude, longitude, elevationM, from: Number.NaN, to: Number.NaN }] : []
}

function smhiStation(station: JsonObject): StationListing[] {
  const id = numberAt(station, 'id')
  return [Number.isNaN(id) ? '' : String(id), textAt(station, 'name')].flatMap((name) =>
    listing(name, numberAt(station, 'latitude'), numberAt(station, 'longitude'), numberAt(station, 'height')),
  )
}

const mesonetStation = (station: JsonObject): StationListing[] =>
  listing(
    textAt(station, 'id'),
    numberAt(station, 'latitude'),
    numberAt(station, 'longitude'),
    numberAt(station, 'elevation'),
  )

function canadianStation(feature: JsonObject): StationListing[] {
  const properties = objectAt(feature, 'properties')
  const [longitude, latitude] = listAt(objectAt(feature, 'geometry'), 'coordinates').map(Number)
  return [textAt(properties, 'STATION_NAME'), textAt(properties, 'CLIMATE_IDENTIFIER')].flatMap((name) =>
    listing(name, latitude, longitude, numberAt(properties, 'ELEVATION')),
  )
}
