import { between } from '../../base/arithmetic.ts'
import type { Along, AlongPair, AlongRoad, AlongRun } from '../../report/along-data.ts'
import { elevationAt } from '../../road/profile.ts'
import type { ElevationProfile, Path } from '../../road/types.ts'
import { cellsAlong, DEMAND_WINDOW_SHARE } from '../drive/run-along.ts'
import type { Roads } from '../load/routes.ts'

/**
 * What the page shows along the roads and in time, for all runs or, of many, for a stated selection.
 * @param results of all runs; of those that are shown with what they met along their road
 */
export function alongOf(roads: Roads, results: { route: number; along: AlongRun | null }[], pairs: AlongPair[]): Along {
  const runs = results.flatMap(({ along }) => along ?? [])
  const used = new Set(results.flatMap(({ route, along }) => (along ? [route] : [])))
  const { contexts } = roads
  return {
    roads: roads.routes.flatMap(({ reference, lengthM }, i) =>
      used.has(i) ? [roadOf(roads.names[i], contexts[reference].path, lengthM, contexts[reference].profile)] : [],
    ),
    runs,
    pairs,
    selection:
      runs.length === results.length
        ? null
        : `Of ${results.length} drives, ${runs.length} are drawn here: the first with each setup on each road, then the earliest.`,
    demandWindowShare: DEMAND_WINDOW_SHARE,
  }
}

function roadOf(id: string, path: Path, lengthM: number, profile: ElevationProfile | null): AlongRoad {
  const cells = cellsAlong(lengthM)
  const ends = Array.from({ length: cells + 1 }, (_, i) => (i * lengthM) / cells)
  const place = (column: Float64Array): Float64Array => Float64Array.from(ends, (m) => onPath(path, column, m))
  const middles = ends.slice(0, cells).map((m) => m + lengthM / cells / 2)
  return {
    id,
    lengthM,
    cells,
    latitude: place(path.latitude),
    longitude: place(path.longitude),
    elevation: profile && {
      heightM: Float64Array.from(middles, (m) => elevationAt(profile, m)),
      spreadM: Float64Array.from(middles, (m) => elevationAt({ ...profile, elevationM: profile.spreadM }, m)),
      witnesses: profile.witnesses,
      terrain: profile.terrain !== null,
    },
  }
}

function onPath({ distanceM, spacingM }: Path, column: Float64Array, atM: number): number {
  const i = Math.max(0, Math.min(distanceM.length - 2, Math.floor(atM / spacingM)))
  const span = distanceM[i + 1] - distanceM[i]
  const share = span > 0 ? Math.min(1, Math.max(0, (atM - distanceM[i]) / span)) : 0
  return between(column[i], column[i + 1], share)
}
