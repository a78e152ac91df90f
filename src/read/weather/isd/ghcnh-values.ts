import { toNumber } from '../../table/table.ts'
import type { Measured } from '../../types.ts'
import { decodeMetar } from '../metar/metar-groups.ts'
import { reportFrom } from '../services/service-rows.ts'
import type { StationReport } from '../station-reports.ts'

/** A row by the names of its columns, in lower case. */
export type NamedCells = (name: string) => string

/** Columns of GHCNh and what they hold. @source NOAA NCEI, GHCNh documentation v1.0.1, table 2 */
const COLUMNS = {
  temperature: 'temperature_c',
  dew_point_temperature: 'dew_point_c',
  relative_humidity: 'relative_humidity_pct',
  station_level_pressure: 'station_pressure_hpa',
  sea_level_pressure: 'sea_level_pressure_hpa',
  altimeter: 'altimeter_hpa',
  wind_speed: 'wind_speed_mps',
  wind_direction: 'wind_from_deg',
  wind_gust: 'wind_gust_mps',
  precipitation: 'precipitation_mm',
} as const

/** Usable: passed, or not checked. Of the older archives' codes 2, 3, 6 and 7 mean suspect or wrong. */
const GOOD = new Set(['', '0', '1', '4', '5', '9'])
/** Sources that mark with these letters what was accepted or edited; anywhere else a letter is a check that failed. */
const ACCEPTED = new Set(['A', 'U', 'P', 'I', 'M', 'R', 'C'])
const [FIRST_ACCEPTING_SOURCE, LAST_ACCEPTING_SOURCE] = [313, 346]

/** @source NOAA NCEI, GHCNh documentation v1.0.1, table 3 */
function isGood(quality: string, source: string): boolean {
  if (GOOD.has(quality)) return true
  const number = Number(source)
  return ACCEPTED.has(quality) && number >= FIRST_ACCEPTING_SOURCE && number <= LAST_ACCEPTING_SOURCE
}

/** All nines stand for "missing" in what came from older archives. */
const MISSING = /^[+-]?9{4,}(\.9*)?$/

/** A row's report, and the code of the METAR that its remarks carry; values that the archive marks as bad are NaN, and counted. */
export function ghcnhValues(
  cells: NamedCells,
  at: { stationId: string; time: number; line: number },
  count: { dropped: number },
): { report: StationReport; icao: string | null } {
  const said: Record<string, number> = {}
  for (const [column, name] of Object.entries(COLUMNS)) {
    const cell = cells(column)
    const value = toNumber(cell, ',')
    if (value === null || Number.isNaN(value) || MISSING.test(cell)) continue
    if (isGood(cells(`${column}_quality_code`), cells(`${column}_source_code`))) said[name] = value
    else count.dropped++
  }
  const direction = cells('wind_direction')
  // 999 is a direction that varies; a mean over three hours is no wind of that time.
  const isVariable =
    direction === '999' || direction === 'VRB' || cells('wind_direction_measurement_code').startsWith('V')
  if (isVariable) delete said.wind_from_deg
  if (cells('wind_speed_measurement_code').startsWith('T')) delete said.wind_speed_mps
  const metar = metarIn(cells('remarks'))
  const report = reportFrom(at, said)
  return {
    icao: metar?.station ?? null,
    report: {
      ...report,
      temperatureStepK: stepOf(report, metar?.temperatureK, metar?.temperatureStepK),
      windVariable: isVariable,
      rainIsHourlyTotal: true,
      presentWeather: metar?.presentWeather ?? null,
    },
  }
}

/** The step of the METAR behind a value, where it tells the same temperature; tenths otherwise. */
function stepOf(report: Pick<StationReport, Measured>, metarK = Number.NaN, stepK = Number.NaN): number {
  if (Number.isNaN(report.temperatureK)) return Number.NaN
  return Math.abs(report.temperatureK - metarK) < 0.05 ? stepK : 0.1
}

/** The report that the remarks carry. */
function metarIn(remarks: string) {
  const text = /(?:METAR|SPECI) (?:COR )?[A-Z][A-Z0-9]{3} \d{6}Z .*/.exec(remarks)?.[0]
  return text ? decodeMetar(text.replace(/\s+/g, ' ').replace(/=.*$/, '').trim()) : null
}
