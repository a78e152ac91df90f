import { plural } from '../../../base/figures.ts'
import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed, found } from '../../../base/problem.ts'
import { isoDay, type Span } from '../../../base/time.ts'
import { firstOfEach } from '../../many.ts'
import type { Observations } from '../../types.ts'
import { checkReports } from '../plausible.ts'
import { type WeatherContext, weatherReader } from '../reader.ts'
import { emptyStationReport, isBare, observationsOf, type StationReport, unplacedStation } from '../station-reports.ts'
import { momentNearDate, momentNearSpans } from './metar-date.ts'
import { decodeMetar, type MetarGroups } from './metar-groups.ts'
import { cutMetarText, type MetarText } from './metar-text.ts'

/** What a METAR does not say of itself: when the drives were that it may have to cover. Each drive tells months apart. */
export type MetarContext = Pick<WeatherContext, 'coverFrom' | 'coverTo' | 'coverSpans'>

/**
 * Reads METAR and SPECI reports, one a line or as WMO bulletins. The month and year, which a report leaves out, come from
 * a date in front of it, else from the time span of the drives. A report that cannot be read is a warning with its line.
 * Altimeter settings in whole hectopascals (Q) stay as reported, which is rounded down (ICAO Annex 3, from memory): half a
 * hectopascal low on average.
 */
export function readMetarText(text: string, context: MetarContext): Outcome<Observations> {
  const { reports: texts, strayLines, forecastLines } = cutMetarText(text)
  const problems: Problem[] = strayLines.map((line) => ({
    code: 'metar-line-unreadable',
    severity: 'warning',
    message: 'this line is not a METAR or SPECI report, nor part of one; it is left out',
    line,
  }))
  for (const line of forecastLines) {
    const message = 'this is a forecast (TAF), no observation; it is left out'
    problems.push({ code: 'metar-forecast', severity: 'note', message, line })
  }
  const dating = datingFrom(context)
  const reports: StationReport[] = []
  for (const cut of texts) {
    const groups = decodeMetar(cut.text)
    const problem = groups === null ? unreadable(cut) : take(groups, cut, dating, reports)
    if (problem) problems.push(problem)
  }
  if (texts.length === 0) {
    return failed({ code: 'metar-none', message: 'no METAR or SPECI report was found in this text' }, problems)
  }
  const unique = withoutRepeats(reports, problems)
  for (const problem of checkReports(unique)) problems.push(problem)
  if (dating.fromTracks > 0) problems.push(monthNote(dating, unique))
  const summary = firstOfEach(problems)
  if (unique.length === 0) {
    const message = 'none of the reports in this text could be used'
    return failed({ code: 'metar-none', message }, summary)
  }
  const stations = [...new Set(unique.map(({ stationId }) => stationId))].map(unplacedStation)
  return found(observationsOf(stations, unique), summary)
}

/**
 * A station with day and time, as in METAR and SPECI; a forecast (TAF) goes on with a period of validity instead.
 * @source WMO No. 306, Manual on Codes, FM 15 and FM 16
 */
