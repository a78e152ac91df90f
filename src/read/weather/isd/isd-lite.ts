import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed, found } from '../../../base/problem.ts'
import { kelvinFromCelsius } from '../../../base/units.ts'
import { firstOfEach } from '../../many.ts'
import type { Observations } from '../../types.ts'
import { checkReports } from '../plausible.ts'
import { weatherReader } from '../reader.ts'
import { emptyStationReport, isBare, observationsOf, type StationReport, unplacedStation } from '../station-reports.ts'

const MISSING = -9999
const COLUMNS = 12
/** A trace of precipitation. */
const TRACE = -1

/**
 * Reads NOAA ISD-Lite: twelve whole numbers a line (year, month, day, hour UTC, air temperature, dew point, sea-level
 * pressure, wind direction, wind speed, sky cover, precipitation of 1 h and of 6 h), in tenths, -9999 for missing. The text
 * does not name its station: its USAF and WBAN numbers are taken from the file's name (`725300-94846-2014`), and its
 * position must come from elsewhere.
 * @source NOAA NCEI, "Federal Climate Complex Integrated Surface Data - Lite" format document (from memory)
 */
export function readIsdLite(text: string, { fileName }: { fileName: string }): Outcome<Observations> {
  const stationId = stationIn(fileName)
  const problems: Problem[] = []
  const reports: StationReport[] = []
  for (const [i, line] of text.split(/\r*\n|\r/).entries()) {
    if (line.trim() === '') continue
    const report = reportOf(line, stationId, i + 1)
    if (report === null) problems.push(unreadable(i + 1))
    else if (!isBare(report)) reports.push(report)
  }
  if (reports.length === 0) {
    return failed({ code: 'isd-none', message: 'no line of this file holds an observation' }, firstOfEach(problems))
  }
  for (const problem of checkReports(reports)) problems.push(problem)
  return found(observationsOf([unplacedStation(stationId)], reports), firstOfEach(problems))
}

/** Year, month, day, hour and eight whole numbers. */
const ROW = /^\d{4} \d\d \d\d \d\d(?:\s+-?\d+){8}\s*$/m

/** NOAA's ISD-Lite. */
export const isdLiteReader = weatherReader({
  kind: 'isd-lite',
  recognises: (head) => ROW.test(head),
  dependsOn: ['fileName'],
  read: readIsdLite,
  format: {
    name: 'NOAA ISD-Lite',
    holds: 'hourly figures; the station is named by the file name, and placed in `campaign.yaml`.',
  },
})

/** The USAF-WBAN number in a file's name, or else the name without folders. */
function stationIn(fileName: string): string {
  const name = fileName.replace(/^.*[/\\]/, '')
  return /^([0-9A-Z]{6}-\d{5})-\d{4}/.exec(name)?.[1] ?? name
}

function reportOf(text: string, stationId: string, line: number): StationReport | null {
  const words = text.trim().split(/\s+/)
  if (words.length !== COLUMNS || !words.every((word) => /^-?\d+$/.test(word))) return null
  const [year, month, day, hour, ...codes] = words.map(Number)
  const date = new Date(Date.UTC(year, month - 1, day, hour))
  if (date.getUTCDate() !== day || date.getUTCMonth() !== month - 1 || hour > 23) return null
  const [temperature, dewPoint, seaLevel, direction, speed, , precipitation] = codes.map((code) =>
    code === MISSING ? Number.NaN : code,
  )
  return {
    ...emptyStationReport(stationId, date.getTime() / 1000, line),
    temperatureK: kelvinFromCelsius(temperature / 10),
    dewPointK: kelvinFromCelsius(dewPoint / 10),
    seaLevelPressurePa: seaLevel * 10,
    windFromDeg: direction,
    windSpeedMps: speed / 10,
    precipitationMm: precipitation === TRACE ? 0 : precipitation / 10,
  }
}

function unreadable(line: number): Problem {
  const message = `this line is not ISD-Lite: expected ${COLUMNS} whole numbers, beginning with year, month, day and hour; it is left out`
  return { code: 'isd-line-unreadable', severity: 'error', message, line }
}
