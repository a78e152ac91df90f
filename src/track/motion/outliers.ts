import { hypotenuse, square } from '../../base/arithmetic.ts'
import { localFrame, onFlatMap } from '../geodesy.ts'
import { kept } from '../repair/order.ts'
import type { Fixes, Repairs } from '../types.ts'
import { heaviestChain } from './chain.ts'
import type { Places } from './smoother.ts'

/** Faster than any road vehicle is driven in a test, m/s. */
const TOP_SPEED_MPS = 80
/**
 * Step that position noise alone may make: at least this, m, and so many standard deviations of the device's fixes (an
 * extrapolated position is off by 2.4 of them per axis), counted up to a device of 30 m.
 */
const NOISE_STEP_M = 15
const NOISE_STEP_IN_SD = 8
const NOISIEST_M = 30
/** Hardest change of speed that tyres allow on a dry road, m/s² (about 0.8 g). */
const HARDEST_ACCELERATION_MPS2 = 8
/** A run of points that fits neither side is thrown out when it has fewer points than two joins cost. */
const MISFIT_COST_POINTS = 10

/** Lowest dry land is the Dead Sea's shore (-430 m), the highest roads reach below 6,000 m. */
const LOWEST_ELEVATION_M = -500
const HIGHEST_ELEVATION_M = 9000
/** Step of elevation that noise alone may make, m, and the steepest road, m/m. */
const ELEVATION_NOISE_STEP_M = 15
const STEEPEST_GRADE = 0.35
/** A road passes through all heights between its own: few values (share) beyond a hole this wide, m, are not the road's. */
const HOLE_M = 60
const FEW = 0.05

/**
 * Whether position j may follow position i, by top speed and by the acceleration that the step would take.
 * @param noiseM standard deviation of the device's fixes per axis, m; 0 where it is not known yet
 */
export function plausibleStep({ time, x, y }: Places, noiseM: number): (i: number, j: number) => boolean {
  const noiseStepM = Math.max(NOISE_STEP_M, NOISE_STEP_IN_SD * Math.min(noiseM, NOISIEST_M))
  const slack = (dt: number, dtSpeed: number) => noiseStepM + 0.5 * HARDEST_ACCELERATION_MPS2 * dt * (dt + dtSpeed)
  const deviates = (i: number, j: number, a: number, b: number) => {
    const dt = time[j] - time[i]
    const dtSpeed = time[b] - time[a]
    const dx = x[j] - x[i] - ((x[b] - x[a]) / dtSpeed) * dt
    const dy = y[j] - y[i] - ((y[b] - y[a]) / dtSpeed) * dt
    return dx * dx + dy * dy > square(slack(dt, dtSpeed))
  }
  return (i: number, j: number): boolean => {
    const reach = TOP_SPEED_MPS * (time[j] - time[i]) + noiseStepM
    if (square(x[j] - x[i]) + square(y[j] - y[i]) > reach * reach) return false
    if (i > 0 && !deviates(i, j, i - 1, i)) return true
    return j + 1 < time.length && !deviates(i, j, j, j + 1)
  }
}

/** Leaves out spikes: points, or short runs of points, that the vehicle cannot have reached and left again. */
export function withoutSpikes(fixes: Fixes, repairs: Repairs): Fixes {
  if (fixes.time.length < 3) return fixes
  const frame = localFrame(fixes.latitude[0], fixes.longitude[0])
  const places = { time: fixes.time, ...onFlatMap(frame, fixes.latitude, fixes.longitude) }
  const keep = heaviestChain(places.time.length, MISFIT_COST_POINTS, plausibleStep(places, 0))
  const likely = kept(fixes, keep)
  repairs.spikes += fixes.time.length - likely.time.length
  return likely
}

/** The range of a track's possible elevations (m), without a few that a wide hole parts from the rest. */
function unbrokenRange(elevation: Float64Array): [lowest: number, highest: number] {
  const whole = possibleRange(elevation)
  if (!whole.mayHaveHole) return [whole.lowest, whole.highest]
  const sorted = elevation.filter((e) => e >= LOWEST_ELEVATION_M && e <= HIGHEST_ELEVATION_M).sort()
  const few = Math.floor(FEW * sorted.length)
  let [low, high] = [0, sorted.length - 1]
  for (let i = 1; i <= few; i++) {
    if (sorted[i] - sorted[i - 1] > HOLE_M) low = i
    if (sorted[sorted.length - i] - sorted[sorted.length - 1 - i] > HOLE_M) high = sorted.length - 1 - i
  }
  return [sorted[low], sorted[high]]
}

/** Lowest and highest possible elevation, and whether some bin of half a hole's width between them is empty. */
function possibleRange(elevation: Float64Array) {
  const bins = new Uint8Array(Math.ceil((HIGHEST_ELEVATION_M - LOWEST_ELEVATION_M) / (HOLE_M / 2)) + 1)
  let [lowest, highest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const e of elevation) {
    if (!(e >= LOWEST_ELEVATION_M && e <= HIGHEST_ELEVATION_M)) continue
    if (e < lowest) lowest = e
    if (e > highest) highest = e
    bins[Math.floor((e - LOWEST_ELEVATION_M) / (HOLE_M / 2))] = 1
  }
  return { lowest, highest, mayHaveHole: bins.subarray(bins.indexOf(1), bins.lastIndexOf(1) + 1).includes(0) }
}

/** Empties (NaN) elevations that are impossible or that no road leads to and from. */
export function withoutElevationOutliers(fixes: Fixes, repairs: Repairs): Fixes {
  const elevation = fixes.elevation.slice()
  const [lowest, highest] = unbrokenRange(elevation)
  const rows = new Int32Array(elevation.length)
  let count = 0
  for (let row = 0; row < elevation.length; row++) {
    if (elevation[row] >= lowest && elevation[row] <= highest) rows[count++] = row
  }
  const frame = localFrame(fixes.latitude[0] ?? 0, fixes.longitude[0] ?? 0)
  const { x, y } = onFlatMap(frame, fixes.latitude, fixes.longitude)
  const keep = heaviestChain(count, MISFIT_COST_POINTS, (i, j) => {
    const [from, to] = [rows[i], rows[j]]
    const steepM = Math.abs(elevation[to] - elevation[from]) - ELEVATION_NOISE_STEP_M
    return steepM <= 0 || steepM <= STEEPEST_GRADE * hypotenuse(x[to] - x[from], y[to] - y[from])
  })
  const good = new Uint8Array(elevation.length)
  for (let i = 0; i < count; i++) good[rows[i]] = keep[i]
  for (let row = 0; row < elevation.length; row++) {
    if (good[row] || Number.isNaN(elevation[row])) continue
    elevation[row] = Number.NaN
    repairs.elevationOutliers++
  }
  return { ...fixes, elevation }
}
