import type { Problem } from '../../base/problem.ts'
import { areExchanged } from '../../read/tracks/csv-log/position.ts'
import type { TrackColumns } from '../../read/types.ts'

/** The line of campaign.yaml for a file: its name in quotation marks where YAML could read it as something else. */
export function exchangedSetting(path: string): string {
  const name = /^[A-Za-z][\w./-]*$/.test(path) ? path : `'${path.replaceAll("'", "''")}'`
  return `exchanged_positions: [${name}]`
}

/** Of a track whose latitudes can only be longitudes. */
export function exchangedPlaces(
  { latitude, longitude }: Pick<TrackColumns, 'latitude' | 'longitude'>,
  path: string,
): Problem[] {
  if (!areExchanged(latitude, longitude)) return []
  const found = latitude.find((degrees) => Math.abs(degrees) > 90)
  const message = `found latitudes such as ${found}, expected -90 to 90: latitude and longitude are exchanged`
  const hint = `Write "${exchangedSetting(path)}" into campaign.yaml, or export the track again.`
  return [{ code: 'track-place-doubtful', severity: 'error', message, hint }]
}
