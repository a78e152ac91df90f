import { plural } from '../../../base/figures.ts'
import type { Outcome, Problem } from '../../../base/problem.ts'
import { failed, found } from '../../../base/problem.ts'
import { firstOfEach } from '../../many.ts'
import { quantityOf } from '../../table/quantities.ts'
import { MEASURED, type Observations, type Station } from '../../types.ts'
import { type IsdRow, isdStations } from '../isd/isd-stations.ts'
import { checkReports } from '../plausible.ts'
import { emptyStationReport, isBare, observationsOf, type StationReport } from '../station-reports.ts'

/** A report of a service with the place that it states; degrees and metres, NaN where it states none. */
export type ServiceRow = IsdRow

/**
 * A report from what a service says, under the names that columns of tables have here: `wind_speed_kmh` says quantity and
 * unit, and `read/table/quantities.ts` converts it, as it does for every table. NaN and null mean "not said".
 */
export function reportFrom(
  at: { stationId: string; time: number; line?: number },
  said: Record<string, number | null | undefined>,
): StationReport {
  const report = emptyStationReport(at.stationId, at.time, at.line ?? 1)
  for (const [name, value] of Object.entries(said)) {
    if (typeof value !== 'number' || Number.isNaN(value)) continue
    const quantity = quantityOf(name)
    const field = MEASURED.find((measured) => measured === quantity?.field)
    if (!quantity || !field) throw new Error(`${name} is no quantity of the weather with its unit`)
    // Of two names for one quantity the first counts.
    if (Number.isNaN(report[field])) report[field] = quantity.convert(value)
  }
  return report
}

/** What a file of a service holds as a whole. */
export interface ServiceAnswer {
  rows: ServiceRow[]
  problems: Problem[]
  /** Code and words for an answer without a single observation. */
  none: { code: string; message: string; hint?: string }
  quality?: Station['quality']
}

/** Lays the rows of a service's answer out as observations: bare ones are counted, impossible values taken out. */
export function observationsFrom({ rows, problems, none, quality }: ServiceAnswer): Outcome<Observations> {
  const filled = rows.filter(({ report }) => !isBare(report) && !Number.isNaN(report.time))
  if (filled.length === 0) return failed(none, firstOfEach(problems))
  const bare = rows.length - filled.length
  if (bare > 0) {
    problems.push({
      code: 'service-empty',
      severity: 'note',
      message: `${plural(bare, 'row')} without an observation`,
    })
  }
  const reports = filled.map(({ report }) => report)
  for (const report of reports) if (Number.isNaN(report.temperatureK)) report.temperatureStepK = Number.NaN
  for (const problem of checkReports(reports)) problems.push(problem)
  const stations = isdStations(filled, problems).map((station) => ({ ...station, quality: quality ?? station.quality }))
  return found(observationsOf(stations, reports), firstOfEach(problems))
}

/** How many values were dropped for what the service itself says of them. */
export function droppedNote(dropped: number): Problem[] {
  if (dropped === 0) return []
  const message = `${plural(dropped, 'value')} not used: the service marks them as suspect or wrong`
  return [{ code: 'isd-quality', severity: 'warning', message }]
}

/** A note that no instrument measured what a file holds. */
export const modelNote = (what: string): Problem => ({
  code: 'weather-model',
  severity: 'note',
  message: `${what}: no instrument measured these values. They are taken with what is published of such models, 2 m/s of wind and 2 °C of temperature (one standard deviation of an hour)`,
  hint: 'Reports of a station near the road say more.',
})
