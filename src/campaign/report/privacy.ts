import type { Problem } from '../../base/problem.ts'
import type { Campaign, PrivateSettings } from '../../read/campaign/settings.ts'
import type { Along } from '../../report/along-data.ts'
import type { RunPoints } from '../../report/points/points.ts'
import { stepM } from '../../track/geodesy.ts'
import type { DividedRecording, RecordedSession } from '../load/runs.ts'

/** Whether a position must not be shown. */
export type Hidden = (latitude: number, longitude: number) => boolean

/** A place that is not shown. */
type Place = Omit<PrivateSettings, 'name'>

/** Less than a degree of latitude anywhere, m. */
const LEAST_DEGREE_M = 110_000

/** Positions within the places; null where there are none. */
export function hiddenWithin(places: readonly Place[]): Hidden | null {
  if (places.length === 0) return null
  return (lat, lon) =>
    places.some(
      ({ latitude, longitude, radiusM }) =>
        Math.abs(lat - latitude) * LEAST_DEGREE_M <= radiusM && stepM(latitude, longitude, lat, lon) <= radiusM,
    )
}

/** Less of other driving is moving the vehicle up to where the drive begins, m. */
const LEAST_OTHER_M = 100
/** Ends nearer to each other than this are one place, m. */
const SAME_END_M = 10

/**
 * Where other driving begins and ends a recording: most often somebody's home. A recording that begins or ends with a
 * drive shows that end, since the drive was recorded to be shown.
 */
export function privateEnds(
  recordings: readonly Pick<DividedRecording, 'pieces' | 'sessions'>[],
  radiusM: number,
): Place[] {
  if (radiusM === 0) return []
  const places: Place[] = []
  for (const { pieces, sessions } of recordings) {
    for (const session of sessions) {
      const own = pieces.filter((piece) => piece.fromTime < session.endTime && piece.toTime > session.startTime)
      if (beginsElsewhere(own)) addEnd(places, session, 0, radiusM)
      if (beginsElsewhere(own.reverse())) addEnd(places, session, -1, radiusM)
    }
  }
  return places
}

/** Whether something else than a drive comes first. */
function beginsElsewhere(pieces: DividedRecording['pieces']): boolean {
  const drive = pieces.findIndex(({ kind }) => kind === 'drive')
  const before = drive < 0 ? pieces : pieces.slice(0, drive)
  return before.some(({ kind, distanceM }) => kind === 'other' && distanceM >= LEAST_OTHER_M)
}

function addEnd(places: Place[], { drive }: RecordedSession, at: number, radiusM: number): void {
  const [latitude, longitude] = [drive.trace.latitude.at(at), drive.trace.longitude.at(at)]
  if (latitude === undefined || longitude === undefined) return
  if (places.some((place) => stepM(place.latitude, place.longitude, latitude, longitude) <= SAME_END_M)) return
  places.push({ latitude, longitude, radiusM: radiusM + SAME_END_M })
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
      stoodAt: run.stoodAt.filter(({ latitude, longitude }) => !hidden(latitude, longitude)),
    })),
  }
}

/** What together with the speed leads from a place that is shown to one that is not. */
const LEADS_ON = ['course_deg', 'headwind_mps', 'crosswind_mps', 'airspeed_mps', 'yaw_deg'] as const

/** Rows of a point file keep all but their position, and the way there, where that is hidden. */
export function shownPoints(points: RunPoints, hidden: Hidden | null): RunPoints {
  if (hidden === null) return points
  const { latitude, longitude } = points.columns
  const shown = (column: Float64Array): Float64Array =>
    column.map((value, i) => (hidden(latitude[i], longitude[i]) ? Number.NaN : value))
  const way = Object.fromEntries(LEADS_ON.map((column) => [column, shown(points.columns[column])]))
  return { ...points, columns: { ...points.columns, ...way, latitude: shown(latitude), longitude: shown(longitude) } }
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
export const privateNotes = (
  { private: stated, privateEndsRadiusM }: Pick<Campaign, 'private' | 'privateEndsRadiusM'>,
  ends: number,
  campaignFile: string | null,
): Problem[] => [...statedNote(stated, campaignFile), ...endsNote(ends, privateEndsRadiusM)]

/** The same of the places where other driving begins and ends, which nobody stated. */
const endsNote = (ends: number, radiusM: number): Problem[] =>
  ends === 0
    ? []
    : [
        {
          code: 'private-ends',
          severity: 'note',
          message: `positions within ${radiusM} m of the ${ends === 1 ? 'place' : `${ends} places`} where other driving begins or ends are left out of maps, outlines and points files; all figures are computed with them`,
          hint: 'private_ends_radius_m in campaign.yaml sets the distance, 0 shows them; a drive that itself begins at a home is hidden by naming the place under private',
        },
      ]

function statedNote(places: readonly PrivateSettings[], campaignFile: string | null): Problem[] {
  if (places.length === 0) return []
  const named = places.map(({ name, radiusM }) => `${name} (${radiusM} m around)`).join(', ')
  const message = `private: positions within ${named} are left out of maps, outlines and points files; all figures are computed with them`
  return [{ code: 'private-places', severity: 'note', ...(campaignFile ? { file: campaignFile } : {}), message }]
}
