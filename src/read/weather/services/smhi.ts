import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import { readTable } from '../../table/table.ts'
import type { Observations } from '../../types.ts'
import { weatherReader } from '../reader.ts'
import { rowsOfTable } from './service-tables.ts'

/** @source SMHI open data, meteorological observations: parameters 1, 3, 4, 6, 9, 21, 39; °C, degrees, m/s, %, hPa */
const COLUMNS: Record<string, string> = {
  lufttemperatur: 'temperature_c',
  vindriktning: 'wind_from_deg',
  vindhastighet: 'wind_speed_mps',
  byvind: 'wind_gust_mps',
  relativ_luftfuktighet: 'relative_humidity_pct',
  lufttryck_reducerat_havsytans_nivå: 'sea_level_pressure_hpa',
  daggpunktstemperatur: 'dew_point_c',
  nederbördsmängd: 'precipitation_mm',
}

const BODY = /^Datum;Tid \(UTC\);/m

/**
 * Reads SMHI's tables of one parameter and station: blocks that say station, parameter and places, then rows in UTC with
 * a quality (G controlled, Y coarsely or not yet controlled). What stands in the columns behind is a footnote.
 */
export function readSmhi(text: string): Outcome<Observations> {
  const plain = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n')
  const bodyAt = BODY.exec(plain)?.index
  if (bodyAt === undefined)
    return failed({ code: 'weather-time-column-missing', message: 'expected a line "Datum;Tid (UTC);…"' })
  const station = stationIn(plain.slice(0, bodyAt))
  const linesBefore = plain.slice(0, bodyAt).split('\n').length - 1
  const { value: table, problems } = readTable(withoutFootnotes(plain.slice(bodyAt)))
  // Each value is followed by its "Kvalitet".
  const told = problems
    .filter(({ code }) => code !== 'table-column-twice')
    .map((problem) => moved(problem, linesBefore))
  if (!table) return { value: null, problems: told }
  const rows = table.rows.map((row) => ({ ...row, line: row.line + linesBefore }))
  const columns = Object.fromEntries(Object.entries(COLUMNS).filter(([name]) => table.header.includes(name)))
  return rowsOfTable(
    { ...table, rows },
    {
      columns,
      timeOf: (cell) => parseInstant(`${cell('datum')}T${cell('tid_(utc)')}Z`).seconds,
      stationOf: () => station,
      none: 'no row of this table holds a value that is used',
    },
    told,
  )
}

export const smhiReader = weatherReader({
  kind: 'smhi',
  recognises: (head) => /^Stationsnamn;(Stationsnummer|Klimatnummer)/.test(head) || BODY.test(head),
  dependsOn: [],
  read: readSmhi,
  format: {
    name: 'SMHI',
    holds:
      'tables of one parameter and station (`corrected-archive`, `latest-months`, `latest-day`). Known from its description; not yet held against a real answer.',
  },
})

/** Values, their qualities, and no more: a footnote may stand in the sixth column of any row. */
function withoutFootnotes(body: string): string {
  const [head] = body.split('\n', 1)
  const cells = head.split(';')
  const footnotesAt = cells.indexOf('')
  if (footnotesAt < 0) return body
  // Names of columns are told apart, since each value is followed by a "Kvalitet".
  return body
    .split('\n')
    .map((line) => line.split(';').slice(0, footnotesAt).join(';'))
    .join('\n')
}

const moved = (problem: Problem, by: number): Problem =>
  problem.line === undefined ? problem : { ...problem, line: problem.line + by }

/** The station of the first block, at the last of the places that the block of places lists. */
function stationIn(preamble: string) {
  const blocks = preamble.split(/\n\s*\n/).map((block) =>
    block
      .trim()
      .split('\n')
      .map((line) => line.split(';')),
  )
  const row = (column: RegExp, which: number): Map<string, string> => {
    const block = blocks.find(([head]) => head.some((name) => column.test(name)))
    const cells = block?.slice(1).at(which) ?? []
    return new Map((block?.[0] ?? []).map((name, i) => [name.replace(/ \(.*$/, ''), cells[i]?.trim() ?? '']))
  }
  const name = row(/^Stationsnamn/, 0)
  const place = row(/^Latitud/, -1)
  const number = (column: string): number => (place.get(column) ? Number(place.get(column)) : Number.NaN)
  return {
    id: name.get('Stationsnamn') || name.get('Stationsnummer') || name.get('Klimatnummer') || 'unnamed',
    latitude: number('Latitud'),
    longitude: number('Longitud'),
    elevationM: number('Höjd'),
  }
}
