import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import { standardOffsetS } from '../../moments.ts'
import { headerNames, readTable, type Table } from '../../table/table.ts'
import { isTimeZone } from '../../time-zone.ts'
import type { Observations } from '../../types.ts'
import { weatherReader } from '../reader.ts'
import { type NamedRow, rowsOfTable } from './service-tables.ts'

/** Begin of a column's name → our name. The units in their names are written in several encodings. */
const COLUMNS: Record<string, string> = {
  'temp_(': 'temperature_c',
  'dew_point_temp_(': 'dew_point_c',
  'rel_hum_(': 'relative_humidity_pct',
  'stn_press_(': 'station_pressure_kpa',
  'wind_spd_(': 'wind_speed_kmh',
  'wind_dir_(': 'wind_from_deg',
  'precip._amount_(': 'precipitation_mm',
}
/** An hour of the day in local standard time: a zone is no farther from its meridian than this, in Canada as elsewhere. */
const FARTHEST_FROM_MERIDIAN_H = 2

/**
 * Reads Environment Canada's hourly tables. Their times are **local standard time all the year round**, also in summer,
 * and no column says which: it is the standard time of the campaign's time zone. Wind directions are tens of degrees.
 * Values flagged M or NA are empty; E (estimated) is used.
 * @source Environment and Climate Change Canada, historical climate data, bulk download, "timeframe=1"; glossary (LST; flags)
 */
export function readEnvironmentCanada(text: string, { timeZone }: { timeZone: string | null }): Outcome<Observations> {
  const { value: table, problems: tableProblems } = readTable(text)
  if (!table) return { value: null, problems: tableProblems }
  if (timeZone === null || !isTimeZone(timeZone)) return failed(zoneMissing(table, timeZone), tableProblems)
  const names = columnsIn(table)
  const problems: Problem[] = [...tableProblems]
  const time = names.get('date/time')
  if (time === undefined) return failed(noTimes(table), problems)
  const columns = Object.fromEntries(
    Object.entries(COLUMNS).flatMap(([begin, name]) => {
      const column = names.get(begin)
      return column ? [[column, name]] : []
    }),
  )
  const direction = names.get('wind_dir_(')
  const offset = standardOffsetS(timeZone)
  const longitude = Number(table.rows.at(0)?.cells[table.header.indexOf(names.get('longitude') ?? '')] ?? Number.NaN)
  if (Math.abs(offset / 3600 - longitude / 15) > FARTHEST_FROM_MERIDIAN_H)
    return failed(otherZone(timeZone, longitude), problems)
  problems.push(zoneNote(timeZone, offset))
  return rowsOfTable(
    table,
    {
      columns,
      factors: direction ? { [direction]: 10 } : {},
      timeOf: (cell) => parseInstant(cell(time)).seconds - offset,
      stationOf: (cell) => stationOf(cell, names),
      none: 'no hour of this table holds a value: the station may not have reported in this month',
    },
    problems,
  )
}

export const environmentCanadaReader = weatherReader({
  kind: 'environment-canada',
  recognises: (head) => {
    const names = headerNames(head)
    return names.includes('climate_id') && names.some((name) => name.startsWith('date/time'))
  },
  encoding: 'windows-1252',
  dependsOn: ['timeZone'],
  read: readEnvironmentCanada,
  format: {
    name: 'Environment Canada hourly',
    holds:
      'monthly CSV of hourly data. Its times are local standard time all the year round, which the file does not name: `time_zone` in `campaign.yaml` (for example `America/Toronto`) says whose, and its summer time is left out. Known from its description; not yet held against a real answer.',
  },
})

/** The columns by the begin of their names. */
function columnsIn({ header }: Table): Map<string, string> {
  const begins = [...Object.keys(COLUMNS), 'date/time', 'longitude', 'latitude', 'climate_id', 'station_name']
  return new Map(
    begins.flatMap((begin): [string, string][] => {
      const column = header.find((name) => name.startsWith(begin) && !name.endsWith('_flag'))
      return column ? [[begin, column]] : []
    }),
  )
}

function stationOf(cell: NamedRow, names: Map<string, string>) {
  const written = (begin: string): string => cell(names.get(begin) ?? '')
  const number = (begin: string): number => (written(begin) === '' ? Number.NaN : Number(written(begin)))
  return {
    id: written('station_name') || written('climate_id') || 'unnamed',
    latitude: number('latitude'),
    longitude: number('longitude'),
    elevationM: Number.NaN,
  }
}

function zoneMissing({ headerLine }: Table, timeZone: string | null) {
  const said = timeZone === null ? 'names no time_zone' : `names the time_zone "${timeZone}", which is not known`
  return {
    code: 'time-zone-missing',
    message: `the times of this table are local standard time, of which zone it does not say, and the campaign ${said}; its rows are left out`,
    line: headerLine,
    hint: 'Set time_zone in campaign.yaml, for example America/Toronto: its standard time is taken, in summer too.',
  }
}

const noTimes = ({ headerLine }: Table) => ({
  code: 'weather-time-column-missing',
  message: 'this table has no column of times; one named "Date/Time (LST)" was expected',
  line: headerLine,
})

const otherZone = (timeZone: string, longitude: number) => ({
  code: 'time-zone-contradicts',
  message: `the station lies at ${longitude.toFixed(1)}° of longitude, which does not fit the standard time of ${timeZone}; its rows are left out`,
  hint: 'Convert its times to UTC, or set time_zone in campaign.yaml to that of the station.',
})

function zoneNote(timeZone: string, offsetS: number): Problem {
  const hours = offsetS / 3600
  const message = `times are read as local standard time, UTC${hours < 0 ? '−' : '+'}${Math.abs(hours)} h all the year round, by the campaign's time_zone ${timeZone}`
  return { code: 'time-zone-assumed', severity: 'note', message }
}
