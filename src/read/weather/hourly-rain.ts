/** Routine hourly reports are made in the last ten minutes of the hour, or at the full hour. */
const FIRST_ROUTINE_MINUTE = 50
const HOUR_S = 3600

interface RainReport {
  stationId: string
  /** Seconds since 1970. */
  time: number
  precipitationMm: number
  /** The rain is the total since the last routine hourly report. */
  rainIsHourlyTotal: boolean
}

/**
 * The rain since each station's report before, from reports in time order. A report's rain may be the total since the last
 * routine hourly report (METAR group P, `p01i`), as specials and 5-minute reports repeat it while it grows: of these only
 * what was added within the hour is taken. All other rain is as reported.
 * @returns mm, one value for each report, NaN where it says nothing of rain
 * @source US Federal Meteorological Handbook No. 1, 12.7.1 (hourly precipitation amount: since the last hourly report;
 *   from memory, held against the 6-hour groups of the same reports)
 */
export function rainSinceReportBefore(reports: readonly RainReport[]): Float64Array {
  const rain = Float64Array.from(reports, ({ precipitationMm }) => precipitationMm)
  const totals = new Map<string, number[]>()
  for (const [i, { stationId, rainIsHourlyTotal, precipitationMm }] of reports.entries()) {
    if (!rainIsHourlyTotal || Number.isNaN(precipitationMm)) continue
    const ofStation = totals.get(stationId) ?? []
    totals.set(stationId, ofStation)
    ofStation.push(i)
  }
  for (const places of totals.values()) {
    const series = places.map((i) => ({ time: reports[i].time, totalMm: reports[i].precipitationMm }))
    const addedMm = addedWithinHours(series, resetMinute(series))
    places.forEach((i, n) => {
      rain[i] = addedMm[n]
    })
  }
  return rain
}

interface Total {
  /** Seconds since 1970. */
  time: number
  totalMm: number
}

/** A report at the minute of the reset still belongs to the hour that it ends. */
const hourOf = (time: number, resetsAtMinute: number): number => Math.ceil((time - resetsAtMinute * 60) / HOUR_S)

/** What each total adds to the largest before it in its hour. Reports of one moment are one report sent again. */
function addedWithinHours(series: Total[], resetsAtMinute: number): number[] {
  let [hour, time] = [Number.NaN, Number.NaN]
  let before = 0
  let largest = 0
  return series.map((report) => {
    const itsHour = hourOf(report.time, resetsAtMinute)
    if (itsHour !== hour) [before, largest] = [0, 0]
    else if (report.time !== time) before = largest
    ;[hour, time] = [itsHour, report.time]
    largest = Math.max(before, report.totalMm)
    return largest - before
  })
}

/**
 * The minute after which a station begins a new total: one at which it reports, such that totals fall as seldom as can be
 * within the hours between; of several the one at which it reports most often, a minute that is no multiple of five before
 * one that is. The full hour where it makes no report near it.
 */
function resetMinute(series: Total[]): number {
  const counts = new Map<number, number>()
  for (const { time } of series) {
    const minute = Math.floor(time / 60) % 60
    if (minute >= FIRST_ROUTINE_MINUTE || minute === 0) counts.set(minute, (counts.get(minute) ?? 0) + 1)
  }
  const candidates = [...counts].map(([minute, count]) => ({ minute, count, falls: fallsWith(series, minute) }))
  candidates.sort(
    (a, b) =>
      a.falls - b.falls ||
      b.count - a.count ||
      Number(a.minute % 5 === 0) - Number(b.minute % 5 === 0) ||
      a.minute - b.minute,
  )
  return candidates[0]?.minute ?? 0
}

function fallsWith(series: Total[], resetsAtMinute: number): number {
  let falls = 0
  for (const [i, { time, totalMm }] of series.entries()) {
    const before = series[i - 1]
    const isSameHour = before && hourOf(before.time, resetsAtMinute) === hourOf(time, resetsAtMinute)
    if (isSameHour && totalMm < before.totalMm) falls++
  }
  return falls
}
