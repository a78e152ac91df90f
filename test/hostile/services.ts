import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { BadInput } from './make.ts'

const sound = (name: string): Buffer => readFileSync(join(import.meta.dirname, '../data/weather/services', name))

/** The first part of a sound answer of a service. */
const cut = (name: string, share: number, code: string | null, path = 'bad.txt'): BadInput => ({
  what: `service: ${name} cut off after ${Math.round(100 * share)} %`,
  path,
  make: () => {
    const bytes = sound(name)
    return new Uint8Array(bytes.subarray(0, Math.floor(share * bytes.length)))
  },
  code,
})

const odd = (what: string, text: string, code: string | null): BadInput => ({
  what: `service: ${what}`,
  path: 'bad.txt',
  make: () => text,
  code,
})

/** Answers of weather services that broke off, or are none. */
export const serviceAnswers: BadInput[] = [
  cut('ghcnh-GHCNh_USW00013967_por-excerpt.psv', 0.8, 'table-row-too-short'),
  cut('ghcnh-GHCNh_USW00013967_por-excerpt.psv', 0.3, 'service-none'),
  cut('synthetic-ghcnh-access-data-service.json', 0.7, 'json-damaged'),
  cut('open-meteo-archive-berlin-2024-03-11.json', 0.6, 'json-damaged'),
  cut('awc-metar-LEJR-2023.json', 0.6, 'json-damaged'),
  cut('nws-observation-latest.json', 0.7, 'json-damaged'),
  cut('nws-gridpoints-forecast-hourly-si.json', 0.9, 'json-damaged'),
  cut('synthetic-environment-canada-hourly.json', 0.8, 'json-damaged'),
  cut('synthetic-environment-canada-hourly.csv', 0.9, 'time-zone-missing'),
  cut('synthetic-fmi-simple.xml', 0.5, 'service-cut-off'),
  cut('synthetic-smhi-wind.csv', 0.4, 'weather-time-column-missing'),
  cut('synthetic-smhi-wind.csv', 0.8, null),
  cut('synthetic-meteoswiss.csv', 0.4, 'service-none'),
  cut('synthetic-meteoswiss-stations.csv', 0.8, 'weather-cell-unreadable'),
  cut('dwd-MOSMIX_L_LATEST-1-station.kmz', 0.9, 'zip-damaged', 'bad.kmz'),
  cut('dwd-stundenwerte_FF_akt.zip', 0.5, 'zip-damaged', 'bad.zip'),
  odd('an empty list as JSON', '[]', 'unrecognised'),
  odd('a refusal of a model service', '{"error":true,"reason":"No data is available"}', 'service-refusal'),
  odd(
    'hours of which none has a value',
    '{"latitude":52,"longitude":5,"hourly_units":{"time":"iso8601","temperature_2m":"°C"},"hourly":{"time":["2024-05-03T08:00"],"temperature_2m":[null]}}',
    'service-none',
  ),
  odd(
    'a model in a unit that nobody knows',
    '{"latitude":52,"longitude":5,"hourly_units":{"time":"iso8601","temperature_2m":"°R","wind_speed_10m":"m/s"},"hourly":{"time":["2024-05-03T08:00"],"temperature_2m":[500],"wind_speed_10m":[3]}}',
    'weather-unit-unknown',
  ),
  odd(
    'columns of a model that are longer or shorter than its times',
    '{"latitude":52,"longitude":5,"elevation":3,"utc_offset_seconds":0,"hourly_units":{"time":"iso8601","temperature_2m":"°C","wind_speed_10m":"m/s"},"hourly":{"time":["2024-05-03T08:00","2024-05-03T09:00"],"temperature_2m":[14],"wind_speed_10m":[3,4,5]}}',
    null,
  ),
  odd(
    'a METAR service with another thing in every field',
    '[{"icaoId":7,"obsTime":{},"rawOb":[],"temp":"warm","wdir":true,"lat":"x"}]',
    'weather-time-unreadable',
  ),
  odd('100,000 brackets', `[{"icaoId":"EHAM","obsTime":1714725000,"rawOb":${'['.repeat(100_000)}`, 'json-damaged'),
  odd(
    'a refusal of a service in XML',
    '<?xml version="1.0"?><ExceptionReport xmlns="http://www.opengis.net/ows/1.1"><Exception><ExceptionText>Too long time interval</ExceptionText></Exception></ExceptionReport>',
    'service-refusal',
  ),
]
