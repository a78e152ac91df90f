import type { SharedDraws } from '../demand/shared-draws.ts'
import { type MixedSide, mixedDemands } from './mixed-demands.ts'
import { EXCHANGED, type Factor, shapleyShares } from './shapley.ts'

/** What air density, wind, rolling temperature and speed have made of a difference by the end of each part of the road. */
export type SharesAlong = Record<Exclude<Factor, 'route'>, Float64Array>

/**
 * How a pair's conditions difference comes about along the road: each factor's share summed up from the start, percent of
 * the whole demand, every uncertain input at its best estimate. The last values are the shares of the whole road.
 *
 * @param a with its places those of `bestAtAllCells`, as b's
 * @param parts into how many even parts the road is cut
 */
export function sharesAlong(a: MixedSide, b: MixedSide, shared: SharedDraws, parts: number): SharesAlong {
  const cells = a.places.cells.length
  const bounds = Array.from({ length: parts + 1 }, (_, i) => Math.round((i * cells) / parts))
  const demands = bounds
    .slice(1)
    .map((to, i) => mixedDemands(between(a, bounds[i], to), between(b, bounds[i], to), shared))
  const wholeJ = demands.reduce((sum, demand) => sum + demand[0], 0)
  const sums = EXCHANGED.map(() => 0)
  const out: SharesAlong = {
    airDensity: new Float64Array(parts),
    wind: new Float64Array(parts),
    rollingTemperature: new Float64Array(parts),
    speed: new Float64Array(parts),
  }
  for (const [part, demand] of demands.entries()) {
    // A part may need nothing: downhill, or where one of the two did not drive.
    const shares = demand[0] > 0 ? shapleyShares(demand) : EXCHANGED.map(() => 0)
    for (const [f, share] of shares.entries()) sums[f] += (share * demand[0]) / wholeJ
    for (const [f, factor] of EXCHANGED.entries()) out[factor as keyof SharesAlong][part] = sums[f]
  }
  return out
}

/** A side on some of its cells, in its only column. */
function between({ axis, places, rollingJPerKg }: MixedSide, from: number, to: number): MixedSide {
  return {
    axis,
    places: {
      ...places,
      cells: places.cells.subarray(from, to),
      headMps: places.headMps.subarray(from, to),
      crossMps: places.crossMps.subarray(from, to),
      gustMps: places.gustMps.subarray(from, to),
    },
    rollingJPerKg: rollingJPerKg.subarray(from, to),
  }
}
