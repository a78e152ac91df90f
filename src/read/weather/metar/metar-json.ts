import type { StationReport } from '../station-reports.ts'
import { decodeMetar, METAR_MEASURED } from './metar-groups.ts'

/**
 * A report whose service also gives the METAR as it was sent: what the METAR says stands, to its last digit, and the
 * service's own columns fill in what is missing in it. A text that is no METAR changes nothing.
 */
export function withMetar(report: StationReport, metar: string): StationReport {
  const groups = decodeMetar(metar.replace(/\s+/g, ' ').replace(/=.*$/, '').trim())
  if (!groups) return report
  const both: StationReport = { ...report, rainIsHourlyTotal: true }
  for (const name of [...METAR_MEASURED, 'temperatureStepK'] as const)
    if (!Number.isNaN(groups[name])) both[name] = groups[name]
  // Direction and speed are one group: a direction from elsewhere says nothing of a variable or calm wind.
  if (!Number.isNaN(groups.windSpeedMps)) both.windFromDeg = groups.windFromDeg
  both.windVariable = groups.windVariable
  both.presentWeather = groups.presentWeather ?? report.presentWeather
  return both
}
