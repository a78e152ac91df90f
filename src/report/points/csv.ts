import { csvLine } from '../csv.ts'
import { POINT_COLUMNS, pointTime, pointValue, type RunPoints } from './points.ts'

/** Points as CSV (RFC 4180), times in ISO 8601 UTC, an empty cell where a value is not known. */
export function* pointsCsv(points: RunPoints): Generator<string> {
  yield csvLine(POINT_COLUMNS)
  for (let row = 0; row < points.columns.time.length; row++) {
    yield csvLine(
      POINT_COLUMNS.map((column) => {
        if (column === 'time') return pointTime(points, row)
        const value = pointValue(points, column, row)
        return value === null ? '' : String(value)
      }),
    )
  }
}
