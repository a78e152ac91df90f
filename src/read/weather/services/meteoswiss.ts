import type { Outcome } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import { headerNames, readTable } from '../../table/table.ts'
import type { Observations } from '../../types.ts'
import { weatherReader } from '../reader.ts'
import { rowsOfTable } from './service-tables.ts'

/**
 * Ten-minute (…s0, …z0, …z1) and hourly (…h0, …h1) parameters. @source MeteoSwiss open data, ogd-smn parameter list: °C, %, hPa at the
 * station (QFE) and at sea level, m/s (fkl) and km/h (fu3), degrees, mm
 */
const COLUMNS: Record<string, string> = {
  tre200s0: 'temperature_c',
  tre200h0: 'temperature_c',
  tde200s0: 'dew_point_c',
  tde200h0: 'dew_point_c',
  ure200s0: 'relative_humidity_pct',
  ure200h0: 'relative_humidity_pct',
  prestas0: 'station_pressure_hpa',
  prestah0: 'station_pressure_hpa',
  pp0qffs0: 'sea_level_pressure_hpa',
  pp0qnhs0: 'altimeter_hpa',
  fkl010z0: 'wind_speed_mps',
  fkl010h0: 'wind_speed_mps',
  fkl010z1: 'wind_gust_mps',
  fkl010h1: 'wind_gust_mps',
  fu3010z0: 'wind_speed_kmh',
  fu3010h0: 'wind_speed_kmh',
  fu3010z1: 'wind_gust_kmh',
  fu3010h1: 'wind_gust_kmh',
  dkl010z0: 'wind_from_deg',
  dkl010h0: 'wind_from_deg',
  rre150z0: 'precipitation_mm',
  rre150h0: 'precipitation_mm',
}

/** The name of a station: its abbreviation alone (`BER`) would be taken for a code of another country. */
export const meteoSwissStation = (abbreviation: string): string => `MeteoSwiss ${abbreviation.toUpperCase()}`

/** Reads the automatic network's tables. Times are UTC. Where stations are is in `ogd-smn_meta_stations.csv`. */
export function readMeteoSwiss(text: string): Outcome<Observations> {
  const { value: table, problems } = readTable(text)
  if (!table) return { value: null, problems }
  const columns = Object.fromEntries(Object.entries(COLUMNS).filter(([name]) => table.header.includes(name)))
  return rowsOfTable(
    table,
    {
      columns,
      timeOf: (cell) => timeOf(cell('reference_timestamp')),
      stationOf: (cell) => ({
        id: meteoSwissStation(cell('station_abbr')),
        latitude: Number.NaN,
        longitude: Number.NaN,
        elevationM: Number.NaN,
      }),
      none: 'no row of this table holds a value that is used',
    },
    [...problems],
  )
}

export const meteoSwissReader = weatherReader({
  kind: 'meteoswiss',
  recognises: (head) => {
    const names = headerNames(head)
    return names.includes('station_abbr') && names.includes('reference_timestamp')
  },
  encoding: 'windows-1252',
  dependsOn: [],
  read: readMeteoSwiss,
  format: {
    name: 'MeteoSwiss',
    holds:
      'tables of the automatic network (`ogd-smn_…_t_….csv` of ten minutes, `_h_` of hours), with `ogd-smn_meta_stations.csv` beside them, which says where the stations are. Known from its description; not yet held against a real answer.',
  },
})

/** `03.05.2024 08:10`, UTC. */
function timeOf(written: string): number {
  const [, day, month, year, clock] = /^(\d\d)\.(\d\d)\.(\d{4}) (\d\d:\d\d)$/.exec(written.trim()) ?? []
  return day === undefined
    ? parseInstant(written).seconds
    : parseInstant(`${year}-${month}-${day}T${clock}:00Z`).seconds
}
