import { present } from '../base/present.ts'
import { sum } from '../base/statistics.ts'
import type { TerrainTile } from '../read/terrain/types.ts'
import { smoothElevation } from '../track/elevation.ts'
import { fillHoles, smoothed } from './even-columns.ts'
import type { Path, TerrainWitness } from './types.ts'

/** Half the length over which the terrain's grade is judged, m. */
const GRADE_REACH_M = 50
/**
 * Where the terrain's grade along the road differs by more than this from the drives', or where no drive has heights is
 * steeper than this, the road does not lie on the ground: bridge, tunnel, cutting. Of a 1-second model, whose heights
 * scatter by some 3 m, about 2 % of grade are noise; few public roads exceed 20 %. Common practice, no source.
 */
const OFF_DRIVES_GRADE = 0.08
const STEEPEST_ROAD_GRADE = 0.2
/** A steep flank followed by its counterpart within this belongs to one bridge or tunnel, m. */
const LONGEST_SPAN_M = 1000
/** Drives that disagree with the terrain over more than this share of the road are no judge of it. */
const MOST_DOUBTED_SHARE = 0.3

/**
 * The terrain's height at a place, m, bilinear between the four heights around it; the outermost cells go on for half a
 * step, to where the next tile's begin.
 * @param latitudeDeg degrees north
 * @param longitudeDeg degrees east
 * @returns NaN outside the tile and beside a height that is not known
 */
export function heightAt(tile: TerrainTile, latitudeDeg: number, longitudeDeg: number): number {
  const { rows, columns } = tile
  const y = onGrid((tile.northDeg - latitudeDeg) / tile.stepLatitudeDeg, rows)
  const x = onGrid((longitudeDeg - tile.westDeg) / tile.stepLongitudeDeg, columns)
  if (Number.isNaN(x) || Number.isNaN(y)) return Number.NaN
  const top = Math.max(0, Math.min(Math.floor(y), rows - 2))
  const left = Math.max(0, Math.min(Math.floor(x), columns - 2))
  const [down, right] = [y - top, x - left]
  let sum = 0
  for (const [row, column, weight] of [
    [top, left, (1 - down) * (1 - right)],
    [top, left + 1, (1 - down) * right],
    [top + 1, left, down * (1 - right)],
    [top + 1, left + 1, down * right],
  ]) {
    if (weight === 0) continue
    const value = tile.heightM[row * columns + column]
    if (value === tile.voidM) return Number.NaN
    sum += weight * value
  }
  return sum
}

/** A position in steps from the first of `count` heights; NaN more than half a step outside. */
function onGrid(position: number, count: number): number {
  if (!(position >= -0.5 && position <= count - 0.5)) return Number.NaN
  return count === 1 ? 0 : position
}

/**
 * The terrain under a route's reference path, as one more witness of its elevation. Nothing is known in gaps of the
 * recording, where nobody knows the road.
 * @param path the route's reference; its own distance is the axis
 * @param tiles of one source alone are used, the first in the list that knows nearly as much as any; where several of its
 *   tiles know a place the first answers; tiles above the ellipsoid only count alone
 * @returns null when no tile knows any of the road
 */
export function terrainWitness(path: Path, tiles: TerrainTile[]): TerrainWitness | null {
  const overGeoid = tiles.filter((tile) => tile.level === 'geoid')
  const asked = overGeoid.length > 0 ? overGeoid : tiles
  const level = overGeoid.length > 0 ? 'geoid' : 'ellipsoid'
  const found = sourcesOf(asked).map((source) => heightsUnder(path, source))
  const most = Math.max(0, ...found.map(({ known }) => known))
  if (most === 0) return null
  const { elevationM, known } = present(found.find((one) => one.known >= ENOUGH_OF_BEST * most))
  return { axisM: path.distanceM, elevationM, level, knownShare: known / elevationM.length }
}

/** The first source in the list that knows so much of what the best one knows is taken. */
const ENOUGH_OF_BEST = 0.98

/**
 * Tiles of one kind each, in the order of the list. Two models of the terrain have different levels (EGM96, EGM2008) and
 * different surfaces (with trees, without): a profile that changes from one to the other has steps that no road has.
 */
