import { turnDegrees } from '../../base/units.ts'
import { eastM, type LocalFrame, localFrame, northM, onFlatMap } from '../../track/geodesy.ts'
import type { Path } from '../types.ts'

/** Passing a place again in the same direction: within this of the first course, degrees. */
const SAME_HEADING_DEG = 45
/** Two passes of one place lie at least this far apart along the road, m: a shorter circle is a car park. */
const LEAST_LAP_M = 300

/** Headings of so many points before and after the gate are looked at. */
const TURN_POINTS = 2

/** Cells are numbered in one row of numbers: a path of ten thousand kilometres fits. */
const FARTHEST_CELL = 1_048_576
const CELLS_A_ROW = 4_194_304

/** A place on a road and the direction in which it is passed. */
export interface Gate {
  latitude: number
  longitude: number
  /** Degrees true; NaN where any direction counts. */
  courseDeg: number
  /** Half-width of the band within which a pass counts, m. */
  radiusM: number
}

const NONE: readonly number[] = []

/**
 * How far back along the path the vehicle last passed each of its points in the same direction, m; NaN where it had not
 * been before. Takes time in proportion to the points.
 */
export function lastPasses(path: Path): Float64Array {
  const count = path.latitude.length
  const { x, y } = flatMapOf(path)
  const cellM = Math.max(path.corridorM, path.spacingM)
  const lagM = new Float64Array(count).fill(Number.NaN)
  const cells = new Map<number, number[]>()
  const cellOf = (column: number, row: number): number => (column + FARTHEST_CELL) * CELLS_A_ROW + row + FARTHEST_CELL
  for (let i = 0; i < count; i++) {
    if (path.inGap[i]) continue
    const [column, row] = [Math.floor(x[i] / cellM), Math.floor(y[i] / cellM)]
    let last = -1
    for (let c = column - 1; c <= column + 1; c++) {
      for (let r = row - 1; r <= row + 1; r++) {
        const members = cells.get(cellOf(c, r)) ?? NONE
        // The latest pass is wanted: members stand in the order in which they were passed.
        for (let m = members.length - 1; m >= 0; m--) {
          const j = members[m]
          if (j <= last) break
          if (path.distanceM[i] - path.distanceM[j] < LEAST_LAP_M) continue
          const [dx, dy] = [x[i] - x[j], y[i] - y[j]]
          if (dx * dx + dy * dy > path.corridorM * path.corridorM) continue
          if (Math.abs(turnDegrees(path.courseDeg[i], path.courseDeg[j])) > SAME_HEADING_DEG) continue
          last = j
          break
        }
      }
    }
    if (last >= 0) lagM[i] = path.distanceM[i] - path.distanceM[last]
    const own = cells.get(cellOf(column, row))
    if (own) own.push(i)
    else cells.set(cellOf(column, row), [i])
  }
  return lagM
}

/** A point of a path as a gate. */
export const gateAt = (path: Path, i: number): Gate => ({
  latitude: path.latitude[i],
  longitude: path.longitude[i],
  courseDeg: path.courseDeg[i],
  radiusM: path.corridorM,
})

/** Paths on a flat map: dozens of gates are tried on one. */
const flatMaps = new WeakMap<Path, FlatPath>()

interface FlatPath {
  frame: LocalFrame
  x: Float64Array
  y: Float64Array
}

function flatMapOf(path: Path): FlatPath {
  const known = flatMaps.get(path)
  if (known) return known
  const frame = localFrame(path.latitude[0], path.longitude[0])
  const made = { frame, ...onFlatMap(frame, path.latitude, path.longitude) }
  flatMaps.set(path, made)
  return made
}

/** Distances along a path at which a gate was passed, m, rising: the nearest point of each pass. */
export function passesOf(gate: Gate, path: Path): number[] {
  const { frame, x, y } = flatMapOf(path)
  const [gateX, gateY] = [eastM(frame, gate.longitude), northM(frame, gate.latitude)]
  const radiusM = Math.max(gate.radiusM, path.corridorM)
  const passes: number[] = []
  for (let i = 0; i < x.length; i++) {
    if (Math.abs(x[i] - gateX) > radiusM || !isNear(i)) continue
    let nearest = i
    while (i + 1 < x.length && isNear(i + 1)) {
      i++
      if (squareAt(i) < squareAt(nearest)) nearest = i
    }
    const at = path.distanceM[nearest] + alongTo(nearest)
    const last = passes[passes.length - 1]
    if (last === undefined || at - last >= LEAST_LAP_M) passes.push(at)
  }
  return passes

  function squareAt(i: number): number {
    const [dx, dy] = [x[i] - gateX, y[i] - gateY]
    return dx * dx + dy * dy
  }
  function isNear(i: number): boolean {
    if (path.inGap[i] || squareAt(i) > radiusM * radiusM) return false
    if (Number.isNaN(gate.courseDeg)) return true
    // Who turns in just before the gate, or off just behind it, has passed it too.
    const courses = path.courseDeg.subarray(Math.max(0, i - TURN_POINTS), i + TURN_POINTS + 1)
    return courses.some((course) => Math.abs(turnDegrees(gate.courseDeg, course)) <= SAME_HEADING_DEG)
  }
  /** From a point to where the path is nearest to the gate, m along the path, within a step to either side. */
  function alongTo(i: number): number {
    const [from, to] = [Math.max(0, i - 1), Math.min(x.length - 1, i + 1)]
    const [dx, dy] = [x[to] - x[from], y[to] - y[from]]
    const length = Math.sqrt(dx * dx + dy * dy)
    if (length === 0) return 0
    const along = -((x[i] - gateX) * dx + (y[i] - gateY) * dy) / length
    const [back, ahead] = [path.distanceM[i] - path.distanceM[from], path.distanceM[to] - path.distanceM[i]]
    return Math.min(ahead, Math.max(-back, along))
  }
}
