import { plural } from '../../../base/figures.ts'
import type { Problem } from '../../../base/problem.ts'
import type { Station } from '../../types.ts'
import { type StationReport, unplacedStation } from '../station-reports.ts'
import type { QualityCount } from './isd-fields.ts'

/** A decoded record with the place that it states. */
export interface IsdRow {
  report: StationReport
  /** Degrees; NaN when missing. */
  latitude: number
  longitude: number
  elevationM: number
}

/** About 1 km of latitude. */
const MOVED_DEG = 0.01

/** The stations of a file, each at the position that most of its records state. */
export function isdStations(rows: IsdRow[], problems: Problem[]): Station[] {
  const placesById = new Map<string, Map<string, { row: IsdRow; times: number }>>()
  for (const row of rows) {
    const places = placesById.get(row.report.stationId) ?? new Map<string, { row: IsdRow; times: number }>()
    placesById.set(row.report.stationId, places)
    const key = `${row.latitude} ${row.longitude} ${row.elevationM}`
    const place = places.get(key) ?? { row, times: 0 }
    place.times++
    places.set(key, place)
  }
  return [...placesById].map(([id, places]) => {
    const usual = [...places.values()].reduce((best, next) => (next.times > best.times ? next : best)).row
    for (const { row, times } of places.values()) {
      const away = Math.max(Math.abs(row.latitude - usual.latitude), Math.abs(row.longitude - usual.longitude))
      if (!(away > MOVED_DEG)) continue
      const message = `another position in ${plural(times, 'record')} of station ${id} (${row.latitude}, ${row.longitude}); the usual one is used`
      problems.push({ code: 'station-moves', severity: 'warning', message, line: row.report.line })
    }
    return {
      ...unplacedStation(id),
      latitude: usual.latitude,
      longitude: usual.longitude,
      elevationM: usual.elevationM,
    }
  })
}

/** Says how many values were dropped for their quality codes. */
export function qualityNote({ dropped }: QualityCount): Problem[] {
  if (dropped === 0) return []
  const message = `${plural(dropped, 'value')} not used: the archive marks them as suspect or erroneous (quality 2, 3, 6, 7)`
  return [{ code: 'isd-quality', severity: 'warning', message }]
}
