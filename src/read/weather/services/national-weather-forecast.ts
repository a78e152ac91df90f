import type { Outcome, Problem } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import type { Observations } from '../../types.ts'
import { isObject, type JsonObject, listAt, numberAt, objectAt, parseJson, textAt } from '../json.ts'
import { weatherReader } from '../reader.ts'
import { modelNote, observationsFrom, reportFrom, type ServiceRow } from './service-rows.ts'

const POINTS = ['N', 'NNE', 'NE', 'ENE', 'E', 'ESE', 'SE', 'SSE', 'S', 'SSW', 'SW', 'WSW', 'W', 'WNW', 'NW', 'NNW']
const DEGREES_PER_POINT = 22.5

/** Reads the hourly forecast of api.weather.gov: periods of an hour, winds as text ("15 km/h", "10 to 15 mph"). */
export function readNationalWeatherForecast(text: string): Outcome<Observations> {
  const { value: json, problems: damaged } = parseJson(text)
  if (json === null) return { value: null, problems: damaged }
  const properties = objectAt(json, 'properties')
  const [longitude, latitude] = pointOf(objectAt(json, 'geometry'))
  const stationId = `forecast ${latitude.toFixed(2)} ${longitude.toFixed(2)}`
  const elevationM = numberAt(objectAt(properties, 'elevation'), 'value')
  const rows = listAt(properties, 'periods')
    .filter(isObject)
    .map((period): ServiceRow => ({ report: reportOf(period, stationId), latitude, longitude, elevationM }))
  const problems: Problem[] = rows.length > 0 ? [modelNote('this file holds an hourly forecast')] : []
  const none = { code: 'service-none', message: 'this forecast holds no hour with a value that is used' }
  return observationsFrom({ rows, problems, none, quality: 'model' })
}

export const nationalWeatherForecastReader = weatherReader({
  kind: 'national-weather-forecast',
  syntax: 'json',
  recognises: (head) => /"forecastGenerator"\s*:/.test(head) && /"periods"\s*:/.test(head),
  dependsOn: [],
  read: readNationalWeatherForecast,
  format: {
    name: 'api.weather.gov hourly forecast',
    holds: 'JSON of the US weather service (`…/forecast/hourly`), for `plan windows`; in a report taken as a model.',
  },
})

function reportOf(period: JsonObject, stationId: string) {
  const unit = textAt(period, 'temperatureUnit') === 'F' ? 'f' : 'c'
  const { name, value } = windOf(textAt(period, 'windSpeed'))
  const point = POINTS.indexOf(textAt(period, 'windDirection'))
  const report = reportFrom(
    { stationId, time: parseInstant(textAt(period, 'startTime')).seconds },
    {
      [`temperature_${unit}`]: numberAt(period, 'temperature'),
      dew_point_c: numberAt(objectAt(period, 'dewpoint'), 'value'),
      relative_humidity_pct: numberAt(objectAt(period, 'relativeHumidity'), 'value'),
      [name]: value,
      wind_from_deg: point < 0 ? Number.NaN : point * DEGREES_PER_POINT,
    },
  )
  return { ...report, temperatureStepK: 0.5 }
}

/** The speed, of a range its middle. */
function windOf(text: string): { name: string; value: number } {
  const [, from, to, unit] = /^(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? (km\/h|mph|kt)$/.exec(text) ?? []
  const name = unit === 'mph' ? 'wind_speed_mph' : unit === 'kt' ? 'wind_speed_kt' : 'wind_speed_kmh'
  return { name, value: from === undefined ? Number.NaN : (Number(from) + Number(to ?? from)) / 2 }
}

/** The point of a geometry: its own, that of a collection, or the middle of a polygon's corners. */
function pointOf(geometry: JsonObject): [longitude: number, latitude: number] {
  const point = [geometry, ...listAt(geometry, 'geometries')].find((one) => textAt(one, 'type') === 'Point')
  if (point) {
    const [longitude, latitude] = listAt(point, 'coordinates').map(Number)
    return [longitude ?? Number.NaN, latitude ?? Number.NaN]
  }
  const [ring] = listAt(geometry, 'coordinates')
  const corners = (Array.isArray(ring) ? ring.slice(1) : []).filter(Array.isArray)
  const mean = (axis: number): number => corners.reduce((sum, corner) => sum + Number(corner[axis]), 0) / corners.length
  return [mean(0), mean(1)]
}
