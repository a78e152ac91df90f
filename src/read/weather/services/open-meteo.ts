import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import { quantityOf } from '../../table/quantities.ts'
import type { Observations } from '../../types.ts'
import { isObject, type JsonObject, listAt, numberAt, objectAt, parseJson, textAt } from '../json.ts'
import { weatherReader } from '../reader.ts'
import { modelNote, observationsFrom, reportFrom, type ServiceRow } from './service-rows.ts'

/** @source Open-Meteo, historical weather API documentation, hourly variables; heights of 2 m and 10 m */
const VARIABLES: Record<string, string> = {
  temperature_2m: 'temperature',
  dew_point_2m: 'dew_point',
  relative_humidity_2m: 'relative_humidity',
  surface_pressure: 'station_pressure',
  pressure_msl: 'sea_level_pressure',
  wind_speed_10m: 'wind_speed',
  wind_gusts_10m: 'wind_gust',
  wind_direction_10m: 'wind_from',
  precipitation: 'precipitation',
}
const UNITS: Record<string, string> = {
  '°C': 'c',
  '°F': 'f',
  '%': 'pct',
  hPa: 'hpa',
  'm/s': 'mps',
  'km/h': 'kmh',
  'mp/h': 'mph',
  mph: 'mph',
  kn: 'kt',
  '°': 'deg',
  mm: 'mm',
  inch: 'in',
}

/** Reads the archive's and the forecast's JSON: one place, or a list of places; a weather model's hours, no observations. */
export function readOpenMeteo(text: string): Outcome<Observations> {
  const { value: json, problems: damaged } = parseJson(text)
  if (json === null) return { value: null, problems: damaged }
  const problems: Problem[] = []
  const places = (Array.isArray(json) ? json : [json]).filter(isObject)
  const refusal = places.map((place) => textAt(place, 'reason')).find((reason) => reason !== '')
  if (refusal) {
    const message = `the service refused the request instead of answering it: ${refusal.slice(0, 200)}`
    return failed({ code: 'service-refusal', message, hint: 'Fetch it again.' })
  }
  const rows = places.flatMap((place) => rowsOf(place, problems))
  if (rows.length > 0) problems.push(modelNote('this file holds the hours of a weather model for cells of its grid'))
  const none = { code: 'service-none', message: 'no hour of this answer holds a value that is used' }
  return observationsFrom({ rows, problems, none, quality: 'model' })
}

export const openMeteoReader = weatherReader({
  kind: 'open-meteo',
  syntax: 'json',
  recognises: (head) => /"(hourly|minutely_15)_units"\s*:/.test(head) || /"error"\s*:\s*true\s*,\s*"reason"/.test(head),
  dependsOn: [],
  read: readOpenMeteo,
  format: {
    name: 'Open-Meteo JSON',
    holds:
      'answers of its archive and forecast services, one place or several. A model for a cell of its grid, not an instrument: taken with 2 m/s and 2 °C (one standard deviation of an hour, from published comparisons), and said so in the report.',
  },
})

function rowsOf(place: JsonObject, problems: Problem[]): ServiceRow[] {
  const [latitude, longitude, elevationM] = ['latitude', 'longitude', 'elevation'].map((key) => numberAt(place, key))
  const stationId = `model ${latitude.toFixed(2)} ${longitude.toFixed(2)}`
  const offsetS = numberAt(place, 'utc_offset_seconds')
  const key = Array.isArray(objectAt(place, 'hourly').time) ? 'hourly' : 'minutely_15'
  const columns = columnsOf(place, key, problems)
  return listAt(objectAt(place, key), 'time').map((written, i) => {
    const time = timeOf(written, Number.isNaN(offsetS) ? 0 : offsetS)
    const said = Object.fromEntries(columns.map(({ name, values }) => [name, valueAt(values, i)]))
    const report = reportFrom({ stationId, time }, said)
    return { report: { ...report, temperatureStepK: 0.1 }, latitude, longitude, elevationM }
  })
}

const valueAt = (values: unknown[], i: number): number => (typeof values[i] === 'number' ? values[i] : Number.NaN)

function columnsOf(place: JsonObject, key: string, problems: Problem[]): { name: string; values: unknown[] }[] {
  const columns: { name: string; values: unknown[] }[] = []
  const units = objectAt(place, `${key}_units`)
  for (const [variable, quantity] of Object.entries(VARIABLES)) {
    const values = listAt(objectAt(place, key), variable)
    if (values.length === 0) continue
    const name = `${quantity}_${UNITS[textAt(units, variable)] ?? '?'}`
    if (quantityOf(name)) columns.push({ name, values })
    else {
      const message = `"${variable}" has the unit "${textAt(units, variable)}", which is not known; it is not used`
      problems.push({ code: 'weather-unit-unknown', severity: 'warning', message })
    }
  }
  return columns
}

/** Unix seconds, or a clock time that is ahead of UTC by the answer's offset. */
function timeOf(written: unknown, offsetS: number): number {
  if (typeof written === 'number') return written
  return typeof written === 'string' ? parseInstant(written).seconds - offsetS : Number.NaN
}
