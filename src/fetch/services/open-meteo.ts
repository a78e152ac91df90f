import { isoDay } from '../../base/time.ts'
import { daysOf } from '../cells.ts'
import { checkJson } from '../get/answer-kinds.ts'
import type { Ask, Service, Where } from '../types.ts'
import { DAY_S } from './lists.ts'

const HOST = 'archive-api.open-meteo.com'
export const HOURLY = [
  'temperature_2m',
  'dew_point_2m',
  'relative_humidity_2m',
  'surface_pressure',
  'pressure_msl',
  'wind_speed_10m',
  'wind_direction_10m',
  'wind_gusts_10m',
]
/** ERA5 is about five days late. */
const LATE_S = 6 * DAY_S
/** So many places go into one request. */
const MOST_PLACES = 10

/**
 * ERA5, a model's hourly analysis on a grid of 0.25°, through Open-Meteo. Named, because the default mixes models and may
 * change; its wind in m/s, and its temperature at the model's own height.
 * @source open-meteo.com, documentation of the historical weather API and terms
 */
export const openMeteo: Service = {
  id: 'open-meteo',
  name: 'Open-Meteo, ERA5',
  host: HOST,
  licence: 'CC BY 4.0; free of charge for non-commercial use only',
  credit: 'Weather data by Open-Meteo.com; generated using Copernicus Climate Change Service information',
  kind: 'model',
  triedOn: 'recorded',
  pauseMs: 1000,
  hasIndex: true,
  byDefault: false,
  covers: ({ span }, nowS) => span.fromS < nowS - LATE_S,
  pages: () => [],
  stations: () => [],
  requestsFor: () => [],
  check: (_, bytes) =>
    checkJson(bytes, (value) => {
      const places = (Array.isArray(value) ? value : [value]) as { hourly?: { time?: unknown[] } }[]
      return Math.min(...places.map(({ hourly }) => hourly?.time?.length ?? 0))
    }),
}

/** What is asked for roads and time: the middles of their cells, a request for every ten. */
export function modelRequests({ cells, span }: Where, nowS: number): Ask[] {
  const toS = Math.min(span.toS, Math.floor((nowS - LATE_S) / DAY_S) * DAY_S)
  if (toS <= span.fromS) return []
  const asks: Ask[] = []
  for (let at = 0; at < cells.length; at += MOST_PLACES) {
    const some = cells.slice(at, at + MOST_PLACES)
    const query = new URLSearchParams({
      latitude: some.map(({ latitude }) => latitude).join(),
      longitude: some.map(({ longitude }) => longitude).join(),
      start_date: isoDay(span.fromS),
      end_date: isoDay(toS - 1),
      hourly: HOURLY.join(),
      wind_speed_unit: 'ms',
      timezone: 'GMT',
      timeformat: 'unixtime',
      models: 'era5',
      elevation: some.map(() => 'nan').join(),
    })
    const [first] = some
    const place = `${first.latitude}_${first.longitude}${some.length > 1 ? `_and_${some.length - 1}` : ''}`
    asks.push({
      service: 'open-meteo',
      purpose: 'model',
      url: `https://${HOST}/v1/archive?${query}`,
      file: `open-meteo_era5_${place}_${daysOf({ fromS: span.fromS, toS })}.json`,
      about: `${some.length} cells of ERA5`,
      station: null,
      span: { fromS: span.fromS, toS },
      roughBytes: (2500 * some.length * (toS - span.fromS)) / DAY_S,
    })
  }
  return asks
}
