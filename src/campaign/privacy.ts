import type { Problem } from '../base/problem.ts'
import type { PrivateSettings } from '../read/types.ts'
import type { Along } from '../report/along-data.ts'
import type { RunPoints } from '../report/points/points.ts'
import { stepM } from '../track/geodesy.ts'

/** Whether a position must not be shown. */
export type Hidden = (latitude: number, longitude: number) => boolean

/** Positions within the private places of campaign.yaml; null where none is stated. */
export function hiddenWithin(places: readonly PrivateSettings[]): Hidden | null {
  if (places.length === 0) return null
  return (lat, lon) => places.some((place) => stepM(place.latitude, place.longitude, lat, lon) <= place.radiusM)
}

/** A road's course without what must not be shown: it ends where the private place begins. */
export const shownOutline = (
  outline: [longitude: number, latitude: number][],
  hidden: Hidden | null,
): [longitude: number, latitude: number][] =>
  hidden === null ? outline : outline.filter(([longitude, latitude]) => !hidden(latitude, longitude))

/** What is drawn along the road: a hidden place stands at the nearest one that is shown, so that nothing is drawn within. */
export function shownAlong(along: Along, hidden: Hidden | null): Along {
  if (hidden === null) return along
  return {
    ...along,
    roads: along.roads.map((road) => ({ ...road, ...shownPlaces(road.latitude, road.longitude, hidden) })),
    runs: along.runs.map((run) => ({
      ...run,
      windAt: run.windAt.filter(({ latitude, longitude }) => !hidden(latitude, longitude)),
    })),
  }
}

/** Rows of a point file keep all but their position where that is hidden. */
export function shownPoints(points: RunPoints, hidden: Hidden | null): RunPoints {
  if (hidden === null) return points
  const { latitude, longitude } = points.columns
  const shown = (column: Float64Array): Float64Array =>
    column.map((value, i) => (hidden(latitude[i], longitude[i]) ? Number.NaN : value))
  return { ...points, columns: { ...points.columns, latitude: shown(latitude), longitude: shown(longitude) } }
}

/** A degree tells a country: all that is shown of a road that lies within private places altogether. */
function shownPlaces(
  latitude: Float64Array,
  longitude: Float64Array,
  hidden: Hidden,
): { latitude: Float64Array; longitude: Float64Array } {
  const isShown = Array.from(latitude, (lat, i) => !hidden(lat, longitude[i]))
  const first = isShown.indexOf(true)
  if (first < 0) return { latitude: latitude.map(Math.round), longitude: longitude.map(Math.round) }
  let last = first
  const from = isShown.map((shown, i) => {
    if (shown) last = i
    return last
  })
  return { latitude: latitude.map((_, i) => latitude[from[i]]), longitude: longitude.map((_, i) => longitude[from[i]]) }
}

/** That places were left out, so that nobody wonders about a road that ends early on the map. */
export function privateNote(places: readonly PrivateSettings[], campaignFile: string | null): Problem[] {
  if (places.length === 0) return []
  const named = places.map(({ name, radiusM }) => `${name} (${radiusM} m around)`).join(', ')
  const message = `private: positions within ${named} are left out of maps, outlines and points files; all figures are computed with them`
  return [{ code: 'private-places', severity: 'note', ...(campaignFile ? { file: campaignFile } : {}), message }]
}
