import { hypotenuse, rootSumOfSquares, square } from '../../base/arithmetic.ts'
import { backwardSolved, choleskyOf, forwardSolved } from '../../base/cholesky.ts'
import { dot } from '../../base/least-squares.ts'
import { mean } from '../../base/statistics.ts'
import { studentQuantile } from '../../base/student.ts'
import { radians } from '../../base/units.ts'
import { dragTerm, rollingAt } from '../road-load.ts'
import type { Uncertain } from '../vehicle.ts'

/** A stretch in which nothing drives or brakes the vehicle. */
export interface CoastWindow {
  /** s since any begin, rising; columns of one length. */
  time: Float64Array
  speedMps: Float64Array
  /** True direction of motion; null where the vehicle goes round and every direction counts alike. */
  headingDeg: number | null
  densityKgM3: number
  temperatureK: number
  /** Velocity of the air at the vehicle towards east and north, and what each may be off, m/s. */
  windEastMps: number
  windNorthMps: number
  windSdMps: number
}

export interface CoastingVehicle {
  massKg: Uncertain
  /** Share of the mass that the turning parts add. */
  rotatingShare: number
  /** Relative rise of the drag at 10° of yaw. */
  yawRise: number
  /** Relative fall of the rolling resistance per kelvin. */
  rollingFallPerK: number
}

/** A value with the half-width of its 95 % interval. */
export interface Fitted {
  value: number
  half95: number
}

/** Road load F = F0 + F2·V² in calm air at the reference conditions, the means of the windows'. */
export interface CoastDown {
  f0N: Fitted
  f2NPerMps2: Fitted
  /** Whether both directions of a road were driven, and what differs between them taken out. */
  bothDirections: boolean
  referenceTemperatureK: number
  referenceDensityKgM3: number
  /** Of each window: standard deviation of the recorded speed about the fitted one, m/s. */
  residualsMps: number[]
}

export const LEAST_WINDOWS = 3
const NORMAL_95 = 1.959964
/** Directions that stand for all of them. */
const ROUND_DEG = Array.from({ length: 12 }, (_, i) => 30 * i)

/**
 * Road load from coast-downs. The speed lost since the begin of each window is held against the time, times F0, and against
 * the integral of the relative air speed squared, times F2: this needs no derivative of a noisy speed. Where the vehicle went
 * both ways, what differs between the directions (slope, a wind that is wrong) is fitted as well: a force, and one that grows
 * with speed. What one window differs by from the others is seen by leaving each out in turn.
 * @returns null for fewer than three windows, or speeds too alike to tell F0 from F2
 * @source road load by coast-down: UN GTR 15 Annex 4 (from memory); jackknife over groups: Efron, Tibshirani, An Introduction
 * to the Bootstrap (1993), ch. 11 (from memory)
 */
export function coastDownOf(windows: readonly CoastWindow[], vehicle: CoastingVehicle): CoastDown | null {
  if (windows.length < LEAST_WINDOWS) return null
  const reference = {
    temperatureK: mean(windows.map(({ temperatureK }) => temperatureK)),
    densityKgM3: mean(windows.map(({ densityKgM3 }) => densityKgM3)),
  }
  const signs = directionsOf(windows)
  const prepared = (east: number, north: number): Prepared[] =>
    windows.map((window, i) => {
      const { windEastMps, windNorthMps, windSdMps } = window
      const shifted = {
        ...window,
        windEastMps: windEastMps + east * windSdMps,
        windNorthMps: windNorthMps + north * windSdMps,
      }
      return preparedWindow(shifted, signs[i], vehicle, reference)
    })
  const all = prepared(0, 0)
  const fit = fitOf(all)
  const without = all.map((_, left) => fitOf(all.filter((_, i) => i !== left)))
  // A mean wind that is wrong is wrong for all windows.
  const shifted = [fitOf(prepared(1, 0)), fitOf(prepared(0, 1))]
  if (!fit || [...without, ...shifted].some((other) => other === null)) return null
  const fitted = (term: typeof F0 | typeof F2): Fitted => {
    const value = fit[term]
    const departures = (others: (Float64Array | null)[]): number[] =>
      others.map((other) => (other ? other[term] - value : 0))
    const betweenSd = Math.sqrt((windows.length - 1) / windows.length) * rootSumOfSquares(departures(without))
    const sharedSd = rootSumOfSquares([...departures(shifted), (value * vehicle.massKg.sd) / vehicle.massKg.value])
    const half95 = hypotenuse(studentQuantile(0.975, windows.length - fit.length + 1) * betweenSd, NORMAL_95 * sharedSd)
    return { value, half95 }
  }
  return {
    f0N: fitted(F0),
    f2NPerMps2: fitted(F2),
    bothDirections: fit.length > F2 + 1,
    referenceTemperatureK: reference.temperatureK,
    referenceDensityKgM3: reference.densityKgM3,
    residualsMps: all.map((window) => residualOf(window, fit)),
  }
}

