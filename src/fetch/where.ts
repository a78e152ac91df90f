import type { Place } from '../base/place.ts'
import type { Box } from '../read/terrain/types.ts'
import { stepM } from '../track/geodesy.ts'
import type { Where } from './types.ts'

/** Metres of a degree of latitude, rounded down: a box is never too small for it. */
const DEGREE_M = 110_000

/** The box around places, widened. */
export function boxOf(places: Where['cells'], byM: number): Box {
  const latitudes = places.map(({ latitude }) => latitude)
  const longitudes = places.map(({ longitude }) => longitude)
  const [southDeg, northDeg] = [Math.min(...latitudes), Math.max(...latitudes)]
  const byDeg = byM / DEGREE_M
  const widestLatitude = Math.min(85, Math.max(Math.abs(southDeg), Math.abs(northDeg)) + byDeg)
  const eastDeg = byDeg / Math.cos((widestLatitude * Math.PI) / 180)
  return {
    southDeg: southDeg - byDeg,
    northDeg: northDeg + byDeg,
    westDeg: Math.min(...longitudes) - eastDeg,
    eastDeg: Math.max(...longitudes) + eastDeg,
  }
}

/** Whether any place lies in a box. */
export const anyWithin = ({ cells }: Where, box: Box): boolean =>
  cells.some(
    ({ latitude, longitude }) =>
      latitude >= box.southDeg && latitude <= box.northDeg && longitude >= box.westDeg && longitude <= box.eastDeg,
  )

/** From a place to the nearest of the cells' centres, m. */
export const nearestM = (place: Place, { cells }: Pick<Where, 'cells'>): number =>
  Math.min(...cells.map((cell) => stepM(place.latitude, place.longitude, cell.latitude, cell.longitude)))
