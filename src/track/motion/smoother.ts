/**
 * The smoothing spline in time of a path of uneven fixes: a constant-velocity model driven by white acceleration, solved
 * by a Kalman filter forward and a Rauch-Tung-Striebel pass backward. Between fixes its mean is the cubic Hermite curve
 * of the smoothed positions and velocities. Both axes share one covariance.
 * @source Bar-Shalom, Li, Kirubarajan, "Estimation with Applications to Tracking and Navigation", Wiley 2001,
 * section 6.2.2 (white-noise acceleration model); Rauch, Tung, Striebel, AIAA Journal 3 (1965) 1445;
 * Wahba, J. R. Stat. Soc. B 40 (1978) 364 (the equivalence with the spline)
 */
export interface SmoothPath {
  x: Float64Array
  y: Float64Array
  /** m/s */
  vx: Float64Array
  vy: Float64Array
  /** Variance of the smoothed position per axis, m². */
  variance: Float64Array
}

/**
 * Spectral density of a road vehicle's acceleration, m²/s³: 1 m/s² held for a second, then another. A choice: the
 * value, of 0.5, 1, 2 and 4, that came near the logged speeds of the Iowa drives and the published drive cycles at once.
 */
export const ACCELERATION_DENSITY = 1

/**
 * Speeds are taken at a lower bandwidth than positions, m²/s³. The error of one recording's positions is smooth, with a
 * memory of some ten seconds: it passes for driving in the very band of real driving, and no likelihood of a single track
 * tells the two apart. The finer and the coarser one show how much a recording's speeds depend on the choice. Sizes were
 * chosen on drives with an independent speed (a wheel, the car's bus): common practice, no source.
 */
export const SPEED_DENSITY = { fine: 1, usual: 0.3, coarse: 0.03 }

/** Spread of the speed before the first fix, m/s per axis. */
export const FIRST_SPEED_SD_MPS = 30

/** Positions (m) at times (s, rising). */
export interface Places {
  time: Float64Array
  x: Float64Array
  y: Float64Array
}

/** Positions with the variance of each (m², per axis). */
export interface PathFixes extends Places {
  variance: Float64Array
  /** 1 where nothing is known of the way from this fix to the next. */
  cut?: Uint8Array
  /** Recorded speeds along `x`, m/s, NaN where a row has none; a row without a position has an infinite variance. */
  speed?: Float64Array
  /** m²/s² */
  speedVariance?: number
}

/**
 * @param q spectral density of the acceleration, m²/s³: the variance of the change of speed in one second
 */
export function smoothPath({ time, x, y, variance, cut, speed, speedVariance = 0 }: PathFixes, q: number): SmoothPath {
  const n = time.length
  const out: SmoothPath = {
    x: new Float64Array(n),
    y: new Float64Array(n),
    vx: new Float64Array(n),
    vy: new Float64Array(n),
    variance: new Float64Array(n),
  }
  const p11 = new Float64Array(n)
  const p12 = new Float64Array(n)
  const p22 = new Float64Array(n)
  // The state at the fix before: position, velocity, and their covariance.
  let px = 0
  let py = 0
  let vx = 0
  let vy = 0
  let c11 = 0
  let c12 = 0
  let c22 = 0
  for (let i = 0; i < n; i++) {
    if (i === 0 || cut?.[i - 1]) {
      px = x[i]
      py = y[i]
      vx = 0
      vy = 0
      c11 = variance[i]
      c12 = 0
      c22 = FIRST_SPEED_SD_MPS * FIRST_SPEED_SD_MPS
    } else {
      const dt = time[i] - time[i - 1]
      const a = c11 + 2 * dt * c12 + dt * dt * c22 + (q * dt * dt * dt) / 3
      const b = c12 + dt * c22 + (q * dt * dt) / 2
      const trust = 1 / (a + variance[i])
      const gain = a * trust
      const gainV = b * trust
      const ex = x[i] - px - dt * vx
      const ey = y[i] - py - dt * vy
      px += dt * vx + gain * ex
      py += dt * vy + gain * ey
      vx += gainV * ex
      vy += gainV * ey
      c22 += q * dt - gainV * b
      c11 = (1 - gain) * a
      c12 = (1 - gain) * b
    }
    if (speed !== undefined && !Number.isNaN(speed[i])) {
      const trust = 1 / (c22 + speedVariance)
      const error = trust * (speed[i] - vx)
      px += c12 * error
      vx += c22 * error
      c11 -= trust * c12 * c12
      c12 -= trust * c12 * c22
      c22 -= trust * c22 * c22
    }
    out.x[i] = px
    out.y[i] = py
    out.vx[i] = vx
    out.vy[i] = vy
    p11[i] = c11
    p12[i] = c12
    p22[i] = c22
  }
  backward(time, cut, q, out, p11, p12, p22)
  return out
}

/** The backward pass: turns filtered values (in `out` and p) into smoothed ones, in place. */
function backward(
  time: Float64Array,
  cut: Uint8Array | undefined,
  q: number,
  out: SmoothPath,
  p11: Float64Array,
  p12: Float64Array,
  p22: Float64Array,
): void {
  const n = time.length
  out.variance[n - 1] = p11[n - 1]
  for (let i = n - 2; i >= 0; i--) {
    out.variance[i] = p11[i]
    if (cut?.[i]) continue
    const dt = time[i + 1] - time[i]
    const f11 = p11[i] + dt * p12[i]
    const f21 = p12[i] + dt * p22[i]
    const a = f11 + dt * f21 + (q * dt * dt * dt) / 3
    const b = f21 + (q * dt * dt) / 2
    const c = p22[i] + q * dt
    const perDet = 1 / (a * c - b * b)
    const g11 = (f11 * c - p12[i] * b) * perDet
    const g12 = (p12[i] * a - f11 * b) * perDet
    const g21 = (f21 * c - p22[i] * b) * perDet
    const g22 = (p22[i] * a - f21 * b) * perDet
    const dx = out.x[i + 1] - out.x[i] - dt * out.vx[i]
    const dy = out.y[i + 1] - out.y[i] - dt * out.vy[i]
    const dvx = out.vx[i + 1] - out.vx[i]
    const dvy = out.vy[i + 1] - out.vy[i]
    out.x[i] += g11 * dx + g12 * dvx
    out.y[i] += g11 * dy + g12 * dvy
    out.vx[i] += g21 * dx + g22 * dvx
    out.vy[i] += g21 * dy + g22 * dvy
    const d11 = p11[i + 1] - a
    const d12 = p12[i + 1] - b
    const d22 = p22[i + 1] - c
    p11[i] += g11 * g11 * d11 + 2 * g11 * g12 * d12 + g12 * g12 * d22
    p12[i] += g11 * g21 * d11 + (g11 * g22 + g12 * g21) * d12 + g12 * g22 * d22
    p22[i] += g21 * g21 * d11 + 2 * g21 * g22 * d12 + g22 * g22 * d22
    out.variance[i] = p11[i]
  }
}
