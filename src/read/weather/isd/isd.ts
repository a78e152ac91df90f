import { plural } from '../../../base/figures.ts'
import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed, found } from '../../../base/problem.ts'
import { firstOfEach } from '../../many.ts'
import type { Observations } from '../../types.ts'
import { checkReports } from '../plausible.ts'
import { weatherReader } from '../reader.ts'
import { isBare, observationsOf } from '../station-reports.ts'
import { decodeIsd, type IsdFields, isdReport, type QualityCount } from './isd-fields.ts'
import { type IsdRow, isdStations, qualityNote } from './isd-stations.ts'

const MANDATORY_LENGTH = 105

/**
 * Reads NOAA Integrated Surface Data in its fixed-width form: control and mandatory sections and, of the additional
 * data, the groups AA (precipitation), AU, AW, MW (present weather), MA1 (pressure) and OC1 (gust). Times are UTC.
 * @source NOAA NCEI, "Federal Climate Complex Data Documentation for Integrated Surface Data" (positions from memory, held
 *   against the METAR that each record carries)
 */
export function readIsd(text: string): Outcome<Observations> {
  const problems: Problem[] = []
  const count: QualityCount = { dropped: 0 }
  const rows: IsdRow[] = []
  let bare = 0
  for (const [i, line] of text.split(/\r*\n|\r/).entries()) {
    if (line.trim() === '') continue
    const row = rowOf(line, i + 1, count)
    if (row === null) problems.push(unreadable(i + 1))
    else if (isBare(row.report)) bare++
    else rows.push(row)
  }
  if (bare > 0) {
    const message = `${plural(bare, 'record')} without an observation (daily or monthly summaries, or all values missing)`
    problems.push({ code: 'isd-empty', severity: 'note', message })
  }
  if (rows.length === 0) {
    return failed({ code: 'isd-none', message: 'no record of this file holds an observation' }, firstOfEach(problems))
  }
  problems.push(...qualityNote(count))
  const reports = rows.map(({ report }) => report)
  for (const problem of checkReports(reports)) problems.push(problem)
  const stations = isdStations(rows, problems)
  return found(observationsOf(stations, reports), firstOfEach(problems))
}

/** The fixed-width form of NOAA's Integrated Surface Data. */
export const isdReader = weatherReader({
  kind: 'isd',
  recognises: (head) => CONTROL_START.test(head),
  dependsOn: [],
  read: readIsd,
  format: {
    name: 'NOAA ISD',
    holds: 'the fixed-width files of the Integrated Surface Data, from 1901 on.',
  },
})

/**
 * The control section: count of the characters that follow, USAF and WBAN numbers, date, time, source, latitude,
 * longitude. @source NOAA NCEI, Federal Climate Complex Data Documentation for Integrated Surface Data, positions 1-41
 */
const CONTROL_START = /^\d{4}[0-9A-Z]{6}[0-9A-Z]{5}\d{12}[0-9A-Z][+-]\d{5}[+-]\d{6}/

const CONTROL =
  /^\d{4}([0-9A-Z]{6})(\d{5})(\d{4})(\d\d)(\d\d)(\d\d)(\d\d).([+-]\d{5})([+-]\d{6}).{5}([+-]\d{4})(.{5}).{4}/

function rowOf(text: string, line: number, count: QualityCount): IsdRow | null {
  const control = CONTROL.exec(text)
  if (!control || text.length < MANDATORY_LENGTH) return null
  const [, usaf, wban] = control
  const [year, month, day, hour, minute, latitude, longitude, elevation] = control.slice(3, 11).map(Number)
  const seconds = Date.UTC(year, month - 1, day, hour, minute) / 1000
  if (new Date(seconds * 1000).getUTCDate() !== day || hour > 23 || minute > 59) return null
  return {
    latitude: latitude === 99999 ? Number.NaN : latitude / 1000,
    longitude: longitude === 999999 ? Number.NaN : longitude / 1000,
    elevationM: elevation === 9999 ? Number.NaN : elevation,
    report: decodeIsd(fieldsOf(text), isdReport(`${usaf}-${wban}`, seconds, line), count),
  }
}

function fieldsOf(text: string): IsdFields {
  const remarksAt = text.indexOf('REM', MANDATORY_LENGTH)
  const added = remarksAt < 0 ? text.slice(MANDATORY_LENGTH) : text.slice(MANDATORY_LENGTH, remarksAt)
  const group = (pattern: RegExp): string[] => pattern.exec(added)?.slice(1) ?? []
  const groups = (pattern: RegExp): string[][] => [...added.matchAll(pattern)].map((match) => match.slice(1))
  return {
    wnd: [text.slice(60, 63), text[63], text[64], text.slice(65, 69), text[69]],
    tmp: [text.slice(87, 92), text[92]],
    dew: [text.slice(93, 98), text[98]],
    slp: [text.slice(99, 104), text[104]],
    ma1: group(/MA1(\d{5})(\w)(\d{5})(\w)/),
    oc1: group(/OC1(\d{4})(\w)/),
    aa: groups(/AA[1-4](\d\d)(\d{4})(\w)(\w)/g),
    mw: groups(/MW[1-4](\d\d)(\w)/g),
    aw: groups(/AW[1-4](\d\d)(\w)/g),
    au: groups(/AU[1-4](\d)(\d)(\d\d)(\d)(\d)(\d)(\w)/g),
    rem: remarksAt < 0 ? '' : text.slice(remarksAt),
  }
}

function unreadable(line: number): Problem {
  const message =
    'this line is not an ISD record: expected 105 characters or more of control and mandatory data; it is left out'
  return { code: 'isd-line-unreadable', severity: 'error', message, line }
}
