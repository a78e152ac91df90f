import { plural } from '../../../base/figures.ts'
import type { Outcome, Problem } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import type { Observations } from '../../types.ts'
import { isObject, type JsonObject, numberAt, parseJson, textAt } from '../json.ts'
import { weatherReader } from '../reader.ts'
import { observationsFrom, reportFrom, type ServiceRow } from '../services/service-rows.ts'
import { withMetar } from './metar-json.ts'

/**
 * Reads the METARs of aviationweather.gov as JSON. The time is that of the observation (`obsTime`); `reportTime` is the
 * nominal hour. The raw report stands before the decoded values.
 * @source aviationweather.gov, OpenAPI description 4.0 of its data service (knots, °C, hPa)
 */
export function readAviationWeather(text: string): Outcome<Observations> {
  const { value: json, problems: damaged } = parseJson(text)
  if (json === null) return { value: null, problems: damaged }
  const problems: Problem[] = []
  const reports = (Array.isArray(json) ? json : [json]).filter(isObject)
  const rows = reports.map(rowOf)
  const timeless = rows.filter(({ report }) => Number.isNaN(report.time)).length
  if (timeless > 0) {
    const message = `${plural(timeless, 'report')} without a time of observation (obsTime) left out`
    problems.push({ code: 'weather-time-unreadable', severity: 'error', message })
  }
  return observationsFrom({
    rows,
    problems,
    none: { code: 'service-none', message: 'no report of this answer could be used' },
  })
}

export const aviationWeatherReader = weatherReader({
  kind: 'aviation-weather',
  syntax: 'json',
  recognises: (head) => /"icaoId"\s*:/.test(head) && /"(rawOb|obsTime)"\s*:/.test(head),
  dependsOn: [],
  read: readAviationWeather,
  format: {
    name: 'aviationweather.gov JSON',
    holds:
      'METARs as JSON, with their stations’ places; of both forms, before and since September 2025 (the newer one is known from its description only).',
  },
})

function rowOf(metar: JsonObject): ServiceRow {
  const direction = numberAt(metar, 'wdir')
  const report = reportFrom(
    { stationId: textAt(metar, 'icaoId') || 'unnamed', time: timeOf(metar.obsTime) },
    {
      temperature_c: numberAt(metar, 'temp'),
      dew_point_c: numberAt(metar, 'dewp'),
      wind_speed_kt: numberAt(metar, 'wspd'),
      wind_gust_kt: numberAt(metar, 'wgst'),
      wind_from_deg: direction,
      altimeter_hpa: numberAt(metar, 'altim'),
      sea_level_pressure_hpa: numberAt(metar, 'slp'),
    },
  )
  const decoded = {
    ...report,
    windVariable: textAt(metar, 'wdir') === 'VRB',
    presentWeather: textAt(metar, 'wxString') || null,
    temperatureStepK: 1,
  }
  return {
    report: withMetar(decoded, textAt(metar, 'rawOb')),
    latitude: numberAt(metar, 'lat'),
    longitude: numberAt(metar, 'lon'),
    elevationM: numberAt(metar, 'elev'),
  }
}

const timeOf = (written: unknown): number =>
  typeof written === 'number' ? written : typeof written === 'string' ? parseInstant(written).seconds : Number.NaN
