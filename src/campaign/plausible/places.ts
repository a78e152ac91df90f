import { REACH } from '../../air/blend.ts'
import type { StationSeries } from '../../air/series.ts'
import type { Place } from '../../base/place.ts'
import type { Problem } from '../../base/problem.ts'
import { stepM } from '../../track/geodesy.ts'
import { exchangedSetting } from '../load/exchanged-places.ts'

/** A recording with the place where it begins. */
export interface PlacedRecording extends Place {
  file: string
  /** Its latitude and longitude were exchanged, as campaign.yaml says. */
  isExchanged?: boolean
}

/** Farther than this from everything else is another region, m. Common practice, no source. */
const FAR_M = 400_000

const CHANGES: { what: string; of: (place: Place) => Place }[] = [
  {
    what: 'latitude and longitude exchanged',
    of: ({ latitude, longitude }) => ({ latitude: longitude, longitude: latitude }),
  },
  { what: 'the sign of the longitude changed', of: (place) => ({ ...place, longitude: -place.longitude }) },
  { what: 'the sign of the latitude changed', of: (place) => ({ ...place, latitude: -place.latitude }) },
]

const nearestM = (place: Place, among: readonly Place[]): number =>
  among.reduce(
    (least, other) => Math.min(least, stepM(place.latitude, place.longitude, other.latitude, other.longitude)),
    Number.POSITIVE_INFINITY,
  )

/** The change that brings a place that is far from all others to one of them; null where none does, or none is needed. */
function changeFor(
  place: Place,
  among: readonly Place[],
): { what: string; place: Place; beforeM: number; afterM: number } | null {
  const beforeM = nearestM(place, among)
  if (!(beforeM > FAR_M) || among.length === 0) return null
  for (const { what, of } of CHANGES) {
    const changed = of(place)
    if (Math.abs(changed.latitude) > 90) continue
    const afterM = nearestM(changed, among)
    if (afterM <= REACH.distanceM) return { what, place: changed, beforeM, afterM }
  }
  return null
}

const km = (m: number): string => `${Math.round(m / 1000)} km`
const degrees = ({ latitude, longitude }: Place): string => `${latitude.toFixed(3)} north, ${longitude.toFixed(3)} east`

/** What campaign.yaml can say about it. */
const setting = (what: string, file: string): string =>
  what === CHANGES[0].what ? `; or write "${exchangedSetting(file)}" into campaign.yaml` : ''

/** Whether a recording whose positions were exchanged lies near the others now, or near a station. */
function exchangedProblems(recording: PlacedRecording, others: readonly Place[]): Problem[] {
  const { file } = recording
  const begins = `exchanged as campaign.yaml says, it begins at ${degrees(recording)}`
  if (others.length === 0) {
    const message = `${begins}; no other recording and no station tells whether that is right`
    return [{ code: 'exchanged-not-checked', severity: 'warning', file, message }]
  }
  const farM = nearestM(recording, others)
  if (farM <= REACH.distanceM) return []
  const message = `${begins}, ${km(farM)} from every other recording and station, expected one within ${km(REACH.distanceM)}`
  const hint = 'Take it out of exchanged_positions if its positions are right as they stand.'
  return [{ code: 'exchanged-position-far', severity: 'error', file, message, hint }]
}

/** Stations and recordings that lie elsewhere unless latitude and longitude are exchanged, or a sign is changed. */
export function placeProblems(recordings: readonly PlacedRecording[], stations: readonly StationSeries[]): Problem[] {
  const placed = stations.filter(({ station }) => !station.onRoad && Number.isFinite(station.latitude))
  const ofStations = placed.map(({ station }) => station)
  const problems: Problem[] = []
  const odd = new Set<PlacedRecording>()
  for (const recording of recordings) {
    if (recording.isExchanged) {
      const asWritten = recordings.filter(({ isExchanged }) => !isExchanged)
      problems.push(...exchangedProblems(recording, [...asWritten, ...ofStations]))
      continue
    }
    const others = recordings.filter((other) => other !== recording)
    // Of two recordings that lie apart either may be the wrong one: several stations decide, or nothing.
    const found = changeFor(recording, others.length > 1 ? others : placed.length > 1 ? ofStations : [])
    if (!found) continue
    odd.add(recording)
    problems.push({
      code: 'track-place-doubtful',
      severity: 'warning',
      file: recording.file,
      message: `it begins at ${degrees(recording)}, ${km(found.beforeM)} from ${others.length > 1 ? 'every other recording' : 'every station'}; with ${found.what} it would be ${km(found.afterM)} from one`,
      hint: `Export it again with ${degrees(found.place)}; of a table name the columns lat and lon as they are${setting(found.what, recording.file)}. Nothing was changed.`,
    })
  }
  const rest = recordings.filter((recording) => !odd.has(recording))
  for (const { station, files } of placed) {
    const found = changeFor(station, rest)
    if (!found) continue
    const { latitude, longitude } = found.place
    problems.push({
      code: 'station-place-doubtful',
      severity: 'warning',
      file: files[0],
      message: `the station ${station.id} is at ${degrees(station)}, ${km(found.beforeM)} from the nearest drive; with ${found.what} it would be ${km(found.afterM)} from it`,
      hint: `Write under stations: in campaign.yaml "${station.id}: { lat: ${latitude}, lon: ${longitude} }", or name the columns lat and lon as they are. Nothing was changed.`,
    })
  }
  return problems
}
