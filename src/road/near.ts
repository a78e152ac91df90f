/** The pieces of a line, kept by where they begin, to be asked which of them may lie near a place. */
export interface Pieces {
  x: Float64Array
  y: Float64Array
  /** No piece reaches further than this from its beginning, m. */
  longestM: number
  cellM: number
  west: number
  south: number
  columns: number
  rows: number
  /** Where each cell's pieces begin in `members`. */
  starts: Int32Array
  members: Int32Array
  /** Room for the answer of `piecesNear`. */
  near: Int32Array
}

/** So many cells at most along either side: a road of hundreds of kilometres gets larger ones. */
const MOST_CELLS_A_SIDE = 1024

/** @param x metres east of the line's points, `y` metres north; piece i lies between points i and i + 1 */
export function piecesOf(x: Float64Array, y: Float64Array, leastCellM: number): Pieces {
  const count = x.length - 1
  let [west, east, south, north] = [x[0], x[0], y[0], y[0]]
  let longestM = 0
  for (let i = 0; i < count; i++) {
    west = Math.min(west, x[i])
    east = Math.max(east, x[i])
    south = Math.min(south, y[i])
    north = Math.max(north, y[i])
    longestM = Math.max(longestM, Math.abs(x[i + 1] - x[i]), Math.abs(y[i + 1] - y[i]))
  }
  const cellM = Math.max(leastCellM, (east - west) / MOST_CELLS_A_SIDE, (north - south) / MOST_CELLS_A_SIDE)
  const columns = Math.floor((east - west) / cellM) + 1
  const rows = Math.floor((north - south) / cellM) + 1
  const cellOf = (i: number): number => Math.floor((y[i] - south) / cellM) * columns + Math.floor((x[i] - west) / cellM)
  const starts = new Int32Array(columns * rows + 1)
  for (let i = 0; i < count; i++) starts[cellOf(i) + 1]++
  for (let cell = 0; cell < columns * rows; cell++) starts[cell + 1] += starts[cell]
  const members = new Int32Array(count)
  const next = starts.slice()
  for (let i = 0; i < count; i++) members[next[cellOf(i)]++] = i
  return { x, y, longestM, cellM, west, south, columns, rows, starts, members, near: new Int32Array(count) }
}

/**
 * The pieces whose bounding boxes meet the square of half-width `reachM` around a place, in their order.
 * @returns how many there are; they stand at the begin of `pieces.near` until it is asked again
 */
export function piecesNear(pieces: Pieces, px: number, py: number, reachM: number): number {
  const { x, y, longestM, cellM, west, south, columns, rows, starts, members, near } = pieces
  let count = 0
  const wide = reachM + longestM
  const fromColumn = Math.max(0, Math.floor((px - wide - west) / cellM))
  const toColumn = Math.min(columns - 1, Math.floor((px + wide - west) / cellM))
  const fromRow = Math.max(0, Math.floor((py - wide - south) / cellM))
  const toRow = Math.min(rows - 1, Math.floor((py + wide - south) / cellM))
  for (let row = fromRow; row <= toRow; row++) {
    for (let m = starts[row * columns + fromColumn]; m < starts[row * columns + toColumn + 1]; m++) {
      const i = members[m]
      const meets =
        (x[i] <= px + reachM || x[i + 1] <= px + reachM) &&
        (x[i] >= px - reachM || x[i + 1] >= px - reachM) &&
        (y[i] <= py + reachM || y[i + 1] <= py + reachM) &&
        (y[i] >= py - reachM || y[i + 1] >= py - reachM)
      if (!meets) continue
      let at = count++
      for (; at > 0 && near[at - 1] > i; at--) near[at] = near[at - 1]
      near[at] = i
    }
  }
  return count
}
