import type { Outcome, Problem } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import { quantityOf } from '../../table/quantities.ts'
import type { Observations } from '../../types.ts'
import { isObject, type JsonObject, listAt, numberAt, objectAt, parseJson, textAt } from '../json.ts'
import { withMetar } from '../metar/metar-json.ts'
import { weatherReader } from '../reader.ts'
import { droppedNote, observationsFrom, reportFrom, type ServiceRow } from './service-rows.ts'

/** @source api.weather.gov, OpenAPI description; units by the WMO code register */
const UNITS: Record<string, string> = {
  degC: 'c',
  degF: 'f',
  K: 'k',
  'km_h-1': 'kmh',
  'm_s-1': 'mps',
  Pa: 'pa',
  percent: 'pct',
  'degree_(angle)': 'deg',
  mm: 'mm',
}

/** Rejected, questioned, found bad by eye. @source NOAA MADIS, quality control descriptors */
const BAD = new Set(['X', 'Q', 'B'])

const QUANTITIES: Record<string, string> = {
  temperature: 'temperature',
  dewpoint: 'dew_point',
  relativeHumidity: 'relative_humidity',
  windSpeed: 'wind_speed',
  windGust: 'wind_gust',
  windDirection: 'wind_from',
  barometricPressure: 'station_pressure',
  seaLevelPressure: 'sea_level_pressure',
  precipitationLastHour: 'precipitation',
}

/**
 * Reads observations of api.weather.gov: one (`…/observations/latest`) or a collection. Values carry their units and the
 * result of their quality control; the raw METAR, where there is one, stands before them. The service's
 * "barometricPressure" is the altimeter setting of the report.
 */
export function readNationalWeather(text: string): Outcome<Observations> {
  const { value: json, problems: damaged } = parseJson(text)
  if (json === null) return { value: null, problems: damaged }
  const problems: Problem[] = []
  const features = isObject(json) && Array.isArray(json.features) ? json.features : [json]
  const count = { dropped: 0 }
  const rows = features.filter(isObject).map((feature) => rowOf(feature, count))
  problems.push(...droppedNote(count.dropped))
  const none = { code: 'service-none', message: 'no observation of this answer holds a value' }
  return observationsFrom({ rows, problems, none })
}

export const nationalWeatherReader = weatherReader({
  kind: 'national-weather',
  syntax: 'json',
  recognises: (head) => /api\.weather\.gov\/stations\/\w+\/observations/.test(head),
  dependsOn: [],
  read: readNationalWeather,
  format: {
    name: 'api.weather.gov observations',
    holds:
      'JSON of the US weather service, one observation or a collection; values that its quality control rejects or questions are left out.',
  },
})

function rowOf(feature: JsonObject, count: { dropped: number }): ServiceRow {
  const properties = objectAt(feature, 'properties')
  const [longitude, latitude] = listAt(objectAt(feature, 'geometry'), 'coordinates').map(Number)
  const address = textAt(properties, 'station') || textAt(properties, '@id') || textAt(feature, 'id')
  const stationId = /stations\/(\w+)/.exec(address)?.[1] ?? 'unnamed'
  const said: Record<string, number> = {}
  let isDoubted = false
  for (const [key, quantity] of Object.entries(QUANTITIES)) {
    const measured = objectAt(properties, key)
    const code = textAt(measured, 'unitCode').replace(/^\w+:/, '')
    const isRainInMetres = key === 'precipitationLastHour' && code === 'm'
    const value = numberAt(measured, 'value') * (isRainInMetres ? 1000 : 1)
    const unit = isRainInMetres ? 'mm' : (UNITS[code] ?? '?')
    const name = key === 'barometricPressure' ? `altimeter_${unit}` : `${quantity}_${unit}`
    if (Number.isNaN(value) || !quantityOf(name)) continue
    if (BAD.has(textAt(measured, 'qualityControl'))) {
      count.dropped++
      isDoubted = true
    } else said[name] = value
  }
  const time = parseInstant(textAt(properties, 'timestamp') || (/observations\/(.+)$/.exec(address)?.[1] ?? '')).seconds
  const report = { ...reportFrom({ stationId, time }, said), temperatureStepK: 0.1, rainIsHourlyTotal: true }
  return {
    // The METAR would bring back what the quality control refused.
    report: isDoubted ? report : withMetar(report, textAt(properties, 'rawMessage')),
    latitude: latitude ?? Number.NaN,
    longitude: longitude ?? Number.NaN,
    elevationM: numberAt(objectAt(properties, 'elevation'), 'value'),
  }
}
