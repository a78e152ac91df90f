import { METRES_PER_FOOT } from '../../base/units.ts'

/** Where a station of the ICAO table lies. */
export interface StationPlace {
  /** Degrees, WGS 84: the aerodrome's reference point, from which the instruments may be a kilometre or two away. */
  latitude: number
  longitude: number
  /** Metres above mean sea level; NaN when the table does not say. */
  elevationM: number
}

/**
 * Loads the table of airports that comes with the program, from OurAirports (ourairports.com, public domain), and gives the function that looks a code up in it.
 * Large and medium airports only: small automatic stations are not in it, and belong in campaign.yaml.
 * @returns a function from an ICAO code, in any case, to the place, or null where the code is not in the table
 */
export async function loadStationTable(): Promise<(icao: string) => StationPlace | null> {
  const { STATION_TABLE } = await import('./station-table.ts')
  const places = new Map<string, StationPlace>()
  for (const entry of STATION_TABLE.trim().split(/[,\n]/)) {
    const [icao, latitude, longitude, feet] = entry.split(' ')
    const elevationM = feet ? Number(feet) * METRES_PER_FOOT : Number.NaN
    places.set(icao, { latitude: Number(latitude), longitude: Number(longitude), elevationM })
  }
  return (icao) => places.get(icao.trim().toUpperCase()) ?? null
}
