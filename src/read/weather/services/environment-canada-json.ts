import type { Outcome } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import type { Observations } from '../../types.ts'
import { isObject, listAt, numberAt, objectAt, parseJson, textAt } from '../json.ts'
import { weatherReader } from '../reader.ts'
import { observationsFrom, reportFrom, type ServiceRow } from './service-rows.ts'

/**
 * Reads the collection "climate-hourly" of Environment Canada's API, whose rows also carry the time in UTC.
 * @source api.weather.gc.ca, collection climate-hourly (names of its fields from memory)
 */
export function readEnvironmentCanadaJson(text: string): Outcome<Observations> {
  const { value: json, problems } = parseJson(text)
  if (json === null) return { value: null, problems }
  const rows = listAt(json, 'features').filter(isObject).map(rowOf)
  const all = numberAt(json, 'numberMatched')
  if (rows.length < all) {
    const message = `the answer holds ${rows.length} of ${all} rows: the service cuts off at its limit`
    problems.push({
      code: 'service-cut-off',
      severity: 'warning',
      message,
      hint: 'Ask with limit=10000, or for fewer days.',
    })
  }
  return observationsFrom({
    rows,
    problems,
    none: { code: 'service-none', message: 'no row of this answer holds a value' },
  })
}

export const environmentCanadaJsonReader = weatherReader({
  kind: 'environment-canada-json',
  syntax: 'json',
  recognises: (head) => /"CLIMATE_IDENTIFIER"\s*:/.test(head) && /"UTC_DATE"\s*:/.test(head),
  dependsOn: [],
  read: readEnvironmentCanadaJson,
  format: {
    name: 'Environment Canada as JSON',
    holds:
      'the collection `climate-hourly`, whose rows carry UTC. Known from its description; not yet held against a real answer.',
  },
})

function rowOf(feature: Record<string, unknown>): ServiceRow {
  const properties = objectAt(feature, 'properties')
  const [longitude, latitude] = listAt(objectAt(feature, 'geometry'), 'coordinates').map(Number)
  const stationId = textAt(properties, 'STATION_NAME') || textAt(properties, 'CLIMATE_IDENTIFIER') || 'unnamed'
  // The service writes no zone.
  const time = parseInstant(textAt(properties, 'UTC_DATE')).seconds
  const report = reportFrom(
    { stationId, time },
    {
      temperature_c: numberAt(properties, 'TEMP'),
      dew_point_c: numberAt(properties, 'DEW_POINT_TEMP'),
      relative_humidity_pct: numberAt(properties, 'RELATIVE_HUMIDITY'),
      station_pressure_kpa: numberAt(properties, 'STATION_PRESSURE'),
      wind_speed_kmh: numberAt(properties, 'WIND_SPEED'),
      wind_from_deg: numberAt(properties, 'WIND_DIRECTION') * 10,
      precipitation_mm: numberAt(properties, 'PRECIP_AMOUNT'),
    },
  )
  return {
    report: { ...report, temperatureStepK: 0.1 },
    latitude: latitude ?? Number.NaN,
    longitude: longitude ?? Number.NaN,
    elevationM: Number.NaN,
  }
}
