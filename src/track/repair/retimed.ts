import { hypotenuse } from '../../base/arithmetic.ts'
import type { GridPath } from '../motion/grid.ts'
import type { SmoothPath } from '../motion/smoother.ts'

/** A Hermite curve's length is told at so many places between two fixes. */
const PIECES = 8
/** Where the speeds bring the vehicle no further than this between two fixes, the clock tells as well, m. */
const LEAST_WAY_M = 1
/** Fixes nearer to each other than this leave nothing to tell between them, s. */
const SHORTEST_S = 2

/**
 * Puts the samples of a grid between two sparse fixes where the recorded speed says that the vehicle was on its curve from
 * one to the other. At the fixes themselves it stays where it was. Samples in gaps stay.
 * @param saidM how far the speeds had brought the vehicle at each sample of the grid
 * @param cut 1 for each fix after which a gap begins
 */
export function retimed(
  grid: GridPath,
  { time, path, cut }: { time: Float64Array; path: SmoothPath; cut: Uint8Array },
  saidM: Float64Array,
): void {
  const saidAt = (t: number): number => {
    const k = Math.min(saidM.length - 1, Math.max(0, (t - grid.startTime) / grid.stepS))
    const below = Math.min(saidM.length - 2, Math.floor(k))
    return saidM[below] + (k - below) * (saidM[below + 1] - saidM[below])
  }
  for (let i = 0; i + 1 < time.length; i++) {
    const dt = time[i + 1] - time[i]
    if (cut[i] || dt <= SHORTEST_S) continue
    const [from, to] = [saidAt(time[i]), saidAt(time[i + 1])]
    if (!(to - from > LEAST_WAY_M)) continue
    const curve = curveOf(path, i, dt)
    const first = Math.ceil((time[i] - grid.startTime) / grid.stepS)
    for (let k = first; k < grid.x.length && grid.startTime + k * grid.stepS < time[i + 1]; k++) {
      place(grid, k, curve, Math.min(1, Math.max(0, (saidM[k] - from) / (to - from))))
    }
  }
}

/** The curve from a fix to the next as a line of pieces, with the length up to each. */
interface Curve {
  x: Float64Array
  y: Float64Array
  lengthM: Float64Array
}

function curveOf({ x, y, vx, vy }: SmoothPath, i: number, dt: number): Curve {
  const curve = {
    x: new Float64Array(PIECES + 1),
    y: new Float64Array(PIECES + 1),
    lengthM: new Float64Array(PIECES + 1),
  }
  for (let n = 0; n <= PIECES; n++) {
    const u = n / PIECES
    curve.x[n] = hermite(x, vx, i, dt, u)
    curve.y[n] = hermite(y, vy, i, dt, u)
    if (n > 0)
      curve.lengthM[n] = curve.lengthM[n - 1] + hypotenuse(curve.x[n] - curve.x[n - 1], curve.y[n] - curve.y[n - 1])
  }
  return curve
}

/** Sets a sample to the place after a share of a curve's length, and its direction to the curve's there. */
function place(grid: GridPath, k: number, { x, y, lengthM }: Curve, share: number): void {
  const wanted = share * lengthM[PIECES]
  let n = 0
  while (n + 2 <= PIECES && lengthM[n + 1] < wanted) n++
  const length = lengthM[n + 1] - lengthM[n]
  const within = length > 0 ? (wanted - lengthM[n]) / length : 0
  const [dx, dy] = [x[n + 1] - x[n], y[n + 1] - y[n]]
  grid.x[k] = x[n] + within * dx
  grid.y[k] = y[n] + within * dy
  if (length < 0.01) return
  const speed = hypotenuse(grid.speedX[k], grid.speedY[k])
  grid.speedX[k] = (speed * dx) / length
  grid.speedY[k] = (speed * dy) / length
}

function hermite(value: Float64Array, slope: Float64Array, i: number, dt: number, u: number): number {
  const h = u * u * (3 - 2 * u)
  const a = u * (1 - u) * (1 - u) * dt
  const b = -u * u * (1 - u) * dt
  return value[i] + h * (value[i + 1] - value[i]) + a * slope[i] + b * slope[i + 1]
}
