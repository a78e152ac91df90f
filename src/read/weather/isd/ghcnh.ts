import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import { headerNames, readTable } from '../../table/table.ts'
import type { Observations } from '../../types.ts'
import { isObject, parseJson } from '../json.ts'
import { weatherReader } from '../reader.ts'
import { droppedNote, observationsFrom, type ServiceRow } from '../services/service-rows.ts'
import { ghcnhValues, type NamedCells } from './ghcnh-values.ts'

/**
 * Reads NOAA's GHCNh, successor of ISD: the files by station and by year (separated by `|`), and what the access data
 * service answers as CSV or JSON. Columns are found by name only, as their number and order changed between versions.
 * Times are UTC.
 * @source NOAA NCEI, Global Historical Climatology Network hourly, documentation v1.0.1
 */
export function readGhcnh(text: string): Outcome<Observations> {
  const { value: lines, problems } = rowsIn(text)
  if (!lines) return { value: null, problems }
  const count = { dropped: 0 }
  const rows: NamedRow[] = []
  for (const { line, cells } of lines) {
    // Files of all years may repeat the header as their last line.
    if (/^(year|date)$/i.test(cells('year') || cells('date'))) continue
    const time = timeOf(cells)
    if (Number.isNaN(time)) problems.push(timeUnreadable(line))
    else rows.push(rowOf(cells, line, time, count))
  }
  problems.push(...droppedNote(count.dropped))
  const none = { code: 'service-none', message: 'no row of this file holds an observation' }
  return observationsFrom({ rows: withStationNames(rows), problems, none })
}

const VALUE_COLUMN = /(?:^|[|,"'])(temperature|wind_speed|station_level_pressure|dew_point_temperature)(?:[|,"']|$)/m

export const ghcnhReader = weatherReader({
  kind: 'ghcnh',
  recognises: (head) => {
    const [first] = head.split(/\r?\n/, 1)
    if (first.includes('|')) return /^"?station(_id)?"?\|/i.test(first) && VALUE_COLUMN.test(first)
    const names = headerNames(head)
    const isCoded = names.some((name) =>
      /^(temperature|wind_speed|sea_level_pressure)_(source|quality|measurement)_code$/.test(name),
    )
    return names.includes('station') && names.includes('date') && (isCoded || names.includes('station_level_pressure'))
  },
  dependsOn: [],
  read: readGhcnh,
  format: {
    name: 'NOAA GHCNh',
    holds:
      'files by station and by year (`.psv`, values separated by `|`) and the CSV of the access data service; quality codes are obeyed. The service’s answers are known from their description and from use reported by others; no real one was at hand.',
  },
})

/** The same as JSON of the access data service: a list of rows. */
export const ghcnhJsonReader = weatherReader({
  kind: 'ghcnh-json',
  syntax: 'json',
  recognises: (head) =>
    /^\[\s*\{/.test(head) &&
    /"STATION"\s*:/.test(head) &&
    /"(temperature|wind_speed|station_level_pressure)"\s*:/.test(head),
  dependsOn: [],
  read: readGhcnh,
  format: {
    name: 'NOAA GHCNh as JSON',
    holds:
      'answers of the access data service; name `DATE` and the code columns in `dataTypes`, or rows have no time and no quality. Not yet held against a real answer.',
  },
})

interface NamedRow extends ServiceRow {
  /** The code in the METAR that the row's remarks carry. */
  icao: string | null
}

interface Line {
  line: number
  cells: NamedCells
}

function rowsIn(text: string): Outcome<Line[]> {
  if (/^\s*\[/.test(text)) return rowsOfJson(text)
  const [head] = text.replace(/^\uFEFF/, '').split(/\r?\n/, 1)
  if (!head.includes('|')) {
    const { value: table, problems } = readTable(text)
    if (!table) return { value: null, problems }
    const at = indexOf(table.header)
    return { value: table.rows.map(({ line, cells }) => ({ line, cells: (name) => cells[at(name)] ?? '' })), problems }
  }
  const [header, ...body] = text.replace(/^\uFEFF/, '').split(/\r*\n|\r/)
  const names = header.split('|').map((name) => name.trim().toLowerCase())
  const at = indexOf(names)
  const problems: Problem[] = []
  const lines = body.flatMap((written, i): Line[] => {
    if (written.trim() === '') return []
    const parts = written.split('|')
    if (parts.length === names.length) return [{ line: i + 2, cells: (name) => parts[at(name)]?.trim() ?? '' }]
    const message = `this row has ${parts.length} cells and the header has ${names.length}; it is left out`
    problems.push({
      code: parts.length < names.length ? 'table-row-too-short' : 'table-row-too-long',
      severity: 'error',
      message,
      line: i + 2,
    })
    return []
  })
  return { value: lines, problems }
}

function rowsOfJson(text: string): Outcome<Line[]> {
  const { value: json, problems } = parseJson(text)
  if (!Array.isArray(json)) return { value: null, problems: problems.length > 0 ? problems : failed(NO_LIST).problems }
  const lines = json.filter(isObject).map((row, i): Line => {
    const byName = new Map(Object.entries(row).map(([name, value]) => [name.toLowerCase(), String(value ?? '').trim()]))
    return { line: i + 1, cells: (name) => byName.get(name) ?? '' }
  })
  return { value: lines, problems }
}

const NO_LIST = { code: 'json-damaged', message: 'expected a list of rows, as the access data service answers' }

function indexOf(header: readonly string[]): (name: string) => number {
  const at = new Map(header.map((name, i) => [name, i]))
  return (name) => at.get(name) ?? -1
}

function timeOf(cells: NamedCells): number {
  const date = cells('date')
  if (date !== '') return parseInstant(date).seconds
  const [year, month, day, hour, minute] = ['year', 'month', 'day', 'hour', 'minute'].map((name) =>
    cells(name).padStart(2, '0'),
  )
  return parseInstant(`${year}-${month}-${day}T${hour}:${minute}:00Z`).seconds
}

function rowOf(cells: NamedCells, line: number, time: number, count: { dropped: number }): NamedRow {
  const place = (name: string, missing: number): number => {
    const written = cells(name)
    const value = written === '' ? Number.NaN : Number(written)
    return Math.abs(value) >= missing ? Number.NaN : value
  }
  return {
    ...ghcnhValues(cells, { stationId: cells('station_id') || cells('station') || 'unnamed', time, line }, count),
    latitude: place('latitude', 90.01),
    longitude: place('longitude', 180.01),
    // -999.9 is "not known".
    elevationM: place('elevation', 990) < -440 ? Number.NaN : place('elevation', 9999),
  }
}

/** Stations under the ICAO code that the METARs in their remarks carry, where all say the same; otherwise under their own id. */
function withStationNames(rows: NamedRow[]): ServiceRow[] {
  const codes = new Map<string, Set<string>>()
  for (const { report, icao } of rows) {
    if (icao === null) continue
    codes.set(report.stationId, (codes.get(report.stationId) ?? new Set()).add(icao))
  }
  return rows.map((row) => {
    const [code, ...others] = codes.get(row.report.stationId) ?? []
    if (code !== undefined && others.length === 0) row.report.stationId = code
    return row
  })
}

function timeUnreadable(line: number): Problem {
  const message =
    'this row has no date and time that can be read (a column DATE, or Year, Month, Day, Hour and Minute); it is left out'
  return { code: 'weather-time-unreadable', severity: 'error', message, line }
}
