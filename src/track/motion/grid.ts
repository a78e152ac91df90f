import type { SmoothPath } from './smoother.ts'

/** The grid's step, s; stretched by less than half a step in all so that it ends on the last fix. */
const GRID_STEP_S = 1
/** Times closer than this are one, s. */
const SAME_TIME_S = 1e-6

/** A path's Hermite curve sampled at even times: metres east and north, m/s. */
export interface GridPath {
  startTime: number
  stepS: number
  x: Float64Array
  y: Float64Array
  speedX: Float64Array
  speedY: Float64Array
}

/** Samples the cubic Hermite curve through smoothed positions and velocities. */
export function onGrid(time: Float64Array, path: SmoothPath): GridPath {
  const startTime = time[0]
  const durationS = time[time.length - 1] - startTime
  const steps = Math.max(1, Math.round(durationS / GRID_STEP_S))
  const stepS = durationS / steps
  const column = () => new Float64Array(steps + 1)
  const grid: GridPath = { startTime, stepS, x: column(), y: column(), speedX: column(), speedY: column() }
  for (let k = 0, i = 0; k <= steps; k++) {
    const t = Math.min(startTime + k * stepS, time[time.length - 1])
    while (i + 2 < time.length && time[i + 1] <= t) i++
    const dt = time[i + 1] - time[i]
    const u = (t - time[i]) / dt
    const h = u * u * (3 - 2 * u)
    const a = u * (1 - u) * (1 - u) * dt
    const b = -u * u * (1 - u) * dt
    const dh = (6 * u * (1 - u)) / dt
    const da = (1 - u) * (1 - 3 * u)
    const db = u * (3 * u - 2)
    const dx = path.x[i + 1] - path.x[i]
    const dy = path.y[i + 1] - path.y[i]
    grid.x[k] = path.x[i] + h * dx + a * path.vx[i] + b * path.vx[i + 1]
    grid.y[k] = path.y[i] + h * dy + a * path.vy[i] + b * path.vy[i + 1]
    grid.speedX[k] = dh * dx + da * path.vx[i] + db * path.vx[i + 1]
    grid.speedY[k] = dh * dy + da * path.vy[i] + db * path.vy[i + 1]
  }
  return grid
}

/**
 * 1 for grid samples in a gap: those between its fixes, or the first after it where there are none; and a fix between
 * two gaps.
 * @param cut 1 for each fix after which a gap begins
 */
export function gapSamples(grid: GridPath, time: Float64Array, cut: Uint8Array): Uint8Array {
  const inside = new Uint8Array(grid.x.length)
  for (let row = 0; row < cut.length; row++) {
    if (!cut[row]) continue
    const first = Math.floor((time[row] - grid.startTime + SAME_TIME_S) / grid.stepS) + 1
    const past = Math.ceil((time[row + 1] - grid.startTime - SAME_TIME_S) / grid.stepS)
    inside.fill(1, row > 0 && cut[row - 1] ? first - 1 : first, Math.max(past, first + 1))
  }
  return inside
}

/** Puts the samples between the fixes on both sides of a gap on the straight line that joins them. */
export function ontoChords(grid: GridPath, time: Float64Array, path: SmoothPath, cut: Uint8Array): void {
  for (let row = 0; row < cut.length; row++) {
    if (!cut[row]) continue
    const first = Math.ceil((time[row] - grid.startTime) / grid.stepS)
    for (let k = first; grid.startTime + k * grid.stepS < time[row + 1]; k++) {
      const u = (grid.startTime + k * grid.stepS - time[row]) / (time[row + 1] - time[row])
      grid.x[k] = path.x[row] + u * (path.x[row + 1] - path.x[row])
      grid.y[k] = path.y[row] + u * (path.y[row + 1] - path.y[row])
    }
  }
}

/** Rows of a path within a stretch of the grid, both ends included: [first, past the last]. */
export function rowsWithin(
  grid: GridPath,
  time: Float64Array,
  from: number,
  to: number,
  start: number,
): [number, number] {
  const fromTime = grid.startTime + from * grid.stepS - SAME_TIME_S
  const toTime = grid.startTime + to * grid.stepS + SAME_TIME_S
  let first = start
  while (first < time.length && time[first] < fromTime) first++
  let past = first
  while (past < time.length && time[past] <= toTime) past++
  return [first, past]
}
