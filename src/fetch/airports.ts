import { loadStations } from '../read/weather/stations.ts'
import type { Airport } from './types.ts'

/** The stations of the index that comes with the program. */
export async function shippedAirports(): Promise<Airport[]> {
  return (await loadStations()).all().map(({ code, ...place }) => ({ icao: code, ...place }))
}
