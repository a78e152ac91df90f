import { square } from '../base/arithmetic.ts'
import { sum } from '../base/statistics.ts'
import { stepM } from '../track/geodesy.ts'

/** A height that nobody stated, and how far off it may be. */
export interface EstimatedHeight {
  elevationM: number
  /** Standard deviation, m. */
  elevationSdM: number
  from: 'terrain' | 'stations nearby'
}

interface HighPlace {
  latitude: number
  longitude: number
  elevationM: number
}

const FARTHEST_M = 50_000
const MOST_NEIGHBOURS = 8

/**
 * The height of a place from up to eight stations within 50 km, weighted by the inverse of their distance. Its doubt grows with
 * their spread and with the distance of the nearest. The factors are such that, of stations whose heights are known, seven
 * in ten or more lie within one standard deviation (`test/air/station-height.test.ts`).
 * @returns null where no station with a height is near
 */
export function heightFromNeighbours(
  latitude: number,
  longitude: number,
  stations: readonly HighPlace[],
): EstimatedHeight | null {
  const near = stations
    .filter((one) => Math.abs(one.latitude - latitude) < 0.5 && !Number.isNaN(one.elevationM))
    .map((one) => ({ ...one, distanceM: stepM(latitude, longitude, one.latitude, one.longitude) }))
    .filter(({ distanceM }) => distanceM < FARTHEST_M)
    .sort((a, b) => a.distanceM - b.distanceM)
    .slice(0, MOST_NEIGHBOURS)
  if (near.length === 0) return null
  const weights = near.map(({ distanceM }) => 1 / (distanceM + 1000))
  const total = sum(weights)
  const mean = sum(near.map(({ elevationM }, i) => (weights[i] / total) * elevationM))
  const spread = Math.sqrt(sum(near.map(({ elevationM }, i) => (weights[i] / total) * square(elevationM - mean))))
  const elevationSdM = 10 + 0.7 * spread + 0.002 * near[0].distanceM
  return { elevationM: Math.round(mean), elevationSdM, from: 'stations nearby' }
}
