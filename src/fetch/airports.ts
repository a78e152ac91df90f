import { loadStations } from '../read/weather/stations/stations.ts'
import type { Airport } from './types.ts'

/** The stations of the index that comes with the program, those alone that are known to report. */
export async function shippedAirports(): Promise<Airport[]> {
  const { REPORTING_STATIONS } = await import('./reporting-stations.ts')
  const reporting = new Set(
    REPORTING_STATIONS.trim()
      .split('\n')
      .flatMap((line) => (line.slice(2).match(/../g) ?? []).map((end) => line.slice(0, 2) + end)),
  )
  const stations = (await loadStations()).all().filter(({ code }) => reporting.has(code))
  return stations.map(({ code, ...place }) => ({ icao: code, ...place }))
}
