import type { Problem } from '../../../base/problem.ts'
import type { Station } from '../../types.ts'
import type { PlacedReport } from '../observation-row.ts'
import { unplacedStation } from '../station-reports.ts'

/** Positions that differ by less belong to one station: about 100 m of latitude. */
const SAME_PLACE_DEG = 0.001
/** A station that moves by more than this is reported. About 1 km of latitude. */
const MOVED_DEG = 0.01

/**
 * Gives every report its station: by name where the table has a column of stations, else by position, else the table's
 * own, which then travelled with the vehicle. Fills in `stationId`.
 */
export function placeStations(
  placed: PlacedReport[],
  hasStations: boolean,
  fileName: string,
  problems: Problem[],
): Station[] {
  for (const row of placed) clearImpossiblePosition(row, problems)
  const hasPositions = placed.some(({ latitudeDeg, longitudeDeg }) => !Number.isNaN(latitudeDeg + longitudeDeg))
  for (const row of placed) {
    if (hasStations) row.report.stationId ||= fileName
    else row.report.stationId = hasPositions ? placeName(row, fileName) : fileName
  }
  const rowsById = new Map<string, PlacedReport[]>()
  for (const row of placed) {
    const rows = rowsById.get(row.report.stationId) ?? []
    rowsById.set(row.report.stationId, rows)
    rows.push(row)
  }
  return [...rowsById].map(([id, rows]) => {
    const onRoad = !hasStations && !hasPositions
    if (!onRoad) reportMove(id, rows, problems)
    const first = rows.find(({ latitudeDeg, longitudeDeg }) => !Number.isNaN(latitudeDeg + longitudeDeg))
    return {
      ...unplacedStation(id),
      latitude: first?.latitudeDeg ?? Number.NaN,
      longitude: first?.longitudeDeg ?? Number.NaN,
      elevationM: onRoad ? onlyValue(rows.map((row) => row.elevationM)) : firstValue(rows.map((row) => row.elevationM)),
      anemometerHeightM: firstValue(rows.map((row) => row.anemometerHeightM)),
      onRoad,
    }
  })
}

function clearImpossiblePosition(row: PlacedReport, problems: Problem[]): void {
  const { latitudeDeg, longitudeDeg, report } = row
  if (!(Math.abs(latitudeDeg) > 90 || Math.abs(longitudeDeg) > 180)) return
  const written = [latitudeDeg, longitudeDeg].map((degrees) => (Number.isNaN(degrees) ? 'not stated' : degrees))
  const message = `the position ${written.join(', ')} is not on Earth: expected degrees up to 90 and 180`
  problems.push({ code: 'weather-implausible', severity: 'warning', message, line: report.line })
  row.latitudeDeg = Number.NaN
  row.longitudeDeg = Number.NaN
}

function placeName({ latitudeDeg, longitudeDeg }: PlacedReport, fileName: string): string {
  if (Number.isNaN(latitudeDeg + longitudeDeg)) return fileName
  const rounded = (degrees: number) => (Math.round(degrees / SAME_PLACE_DEG) * SAME_PLACE_DEG).toFixed(3)
  return `${rounded(latitudeDeg)},${rounded(longitudeDeg)}`
}

function reportMove(id: string, rows: PlacedReport[], problems: Problem[]): void {
  const spread = (values: number[]) => {
    const known = values.filter((value) => !Number.isNaN(value))
    return known.reduce((a, b) => Math.max(a, b), -Infinity) - known.reduce((a, b) => Math.min(a, b), Infinity)
  }
  const moved = Math.max(spread(rows.map((row) => row.latitudeDeg)), spread(rows.map((row) => row.longitudeDeg)))
  if (!(moved > MOVED_DEG)) return
  const message = `the station ${id} changes its position by up to ${moved.toFixed(2)} degrees; its first one is used`
  problems.push({ code: 'station-moves', severity: 'warning', message, line: rows[0].report.line })
}

const firstValue = (values: number[]): number => values.find((value) => !Number.isNaN(value)) ?? Number.NaN

/** The value that all rows share, or NaN: a logger in a car changes its elevation. */
function onlyValue(values: number[]): number {
  const first = firstValue(values)
  return values.every((value) => value === first) ? first : Number.NaN
}
