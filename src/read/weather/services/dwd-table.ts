import type { Table } from '../../table/table.ts'

/**
 * Columns of the German weather service's hourly and ten-minute station tables (CDC open data) and what they hold.
 * @source DWD Climate Data Center, data set descriptions "hourly station observations" and "10-minute station
 * observations" (from memory): m/s, °C, %, hPa at the station (P0, PP_10) and at sea level (P), mm; times in UTC
 */
const COLUMNS: Record<string, string> = {
  stations_id: 'station',
  mess_datum: 'time_utc',
  f: 'wind_speed_mps',
  ff_10: 'wind_speed_mps',
  d: 'wind_from_deg',
  dd_10: 'wind_from_deg',
  fx_911: 'wind_gust_mps',
  fx_10: 'wind_gust_mps',
  tt: 'temperature_c',
  tt_tu: 'temperature_c',
  tt_10: 'temperature_c',
  td: 'dew_point_c',
  td_10: 'dew_point_c',
  rf_tu: 'relative_humidity_pct',
  rf_10: 'relative_humidity_pct',
  p0: 'station_pressure_hpa',
  pp_10: 'station_pressure_hpa',
  p: 'sea_level_pressure_hpa',
  r1: 'precipitation_mm',
  rws_10: 'precipitation_mm',
}
const MISSING = /^-999(\.0*)?$/
/** A wind from changing directions has a number beyond the circle. */
const MOST_DEGREES = 360

export const isDwdHeader = (header: readonly string[]): boolean =>
  header.includes('stations_id') && header.includes('mess_datum')

/** Such a table with the names, times and empty cells of any other; a table of another kind as it is. */
export function withoutDwdForms(table: Table): Table {
  if (!isDwdHeader(table.header)) return table
  const header = table.header.map((name) => COLUMNS[name] ?? '')
  const rows = table.rows.map(({ line, cells }) => ({
    line,
    cells: cells.map((cell, i) => {
      if (header[i] === 'time_utc') return isoTime(cell)
      const isMissing = MISSING.test(cell) || (header[i] === 'wind_from_deg' && Number(cell) > MOST_DEGREES)
      return isMissing ? '' : cell
    }),
  }))
  return { ...table, header, rows }
}

/**
 * `2020010113` or `202001011350` as ISO 8601; anything else as it is. Ten-minute values before 2000 are in Central European
 * Time, one hour ahead of UTC all the year round. @source DWD CDC, record OBS_DEU_PT10M
 */
function isoTime(cell: string): string {
  if (!/^(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)?$/.test(cell)) return cell
  const zone = cell.length === 12 && cell < '2000' ? '+01:00' : 'Z'
  return `${cell.slice(0, 4)}-${cell.slice(4, 6)}-${cell.slice(6, 8)}T${cell.slice(8, 10)}:${cell.slice(10) || '00'}:00${zone}`
}