/** Directions that differ by less are one way, degrees. */
const ONE_WAY_DEG = 60

/**
 * For each window 1 or -1 by the way along the road, 0 where it goes round; all 0 where both ways were not driven twice at
 * least: then they cannot be told from each other's scatter.
 */
function directionsOf(windows: readonly CoastWindow[]): number[] {
  const first = windows.find(({ headingDeg }) => headingDeg !== null)?.headingDeg ?? 0
  const away = (heading: number): number => Math.abs(((((heading - first) % 360) + 540) % 360) - 180)
  const signs = windows.map(({ headingDeg }) => {
    if (headingDeg === null) return 0
    return away(headingDeg) <= ONE_WAY_DEG ? 1 : away(headingDeg) >= 180 - ONE_WAY_DEG ? -1 : 0
  })
  const count = (wanted: number): number => signs.filter((sign) => sign === wanted).length
  return count(1) >= 2 && count(-1) >= 2 ? signs : signs.map(() => 0)
}

const F0 = 0
const F2 = 1

/** Columns about their means: the speed, and what a unit of each term takes from it. */
interface Prepared {
  speed: Float64Array
  terms: Float64Array[]
}

function preparedWindow(
  window: CoastWindow,
  sign: number,
  { massKg, rotatingShare, yawRise, rollingFallPerK }: CoastingVehicle,
  reference: { temperatureK: number; densityKgM3: number },
): Prepared {
  const { time, speedMps, densityKgM3, temperatureK } = window
  const inertiaKg = massKg.value * (1 + rotatingShare)
  const rolling = rollingAt(1, rollingFallPerK, temperatureK) / rollingAt(1, rollingFallPerK, reference.temperatureK)
  const drag = speedMps.map((speed) => (meanDragTerm(speed, window, yawRise) * densityKgM3) / reference.densityKgM3)
  const taken = (force: Float64Array): Float64Array => aboutMean(integralOf(force, time).map((sum) => -sum / inertiaKg))
  const ofDirection = [speedMps.map(() => sign), speedMps.map((speed) => sign * speed)]
  return { speed: aboutMean(speedMps), terms: [speedMps.map(() => rolling), drag, ...ofDirection].map(taken) }
}

/** From the begin to each time, by trapezes. */
function integralOf(values: Float64Array, time: Float64Array): Float64Array {
  const sums = new Float64Array(time.length)
  for (let i = 1; i < time.length; i++) {
    sums[i] = sums[i - 1] + ((values[i] + values[i - 1]) / 2) * (time[i] - time[i - 1])
  }
  return sums
}

/** The relative air speed squared with its sign, along the motion, (m/s)². */
function meanDragTerm(speed: number, { headingDeg, windEastMps, windNorthMps }: CoastWindow, yawRise: number): number {
  const headings = headingDeg === null ? ROUND_DEG : [headingDeg]
  return mean(
    headings.map((heading) => {
      const [sin, cos] = [Math.sin(radians(heading)), Math.cos(radians(heading))]
      const along = windEastMps * sin + windNorthMps * cos
      const across = windEastMps * cos - windNorthMps * sin
      return dragTerm(speed - along, across, yawRise, 0)
    }),
  )
}

function aboutMean(values: Float64Array): Float64Array {
  const centre = mean(values)
  return values.map((value) => value - centre)
}

/** Least squares over all windows, each with a level of its own; null where the terms depend on each other. */
function fitOf(windows: readonly Prepared[]): Float64Array | null {
  const isUsed = (term: number): boolean => windows.some(({ terms }) => terms[term].some((value) => value !== 0))
  const used = windows[0].terms.flatMap((_, term) => (isUsed(term) ? [term] : []))
  const total = (of: (window: Prepared) => [Float64Array, Float64Array]): number =>
    windows.reduce((sum, window) => sum + dot(...of(window)), 0)
  const lengths = used.map((term) => Math.sqrt(total(({ terms }) => [terms[term], terms[term]])))
  const products = Float64Array.from({ length: square(used.length) }, (_, at) => {
    const [i, j] = [Math.floor(at / used.length), at % used.length]
    return total(({ terms }) => [terms[used[i]], terms[used[j]]]) / (lengths[i] * lengths[j])
  })
  const factor = choleskyOf(products, used.length)
  if (!factor || factor.logDeterminant < Math.log(LEAST_DETERMINANT)) return null
  const sides = Float64Array.from(used, (term, i) => total(({ terms, speed }) => [terms[term], speed]) / lengths[i])
  return backwardSolved(factor, forwardSolved(factor, sides)).map((value, i) => value / lengths[i])
}

/** Of the terms' correlations: below it they are one. */
const LEAST_DETERMINANT = 1e-8

function residualOf({ speed, terms }: Prepared, fit: Float64Array): number {
  const left = speed.map((value, i) => value - fit.reduce((sum, size, term) => sum + size * terms[term][i], 0))
  return Math.sqrt(dot(left, left) / Math.max(1, speed.length - 1))
}
