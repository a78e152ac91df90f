import { hypotenuse } from '../base/arithmetic.ts'
import type { GridPath } from './grid.ts'
import type { SmoothPath } from './smoother.ts'

/** A Hermite curve's length is told at so many places between two fixes. */
const PIECES = 4

/**
 * Puts the samples of a grid where the vehicle was on its path by the way that it had gone: between sparse fixes the
 * recorded speed knows that better than the clock. Samples in gaps stay.
 * @param reachedM way along the path at each fix
 * @param wayM way at each sample
 * @param cut 1 for each fix after which a gap begins
 */
export function retimed(
  grid: GridPath,
  { time, path, reachedM, cut }: { time: Float64Array; path: SmoothPath; reachedM: Float64Array; cut: Uint8Array },
  wayM: Float64Array,
  inGap: Uint8Array,
): void {
  let i = 0
  let latest = Number.NEGATIVE_INFINITY
  for (let k = 0; k < grid.x.length; k++) {
    const t = grid.startTime + k * grid.stepS
    while (i + 2 < time.length && time[i + 1] <= t) {
      // Behind a gap the way begins anew.
      if (cut[i]) latest = Number.NEGATIVE_INFINITY
      i++
    }
    if (inGap[k] || cut[i]) continue
    const s = Math.max(latest, wayM[k])
    latest = s
    // The fixes around the place: never across a gap.
    let at = i
    while (at > 0 && !cut[at - 1] && s < reachedM[at]) at--
    while (at + 2 < time.length && !cut[at + 1] && s > reachedM[at + 1]) at++
    place(grid, k, path, at, time[at + 1] - time[at], s - reachedM[at])
  }
}

/** Sets a sample to the place on the curve from fix `at` to the next that lies so far along it, m. */
function place(grid: GridPath, k: number, path: SmoothPath, at: number, dt: number, aheadM: number): void {
  let [fromX, fromY, left] = [path.x[at], path.y[at], Math.max(0, aheadM)]
  for (let n = 1; n <= PIECES; n++) {
    const u = n / PIECES
    const [x, y] = [hermite(path.x, path.vx, at, dt, u), hermite(path.y, path.vy, at, dt, u)]
    const length = hypotenuse(x - fromX, y - fromY)
    if (left <= length || n === PIECES) {
      const share = length > 0 ? Math.min(1, left / length) : 0
      grid.x[k] = fromX + share * (x - fromX)
      grid.y[k] = fromY + share * (y - fromY)
      if (length > 0.01) {
        const speed = hypotenuse(grid.speedX[k], grid.speedY[k])
        grid.speedX[k] = (speed * (x - fromX)) / length
        grid.speedY[k] = (speed * (y - fromY)) / length
      }
      return
    }
    left -= length
    ;[fromX, fromY] = [x, y]
  }
}

function hermite(value: Float64Array, slope: Float64Array, i: number, dt: number, u: number): number {
  const h = u * u * (3 - 2 * u)
  const a = u * (1 - u) * (1 - u) * dt
  const b = -u * u * (1 - u) * dt
  return value[i] + h * (value[i + 1] - value[i]) + a * slope[i] + b * slope[i + 1]
}