const METAR_GROUP = /(?:^|[\s,;>"'])[A-Z][A-Z0-9]{3}\s+\d{6}Z\s+(?!(?:NIL\b|\d{4}\/\d{4}))\S/

/** METAR and SPECI as text. */
export const metarReader = weatherReader({
  kind: 'metar',
  recognises: (head) => METAR_GROUP.test(head),
  dependsOn: ['coverFrom', 'coverTo', 'coverSpans'],
  read: readMetarText,
  format: {
    name: 'METAR and SPECI',
    holds:
      'reports of FM 15 and FM 16 as text, one report a line or in bulletins, with or without a date in front. Without one, month and year are taken from the drives, and the report says so. Where the station is comes from a table of 22,720 airports, airfields and weather stations (OurAirports and NOAA, public domain).',
  },
})

interface Dating {
  spans: Span[]
  /** How many reports got their month from the tracks. */
  fromTracks: number
}

function datingFrom({ coverFrom, coverTo, coverSpans }: MetarContext): Dating {
  if (coverSpans?.length) return { spans: coverSpans, fromTracks: 0 }
  const spans = coverFrom === null || coverTo === null ? [] : [{ from: coverFrom, to: coverTo }]
  return { spans, fromTracks: 0 }
}

/** Adds the report to the list, or says why it cannot be used. */
function take(groups: MetarGroups, cut: MetarText, dating: Dating, reports: StationReport[]): Problem | null {
  const { line } = cut
  if (groups.nil) {
    const message = `${groups.station} sent no observation (NIL)`
    return { code: 'metar-nil', severity: 'note', message, line }
  }
  const time = cut.writtenAt === null ? momentNearSpans(groups, dating.spans) : momentNearDate(groups, cut.writtenAt)
  if (Number.isNaN(time)) return undatable(groups, cut, dating)
  const report = reportOf(groups, time, line)
  if (isBare(report)) {
    const message = `nothing could be read from the report of ${groups.station}; it is left out`
    return { code: 'metar-empty', severity: 'warning', message, line }
  }
  if (cut.writtenAt === null) dating.fromTracks++
  reports.push(report)
  return windProblem(groups, line)
}

function windProblem({ windUnreadable, windAboveRange }: MetarGroups, line: number): Problem | null {
  if (windUnreadable !== null) {
    const message = `the wind "${start(windUnreadable)}" could not be read: expected direction, speed and unit as in 24012KT; the rest of the report is used`
    return { code: 'metar-wind-unreadable', severity: 'warning', message, line }
  }
  if (!windAboveRange) return null
  const message = 'the wind is reported as more than its instrument shows; the bound is taken as its speed'
  return { code: 'metar-wind-above-range', severity: 'warning', message, line }
}

/** The columns' part of a decoded report. */
export function reportOf(groups: MetarGroups, time: number, line: number): StationReport {
  return {
    ...emptyStationReport(groups.station, time, line),
    temperatureK: groups.temperatureK,
    temperatureStepK: groups.temperatureStepK,
    dewPointK: groups.dewPointK,
    altimeterPa: groups.altimeterPa,
    seaLevelPressurePa: groups.seaLevelPressurePa,
    stationPressurePa: groups.stationPressurePa,
    windSpeedMps: groups.windSpeedMps,
    windFromDeg: groups.windFromDeg,
    windVariable: groups.windVariable,
    windGustMps: groups.windGustMps,
    precipitationMm: groups.precipitationMm,
    rainIsHourlyTotal: true,
    presentWeather: groups.presentWeather,
  }
}

function unreadable({ text, line }: MetarText): Problem {
  const message = `"${start(text)}" could not be read: expected a station of four letters, then day, hour and minute as in 121755Z`
  return { code: 'metar-unreadable', severity: 'warning', message, line }
}

function undatable(groups: MetarGroups, { writtenAt, line }: MetarText, { spans }: Dating): Problem {
  const day = `day ${groups.day} of a month`
  if (writtenAt !== null) {
    const written = isoDay(writtenAt)
    const message = `the report says ${day}, the date in front of it ${written}; the report is left out`
    return { code: 'metar-date-contradicts', severity: 'warning', message, line }
  }
  const hint = 'Put the date in front of each report, for example 2021-04-26 12:00.'
  if (spans.length === 0) {
    const message = `the report says ${day} and there are no tracks with times to take the month from; it is left out`
    return { code: 'metar-month-unknown', severity: 'warning', message, line, hint }
  }
  const message = `the report says ${day}, and more than one month would suit the tracks; it is left out`
  return { code: 'metar-month-ambiguous', severity: 'warning', message, line, hint }
}

/** A later report of the same station and minute (a correction, a repetition) stands in for the earlier one. */
function withoutRepeats(reports: StationReport[], problems: Problem[]): StationReport[] {
  const byMoment = new Map<string, StationReport>()
  for (const report of reports) byMoment.set(`${report.stationId} ${report.time}`, report)
  const repeats = reports.length - byMoment.size
  if (repeats > 0) {
    const message = `${plural(repeats, 'report')} sent again for the same station and minute; the last one counts`
    problems.push({ code: 'metar-repeated', severity: 'note', message })
  }
  return [...byMoment.values()]
}

function monthNote({ fromTracks }: Dating, reports: StationReport[]): Problem {
  const times = reports.map(({ time }) => time)
  const first = new Date(times.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY) * 1000)
  const last = new Date(times.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY) * 1000)
  const range = `${first.toISOString().slice(0, 10)} to ${last.toISOString().slice(0, 10)}`
  const message = `${plural(fromTracks, 'report')} with only the day of the month; month and year are taken from the tracks (${range})`
  const hint = 'Put the date in front of each report if that is not so, for example 2021-04-26 12:00.'
  return { code: 'month-from-tracks', severity: 'note', message, hint }
}

const start = (text: string): string => (text.length > 40 ? `${text.slice(0, 40)}…` : text)
