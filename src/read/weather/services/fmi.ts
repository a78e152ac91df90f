import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import type { Observations } from '../../types.ts'
import { weatherReader } from '../reader.ts'
import { observationsFrom, reportFrom, type ServiceRow } from './service-rows.ts'

/** @source FMI open data, stored query fmi::observations::weather::simple; m/s, °C, %, hPa at sea level, mm */
const PARAMETERS: Record<string, string> = {
  t2m: 'temperature_c',
  temperature: 'temperature_c',
  td: 'dew_point_c',
  dewpoint: 'dew_point_c',
  rh: 'relative_humidity_pct',
  humidity: 'relative_humidity_pct',
  ws_10min: 'wind_speed_mps',
  windspeedms: 'wind_speed_mps',
  wd_10min: 'wind_from_deg',
  winddirection: 'wind_from_deg',
  wg_10min: 'wind_gust_mps',
  windgust: 'wind_gust_mps',
  p_sea: 'sea_level_pressure_hpa',
  pressure: 'sea_level_pressure_hpa',
}

const ELEMENT = /<BsWfs:BsWfsElement[\s>][\s\S]*?<\/BsWfs:BsWfsElement>/g
const inner = (element: string, name: string): string =>
  new RegExp(`<${name}(?:\\s[^>]*)?>\\s*([^<]*?)\\s*</${name}>`).exec(element)?.[1] ?? ''

/**
 * Reads the Finnish Meteorological Institute's "simple" observations: an element for each place, time and parameter.
 * They name no station, so that stations are known by their places; heights are not in them. NaN is "missing".
 */
export function readFmi(text: string): Outcome<Observations> {
  const problems: Problem[] = []
  const refusal = /<(?:ows:)?ExceptionText>\s*([^<]+)/.exec(text)?.[1]
  if (refusal) {
    const message = `the service refused the request instead of answering it: ${refusal.trim().slice(0, 200)}`
    return failed({ code: 'service-refusal', message, hint: 'Fetch it again.' })
  }
  const byMoment = new Map<string, { place: string; time: number; said: Record<string, number> }>()
  const unknown = new Set<string>()
  for (const [element] of text.matchAll(ELEMENT)) {
    const place = inner(element, 'gml:pos')
    const written = inner(element, 'BsWfs:Time')
    const parameter = inner(element, 'BsWfs:ParameterName')
    const value = inner(element, 'BsWfs:ParameterValue')
    const name = PARAMETERS[parameter.toLowerCase()]
    if (!name) unknown.add(parameter)
    if (!name || !/^-?\d/.test(value)) continue
    const key = `${place} ${written}`
    const moment = byMoment.get(key) ?? { place, time: parseInstant(written).seconds, said: {} }
    byMoment.set(key, moment)
    moment.said[name] = Number(value)
  }
  if (unknown.size > 0) {
    const message = `parameters that are not known and not used: ${[...unknown].slice(0, 30).join(', ')}`
    problems.push({ code: 'weather-column-unknown', severity: 'note', message })
  }
  if (!/<\/(\w+:)?FeatureCollection>\s*$/.test(text)) {
    const message = 'the file breaks off before its end; what is whole is used'
    problems.push({ code: 'service-cut-off', severity: 'warning', message, hint: 'Copy or download it again.' })
  }
  const rows = [...byMoment.values()].map(rowOf)
  return observationsFrom({
    rows,
    problems,
    none: { code: 'service-none', message: 'no value of this answer could be used' },
  })
}

export const fmiReader = weatherReader({
  kind: 'fmi',
  syntax: 'xml',
  recognises: (head) =>
    /<BsWfs:BsWfsElement|xmlns:BsWfs=/.test(head) ||
    (/<(ows:)?ExceptionReport/.test(head) && /ExceptionText/.test(head)),
  dependsOn: [],
  read: readFmi,
  format: {
    name: 'FMI XML',
    holds:
      'the Finnish institute’s `fmi::observations::weather::simple`. Known from its description; not yet held against a real answer.',
  },
})

function rowOf({ place, time, said }: { place: string; time: number; said: Record<string, number> }): ServiceRow {
  const [latitude, longitude] = place.split(/\s+/).map(Number)
  const stationId = `FMI ${place.replace(/\s+/, ' ')}`
  const report = { ...reportFrom({ stationId, time }, said), temperatureStepK: 0.1 }
  return { report, latitude: latitude ?? Number.NaN, longitude: longitude ?? Number.NaN, elevationM: Number.NaN }
}
