import { plural } from '../../base/figures.ts'
import type { Outcome, Problem } from '../../base/problem.ts'
import { failed, found } from '../../base/problem.ts'
import { parseInstant } from '../instant.ts'
import { firstOfEach } from '../many.ts'
import { headerNames, readTable, type TableRow, toNumber } from '../table/table.ts'
import type { Observations } from '../types.ts'
import { decodeIsd, type IsdFields, isdReport, type QualityCount } from './isd/isd-fields.ts'
import { type IsdRow, isdStations, qualityNote } from './isd/isd-stations.ts'
import { checkReports } from './plausible.ts'
import { weatherReader } from './reader.ts'
import { isBare, observationsOf } from './station-reports.ts'

/**
 * Reads the "global hourly" CSV of NOAA's Integrated Surface Data, whose cells hold the coded fields of the fixed-width
 * form separated by commas. Its times have no zone and are UTC by the archive's definition.
 * @source NOAA NCEI, "Federal Climate Complex Data Documentation for Integrated Surface Data", CSV form
 */
export function readHourlyCsv(text: string): Outcome<Observations> {
  const { value: table, problems } = readTable(text)
  if (!table) return { value: null, problems }
  const { header, headerLine } = table
  const lacking = ['station', 'date'].filter((name) => !header.includes(name))
  if (lacking.length > 0) {
    const message = `found no ${lacking.join(' and no ')} in this table of hourly observations, expected ${lacking.length === 1 ? 'that column' : 'these columns'}`
    return failed({ code: 'hourly-columns-missing', message, line: headerLine }, firstOfEach(problems))
  }
  const count: QualityCount = { dropped: 0 }
  const rows: IsdRow[] = []
  let bare = 0
  for (const tableRow of table.rows) {
    const row = rowOf(tableRow, header, count)
    if (row === null) problems.push(timeUnreadable(tableRow, header))
    else if (isBare(row.report)) bare++
    else rows.push(row)
  }
  if (bare > 0)
    problems.push({ code: 'isd-empty', severity: 'note', message: `${plural(bare, 'row')} without an observation` })
  if (rows.length === 0) {
    return failed({ code: 'isd-none', message: 'no row of this table holds an observation' }, firstOfEach(problems))
  }
  problems.push(...qualityNote(count))
  const reports = rows.map(({ report }) => report)
  for (const problem of checkReports(reports)) problems.push(problem)
  const stations = isdStations(rows, problems)
  return found(observationsOf(stations, reports), firstOfEach(problems))
}

/** @source NOAA NCEI, Global Hourly (Integrated Surface Dataset) CSV, mandatory data sections */
const CODED_COLUMNS = ['wnd', 'tmp', 'dew', 'slp']

/** The "global hourly" tables made of NOAA's Integrated Surface Data. */
export const hourlyCsvReader = weatherReader({
  kind: 'hourly-csv',
  recognises: (head) => {
    const names = headerNames(head)
    return names.includes('station') && names.includes('date') && CODED_COLUMNS.some((name) => names.includes(name))
  },
  dependsOn: [],
  read: readHourlyCsv,
  format: {
    name: 'NOAA Global Hourly',
    holds: 'the hourly CSV made of ISD files.',
  },
})

function rowOf({ line, cells }: TableRow, header: string[], count: QualityCount): IsdRow | null {
  const cell = (name: string): string => cells[header.indexOf(name)] ?? ''
  const parts = (name: string): string[] => (cell(name) === '' ? [] : cell(name).split(','))
  const numbered = (name: string): string[][] =>
    ['1', '2', '3', '4'].map((n) => parts(name + n)).filter((p) => p.length > 0)
  const { seconds } = parseInstant(cell('date'))
  if (Number.isNaN(seconds)) return null
  const fields: IsdFields = {
    wnd: parts('wnd'),
    tmp: parts('tmp'),
    dew: parts('dew'),
    slp: parts('slp'),
    ma1: parts('ma1'),
    oc1: parts('oc1'),
    aa: numbered('aa'),
    mw: numbered('mw'),
    aw: numbered('aw'),
    au: numbered('au'),
    rem: cell('rem'),
  }
  // Eleven digits: USAF and WBAN number in one.
  const id = cell('station').replace(/^(\w{6})(\d{5})$/, '$1-$2')
  return {
    latitude: coordinate(cell('latitude'), 90),
    longitude: coordinate(cell('longitude'), 180),
    elevationM: coordinate(cell('elevation'), 9000),
    report: decodeIsd(fields, isdReport(id, seconds, line), count),
  }
}

/** Missing is all nines, with or without a point, and blank. */
function coordinate(cell: string, limit: number): number {
  const value = toNumber(cell, ',') ?? Number.NaN
  return Math.abs(value) <= limit ? value : Number.NaN
}

function timeUnreadable({ line, cells }: TableRow, header: string[]): Problem {
  const message = `"${cells[header.indexOf('date')].slice(0, 40)}" is not a time such as 2021-04-26T12:00:00; the row is left out`
  return { code: 'weather-time-unreadable', severity: 'error', message, line }
}
