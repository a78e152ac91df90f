import type { Path } from './types.ts'

/** Side of a cell, m: with its neighbours wider than the widest band in which a path's road may lie. */
const CELL_M = 300
/** Length of a degree of latitude, m; only cells hang on it. */
const DEGREE_M = 111_200
/** Cells are numbered in one row of numbers. */
const FARTHEST_CELL = 1_048_576
const CELLS_A_ROW = 2_097_152
/** A path is asked for at so many places. */
const PROBES = 32

type PlacedPath = Pick<Path, 'latitude' | 'longitude' | 'inGap' | 'spacingM'>

/** Which of many paths pass near a place: cells, each with the numbers of the paths that touch it. */
export interface PathIndex {
  cells: Map<number, number[]>
}

export const emptyIndex = (): PathIndex => ({ cells: new Map() })

/** An index of paths, numbered by their order. */
export function indexOf(paths: PlacedPath[]): PathIndex {
  const index = emptyIndex()
  for (const [id, path] of paths.entries()) addPath(index, id, path)
  return index
}

/** Adds a path under a number. Takes time in proportion to the path's points. */
export function addPath({ cells }: PathIndex, id: number, { latitude, longitude, spacingM }: PlacedPath): void {
  const touched = new Set<number>()
  const between = Math.ceil(spacingM / (CELL_M / 2))
  const add = (lat: number, lon: number): void => {
    const row = rowOf(lat)
    const key = keyOf(row, columnOf(row, lon))
    if (touched.has(key)) return
    touched.add(key)
    const members = cells.get(key)
    if (members) members.push(id)
    else cells.set(key, [id])
  }
  for (let i = 0; i < latitude.length; i++) {
    add(latitude[i], longitude[i])
    if (i + 1 === latitude.length) break
    for (let part = 1; part < between; part++) {
      const share = part / between
      add(
        latitude[i] + share * (latitude[i + 1] - latitude[i]),
        longitude[i] + share * (longitude[i + 1] - longitude[i]),
      )
    }
  }
}

/**
 * The paths of an index that lie near a path on at least a share of its places, by their numbers, rising. None that
 * follows it on more of its length than that is missing; of the others the caller finds out.
 */
export function pathsNear({ cells }: PathIndex, path: PlacedPath, leastShare: number): number[] {
  const { latitude, longitude, inGap } = path
  const count = latitude.length
  const hits = new Map<number, { probe: number; hits: number }>()
  let asked = 0
  for (let probe = 0; probe < PROBES; probe++) {
    const i = Math.min(count - 1, Math.floor(((probe + 0.5) * count) / PROBES))
    if (inGap[i]) continue
    asked++
    const middle = rowOf(latitude[i])
    for (let row = middle - 1; row <= middle + 1; row++) {
      const column = columnOf(row, longitude[i])
      for (let c = column - 1; c <= column + 1; c++) {
        for (const id of cells.get(keyOf(row, c)) ?? NONE) {
          const seen = hits.get(id)
          if (!seen) hits.set(id, { probe, hits: 1 })
          else if (seen.probe !== probe) {
            seen.probe = probe
            seen.hits++
          }
        }
      }
    }
  }
  return [...hits]
    .filter(([, { hits: own }]) => own >= leastShare * asked)
    .map(([id]) => id)
    .sort((a, b) => a - b)
}

const NONE: readonly number[] = []

const rowOf = (latitude: number): number => Math.floor((latitude * DEGREE_M) / CELL_M)

/** Columns of a row are as wide as its cells are high. */
function columnOf(row: number, longitude: number): number {
  const latitudeRad = ((row + 0.5) * CELL_M * Math.PI) / (180 * DEGREE_M)
  return Math.floor((longitude * DEGREE_M * Math.cos(latitudeRad)) / CELL_M)
}

const keyOf = (row: number, column: number): number => (row + FARTHEST_CELL) * CELLS_A_ROW + column + FARTHEST_CELL
