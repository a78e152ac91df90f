import { square } from '../../base/arithmetic.ts'
import { stepM } from '../geodesy.ts'
import type { Fixes } from '../types.ts'
import { plausibleStep } from './outliers.ts'
import { ACCELERATION_DENSITY, smoothPath } from './smoother.ts'

/** Below this speed a fix's age hardly moves it along the road, m/s. */
const SLOWEST_MPS = 2
const POSITION_SD_M = 3
/** No fix is moved by more than so many standard deviations of its age. */
const MOST_SD = 2
/** Fixes stay in order and this far apart, s. */
const CLOSEST_S = 0.5

/**
 * Moves the times of fixes whose age is not known, so that the vehicle goes an even pace along the road they show. The
 * places stay where they are: an age shifts a fix along the road, not off it.
 * @param ageSdS standard deviation of the age, s
 */
export function withEvenPace(fixes: Fixes, ageSdS: number): Fixes {
  const { time, latitude, longitude } = fixes
  const n = time.length
  const along = new Float64Array(n)
  const level = new Float64Array(n)
  for (let i = 1; i < n; i++) {
    along[i] = along[i - 1] + stepM(latitude[i - 1], longitude[i - 1], latitude[i], longitude[i])
  }
  const variance = along.map((_, i) => {
    const [a, b] = [Math.max(0, i - 1), Math.min(n - 1, i + 1)]
    const pace = (along[b] - along[a]) / (time[b] - time[a])
    return square(POSITION_SD_M) + square(pace * ageSdS)
  })
  const plausible = plausibleStep({ time, x: along, y: level }, POSITION_SD_M)
  const cut = Uint8Array.from(time, (_, i) => (i + 1 < n && plausible(i, i + 1) ? 0 : 1))
  const smooth = smoothPath({ time, x: along, y: level, variance, cut }, ACCELERATION_DENSITY)
  const evened = time.slice()
  for (let i = 1; i + 1 < n; i++) {
    const ahead = (smooth.x[i] - along[i]) / Math.max(SLOWEST_MPS, smooth.vx[i])
    if (cut[i - 1] || cut[i]) continue
    const shift = Math.max(-MOST_SD * ageSdS, Math.min(MOST_SD * ageSdS, ahead))
    const latest = Math.max(evened[i - 1] + CLOSEST_S, time[i + 1] - CLOSEST_S)
    evened[i] = Math.min(latest, Math.max(evened[i - 1] + CLOSEST_S, time[i] - shift))
  }
  return evened[n - 1] > evened[n - 2] ? { ...fixes, time: evened } : fixes
}
