import { parquetWriteBuffer } from 'hyparquet-writer'
import { POINT_COLUMNS, pointValue, type RunPoints } from './points.ts'

/** Points as Apache Parquet: times as timestamps in milliseconds, all else as doubles, null where a value is not known. */
export function pointsParquet(points: RunPoints): Uint8Array {
  const rows = Array.from(points.columns.time, (_, row) => row)
  const columnData = POINT_COLUMNS.map((name) => {
    if (name === 'time') {
      const data = rows.map((row) => new Date(Math.round(points.columns.time[row] * 1000)))
      return { name, data, type: 'TIMESTAMP' as const, nullable: false }
    }
    return { name, data: rows.map((row) => pointValue(points, name, row)), type: 'DOUBLE' as const, nullable: true }
  })
  return new Uint8Array(parquetWriteBuffer({ columnData }))
}
