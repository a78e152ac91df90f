/** A rectangle on the map, degrees, WGS 84. */
export interface Box {
  southDeg: number
  westDeg: number
  northDeg: number
  eastDeg: number
}

/** A grid of heights, row after row from north to south, each from west to east. */
export interface TerrainTile {
  /** Path of the file it comes from. */
  file: string
  /** Place of the first height, degrees. */
  northDeg: number
  westDeg: number
  /** From one height to the next, degrees, positive. */
  stepLatitudeDeg: number
  stepLongitudeDeg: number
  rows: number
  columns: number
  /** Metres, `columns` × `rows`. */
  heightM: Int16Array | Float32Array
  /** The value that stands for "not known" in an `Int16Array`; a `Float32Array` has NaN there. */
  voidM: number
  /** What the heights are above: the geoid (mean sea level) or the ellipsoid, up to 100 m apart. */
  level: 'geoid' | 'ellipsoid'
}

/** No land lies below or above this, m (the shore of the Dead Sea at -430, Mount Everest at 8849). */
export const LAND_M = { lowest: -500, highest: 9000 } as const

export const overlaps = (a: Box, b: Box): boolean =>
  a.southDeg <= b.northDeg && b.southDeg <= a.northDeg && a.westDeg <= b.eastDeg && b.westDeg <= a.eastDeg

/** The box around places, degrees. */
export function boxAround(latitude: Float64Array, longitude: Float64Array): Box {
  const [southDeg, northDeg] = rangeOf(latitude)
  const [westDeg, eastDeg] = rangeOf(longitude)
  return { southDeg, westDeg, northDeg, eastDeg }
}

function rangeOf(values: Float64Array): [least: number, most: number] {
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let i = 0; i < values.length; i++) {
    least = Math.min(least, values[i])
    most = Math.max(most, values[i])
  }
  return [least, most]
}

/** Where no height exists on earth it becomes "not known"; returns a warning with the count, or nothing. */
export function withoutImpossible(tile: TerrainTile): { code: string; severity: 'warning'; message: string }[] {
  const { heightM, voidM } = tile
  let count = 0
  for (let i = 0; i < heightM.length; i++) {
    if (heightM[i] === voidM || Number.isNaN(heightM[i])) continue
    if (heightM[i] >= LAND_M.lowest && heightM[i] <= LAND_M.highest) continue
    heightM[i] = voidM
    count++
  }
  if (count === 0) return []
  const message = `${count} of ${heightM.length} heights lie outside ${LAND_M.lowest} to ${LAND_M.highest} m and are taken as not known`
  return [{ code: 'tile-heights', severity: 'warning', message }]
}
