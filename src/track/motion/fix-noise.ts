import { power } from '../../base/arithmetic.ts'
import { FIRST_SPEED_SD_MPS, type PathFixes, type Places, type SmoothPath } from './smoother.ts'

/** A fix further off than so many standard deviations moves the foretold path no more than one at that limit. */
const WILD = 5
/** Degrees of freedom of the heavy-tailed errors that fixes are taken to have. */
const STUDENT_DF = 4
/** Noise that a receiver is expected to have before its track is seen: 2 m, within a factor of about 2.5. */
const EXPECTED_NOISE_M = 2
const EXPECTED_NOISE_LOG_SD = 0.9
const NOISE_STEPS_M = [0.35, 0.6, 1.05, 1.8, 3.2, 5.6, 10, 17, 30, 55, 100]
/** The search ends once so many steps in a row were less likely. */
const LESS_LIKELY_STEPS = 2

/** Slower steps tell the noise of a receiver at rest, which is less than on the move, m/s. */
const NOISE_SEEN_FROM_MPS = 2

/**
 * The standard deviation (m, per axis) of the fixes of one device: the most likely one given how well each fix is
 * foretold by those before it, with heavy-tailed errors so that outliers do not count for much; 0.35 to 100 m.
 * Only fixes reached at more than 2 m/s count: a standing receiver holds its position and looks better than it is.
 * @source Harvey, "Forecasting, Structural Time Series Models and the Kalman Filter", 1989, section 3.4
 * (prediction error decomposition)
 */
export function likelyNoiseM(path: Places, q: number): number {
  const { time, x, y } = path
  const moving = new Uint8Array(time.length)
  for (let i = 1; i < time.length; i++) {
    const dx = x[i] - x[i - 1]
    const dy = y[i] - y[i - 1]
    const slow = NOISE_SEEN_FROM_MPS * (time[i] - time[i - 1])
    moving[i] = dx * dx + dy * dy > slow * slow ? 1 : 0
  }
  const costs: number[] = []
  let k = 0
  for (const noiseM of NOISE_STEPS_M) {
    costs.push(predictionCost(path, moving, q, noiseM))
    if (costs[costs.length - 1] < costs[k]) k = costs.length - 1
    if (costs.length - 1 - k === LESS_LIKELY_STEPS) break
  }
  if (k === 0 || k === costs.length - 1) return NOISE_STEPS_M[k]
  const [left, mid, right] = [costs[k - 1], costs[k], costs[k + 1]]
  const shift = (0.5 * (left - right)) / (left - 2 * mid + right)
  return NOISE_STEPS_M[k] * power(NOISE_STEPS_M[k + 1] / NOISE_STEPS_M[k], shift)
}

/** Minus the log likelihood of the track for one noise, up to a constant. */
function predictionCost({ time, x, y }: Places, moving: Uint8Array, q: number, noiseM: number): number {
  const r = noiseM * noiseM
  const log = Math.log(noiseM / EXPECTED_NOISE_M) / EXPECTED_NOISE_LOG_SD
  let cost = (log * log) / 2
  let [px, py, vx, vy] = [x[0], y[0], 0, 0]
  let [p11, p12, p22] = [r, 0, FIRST_SPEED_SD_MPS * FIRST_SPEED_SD_MPS]
  for (let i = 1; i < time.length; i++) {
    const dt = time[i] - time[i - 1]
    const a = p11 + 2 * dt * p12 + dt * dt * p22 + (q * dt * dt * dt) / 3
    const b = p12 + dt * p22 + (q * dt * dt) / 2
    const s = a + r
    const ex = x[i] - px - dt * vx
    const ey = y[i] - py - dt * vy
    const d2 = (ex * ex + ey * ey) / s
    if (moving[i]) cost += Math.log(s) + ((STUDENT_DF + 2) / 2) * Math.log(1 + d2 / STUDENT_DF)
    const trust = Math.min(1, WILD / Math.sqrt(d2))
    const gain = (trust * a) / s
    const gainV = (trust * b) / s
    px += dt * vx + gain * ex
    py += dt * vy + gain * ey
    vx += gainV * ex
    vy += gainV * ey
    p22 += q * dt - gainV * b
    p12 = (1 - gain) * b
    p11 = (1 - gain) * a
  }
  return cost
}

/** The variance to give each fix (m²) so that those far from the path that all others make count for less. */
export function robustVariance(path: PathFixes, smooth: SmoothPath, baseVariance: Float64Array): Float64Array {
  const robust = new Float64Array(baseVariance.length)
  for (let i = 0; i < robust.length; i++) {
    const base = baseVariance[i]
    const leverage = Math.min(0.95, smooth.variance[i] / path.variance[i])
    const ex = path.x[i] - smooth.x[i]
    const ey = path.y[i] - smooth.y[i]
    // The squared error of a fix left out, over its variance: (e / (1 − leverage))² over base / (1 − leverage).
    const d2 = (ex * ex + ey * ey) / ((1 - leverage) * base)
    robust[i] = base * Math.max(1, (STUDENT_DF + d2) / (STUDENT_DF + 2))
  }
  return robust
}
