import type { Outcome, Problem } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import type { Observations } from '../../types.ts'
import { weatherReader } from '../reader.ts'
import { modelNote, observationsFrom, reportFrom, type ServiceRow } from './service-rows.ts'

/** @source DWD, MOSMIX element list (kelvin, pascal, m/s, degrees; RR1c in kg/m², which is mm) */
const ELEMENTS: Record<string, string> = {
  TTT: 'temperature_k',
  Td: 'dew_point_k',
  PPPP: 'sea_level_pressure_pa',
  FF: 'wind_speed_mps',
  DD: 'wind_from_deg',
  FX1: 'wind_gust_mps',
  RR1c: 'precipitation_mm',
}

/**
 * Reads the German weather service's MOSMIX forecasts, the KML in a KMZ: one point or all. Found by its elements' names and
 * not by way of a document tree, because the file of all points has hundreds of megabytes.
 */
export function readMosmix(text: string): Outcome<Observations> {
  const problems: Problem[] = []
  const times = [...text.matchAll(/<dwd:TimeStep>\s*([^<]+?)\s*</g)].map(([, written]) => parseInstant(written).seconds)
  const placemarks = text.split(/<kml:Placemark>/).slice(1)
  const rows = placemarks.flatMap((placemark) => rowsOf(placemark, times, problems))
  if (!/<\/(\w+:)?kml>\s*$/.test(text)) {
    const message = 'the file breaks off before its end; the points that are whole are used'
    problems.push({ code: 'service-cut-off', severity: 'warning', message, hint: 'Copy or download it again.' })
  }
  if (rows.length > 0) problems.push(modelNote('this file holds a forecast (MOSMIX)'))
  const none = { code: 'service-none', message: 'no hour of this forecast holds a value that is used' }
  return observationsFrom({ rows, problems, none, quality: 'model' })
}

export const mosmixReader = weatherReader({
  kind: 'mosmix',
  syntax: 'xml',
  recognises: (head) => /<dwd:ProductDefinition>/.test(head) && /:kml[\s>]/.test(head),
  dependsOn: [],
  read: readMosmix,
  format: {
    name: 'MOSMIX',
    holds:
      'point forecasts of the German weather service, KMZ or the KML in it, for `plan windows`; in a report taken as a model.',
  },
})

function rowsOf(placemark: string, times: number[], problems: Problem[]): ServiceRow[] {
  const name = /<kml:name>\s*([^<]+?)\s*</.exec(placemark)?.[1] ?? 'unnamed'
  const written = /<kml:coordinates>\s*([^<]+?)\s*</.exec(placemark)?.[1]
  // A point that was cut off has no place any more.
  if (!written || times.length === 0) return []
  const [longitude, latitude, elevationM] = written.split(',').map(Number)
  const columns = new Map<string, string[]>()
  for (const [, element, values] of placemark.matchAll(/elementName="(\w+)"[^>]*>\s*<dwd:value>([^<]*)</g)) {
    const quantity = ELEMENTS[element]
    if (quantity) columns.set(quantity, values.trim().split(/\s+/))
  }
  for (const [quantity, values] of columns) {
    if (values.length === times.length) continue
    const message = `${name}: ${quantity} has ${values.length} values for ${times.length} times; it is not used`
    problems.push({ code: 'weather-cell-unreadable', severity: 'warning', message })
    columns.delete(quantity)
  }
  return times.map((time, i) => {
    const said = Object.fromEntries([...columns].map(([quantity, values]) => [quantity, numberIn(values[i])]))
    const report = { ...reportFrom({ stationId: name, time }, said), temperatureStepK: 0.1 }
    return { report, latitude, longitude, elevationM }
  })
}

/** `-` is "no value". */
const numberIn = (word: string): number => (/^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i.test(word) ? Number(word) : Number.NaN)