function sourcesOf(tiles: readonly TerrainTile[]): TerrainTile[][] {
  const sources = new Map<string, TerrainTile[]>()
  for (const tile of tiles) {
    const form = tile.heightM instanceof Int16Array ? 'whole metres' : 'fractions'
    const key = `${form} ${Math.round(3_600_000 * tile.stepLatitudeDeg)}`
    sources.set(key, [...(sources.get(key) ?? []), tile])
  }
  return [...sources.values()]
}

/** The heights of one source under a path, NaN where it knows none. */
function heightsUnder(path: Path, tiles: readonly TerrainTile[]): { elevationM: Float64Array; known: number } {
  let known = 0
  const elevationM = path.latitude.map((latitude, i) => {
    if (path.inGap[i] === 1) return Number.NaN
    for (const tile of tiles) {
      const height = heightAt(tile, latitude, path.longitude[i])
      if (Number.isNaN(height)) continue
      known++
      return height
    }
    return Number.NaN
  })
  return { elevationM, known }
}

/**
 * The road's height from the terrain's: bridges, tunnels, cuttings and places without terrain are bridged in the shape
 * that the drives give, or by a straight line where no drive has heights; then the terrain's scatter about that shape is
 * smoothed like a drive's.
 * @param axisM evenly spaced, m
 * @param terrainM heights on the axis, NaN where not known
 * @param drivesM the drives' own profile on any datum, without NaN; null where no drive has heights
 * @returns m on the terrain's datum, without NaN
 */
export function roadOnTerrain(axisM: Float64Array, terrainM: Float64Array, drivesM: Float64Array | null): Float64Array {
  const spacingM = axisM[1] - axisM[0]
  const shape = drivesM ?? new Float64Array(axisM.length)
  const beyondM = terrainM.map((height, i) => height - shape[i])
  let off = offTheGround(beyondM, spacingM, drivesM ? OFF_DRIVES_GRADE : STEEPEST_ROAD_GRADE)
  if (drivesM && sum(off) > MOST_DOUBTED_SHARE * off.length) {
    off = offTheGround(terrainM, spacingM, STEEPEST_ROAD_GRADE)
  }
  for (let i = 0; i < off.length; i++) if (off[i] === 1) beyondM[i] = Number.NaN
  fillHoles(beyondM)
  return smoothElevation(axisM, beyondM, axisM).map((beyond, i) => beyond + shape[i])
}

interface Flank {
  from: number
  to: number
  rises: boolean
}

/** 1 on the flanks that are steeper than the limit, and between a flank and its counterpart; 0 elsewhere. */
function offTheGround(heightM: Float64Array, spacingM: number, limit: number): Uint8Array {
  const off = new Uint8Array(heightM.length)
  const reach = Math.max(1, Math.round(GRADE_REACH_M / spacingM))
  const flanks = flanksOf(smoothed(heightM, reach), reach, spacingM, limit)
  const widen = 2 * reach
  const mark = (from: number, to: number): void => {
    off.fill(1, Math.max(0, from - widen), Math.min(off.length, to + widen + 1))
  }
  for (let f = 0; f < flanks.length; f++) {
    const [flank, next] = [flanks[f], flanks[f + 1]]
    const paired = next && next.rises !== flank.rises && (next.from - flank.to) * spacingM <= LONGEST_SPAN_M
    mark(flank.from, paired ? next.to : flank.to)
    if (paired) f++
  }
  return off
}

function flanksOf(heightM: Float64Array, reach: number, spacingM: number, limit: number): Flank[] {
  const flanks: Flank[] = []
  for (let i = reach; i < heightM.length - reach; i++) {
    const grade = (heightM[i + reach] - heightM[i - reach]) / (2 * reach * spacingM)
    if (!(Math.abs(grade) > limit)) continue
    const last = flanks.at(-1)
    if (last && last.rises === grade > 0 && i - last.to <= reach) last.to = i
    else flanks.push({ from: i, to: i, rises: grade > 0 })
  }
  return flanks
}
