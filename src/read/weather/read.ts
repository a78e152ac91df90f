import type { Outcome } from '../../base/problem.ts'
import type { Observations } from '../types.ts'
import { readObservationTable } from './csv.ts'
import { readHourlyCsv } from './hourly-csv.ts'
import { readIsd } from './isd.ts'
import { readIsdLite } from './isd-lite.ts'
import { type MetarContext, readMetarText } from './metar.ts'

const WEATHER_KINDS = ['observation-table', 'metar', 'isd', 'isd-lite', 'hourly-csv'] as const

export type WeatherKind = (typeof WEATHER_KINDS)[number]

/** Whether a kind of file is one of weather. */
export const isWeatherKind = (kind: string): kind is WeatherKind => (WEATHER_KINDS as readonly string[]).includes(kind)

/** What weather files leave out and others know. */
export interface WeatherContext extends MetarContext {
  /** IANA name from the campaign, or null. */
  timeZone: string | null
  fileName: string
}

/** Reads a weather file of a kind that is already known. Bad input comes back as problems; nothing throws. */
export function readWeather(kind: WeatherKind, text: string, context: WeatherContext): Outcome<Observations> {
  switch (kind) {
    case 'observation-table':
      return readObservationTable(text, context)
    case 'metar':
      return readMetarText(text, context)
    case 'isd':
      return readIsd(text)
    case 'isd-lite':
      return readIsdLite(text, context)
    case 'hourly-csv':
      return readHourlyCsv(text)
  }
}
