import { pointsCsv } from '../report/points/csv.ts'
import { pointsGeoJson } from '../report/points/geojson.ts'
import { pointsParquet } from '../report/points/parquet.ts'
import type { PointForm, RunPoints } from '../report/points/points.ts'
import type { Content } from './write.ts'

const CONTENT: Record<PointForm, (points: RunPoints) => Content> = {
  csv: pointsCsv,
  geojson: pointsGeoJson,
  parquet: pointsParquet,
}

/** A file for each run and form, one run at a time. */
export function* pointFiles(runs: Iterable<RunPoints>, forms: readonly PointForm[]): Generator<[string, Content]> {
  for (const points of runs) {
    for (const form of forms) yield [`points/${points.run}.${form}`, CONTENT[form](points)]
  }
}
