import { HOURLY, openMeteo } from '../services/open-meteo.ts'
import type { Ask, Service, Where } from '../types.ts'

const HOST = 'api.open-meteo.com'

/** Forecasts of weather models through Open-Meteo, hourly for seven days; free of charge for non-commercial use only. */
export const openMeteoForecast: Service = {
  ...openMeteo,
  id: 'open-meteo',
  name: 'Open-Meteo, forecasts of weather models',
  host: HOST,
  credit: 'Weather data by Open-Meteo.com',
}

export function openMeteoRequests({ cells }: Pick<Where, 'cells'>): Ask[] {
  const query = new URLSearchParams({
    latitude: cells.map(({ latitude }) => latitude).join(),
    longitude: cells.map(({ longitude }) => longitude).join(),
    hourly: [...HOURLY, 'precipitation'].join(),
    wind_speed_unit: 'ms',
    timezone: 'GMT',
    timeformat: 'unixtime',
    forecast_days: '7',
  })
  const [{ latitude, longitude }] = cells
  return [
    {
      service: 'open-meteo',
      purpose: 'forecast',
      url: `https://${HOST}/v1/forecast?${query}`,
      file: `open-meteo_forecast_${latitude}_${longitude}.json`,
      about: `forecast for ${cells.length} cells`,
      station: null,
      span: null,
      roughBytes: 20_000 * cells.length,
    },
  ]
}
