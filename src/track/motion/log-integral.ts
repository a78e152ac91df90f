import { square } from '../../base/arithmetic.ts'
import { upperMedian } from '../../base/statistics.ts'
import type { Part } from '../cut.ts'

/** A rate is taken to go on between two values no further apart than this, s and usual intervals: else nobody knows it. */
const LONGEST_HOLD_S = 10
const LONGEST_HOLD_IN_INTERVALS = 5
/** What is filled in for an unrecorded stretch at the drive's mean rate is off by this share of it. A choice. */
const FILLED_SD = 0.5
/**
 * Variance of the integral over one interval, in squares of interval times second difference: 1/6 where a rate wanders
 * between its values (a Brownian bridge), 2/3 where they are drawn at random about it. Between the two; see the test.
 */
const SAMPLING_FACTOR = 1 / 3

/** The integral of a logged rate over a drive. */
export interface RateIntegral {
  /** Unit of the rate times seconds; unrecorded stretches are filled in at the mean rate. */
  amount: number
  /** Of it, what is below 0. */
  negative: number
  /** Standard deviation of the integration alone: values between those that were logged, and what was filled in. */
  sd: number
  /** Share of the drive's time with a record, 0 to 1. */
  coveredShare: number
}

/**
 * Integrates a rate over stretches of time by trapezoids between the values that were logged.
 * @param values the rate; NaN where not recorded
 * @source variance of the integral of a Brownian bridge over h: σ²h³/12; of its middle: σ²h/4
 */
export function rateIntegral(time: Float64Array, values: Float64Array, spans: readonly Part[]): RateIntegral {
  const rows: number[] = []
  for (let i = 0; i < time.length; i++) if (!Number.isNaN(values[i])) rows.push(i)
  const longestS = longestHold(time, rows)
  let [amount, negative, coveredS] = [0, 0, 0]
  for (let n = 1; n < rows.length; n++) {
    const [a, b] = [rows[n - 1], rows[n]]
    if (time[b] - time[a] > longestS) continue
    for (const { fromTime, toTime } of spans) {
      const from = Math.max(fromTime, time[a])
      const to = Math.min(toTime, time[b])
      if (!(to > from)) continue
      const at = (t: number): number => values[a] + ((values[b] - values[a]) * (t - time[a])) / (time[b] - time[a])
      const area = ((at(from) + at(to)) / 2) * (to - from)
      amount += area
      negative += Math.min(0, area)
      coveredS += to - from
    }
  }
  const wholeS = spans.reduce((sum, { fromTime, toTime }) => sum + toTime - fromTime, 0)
  const missingS = Math.max(0, wholeS - coveredS)
  const filled = coveredS > 0 ? (amount / coveredS) * missingS : Number.NaN
  const sd = Math.sqrt(samplingVariance(time, values, rows, spans) + square(FILLED_SD * filled))
  return { amount: amount + filled, negative, sd, coveredShare: wholeS > 0 ? Math.min(1, coveredS / wholeS) : 0 }
}

function longestHold(time: Float64Array, rows: number[]): number {
  const steps = Float64Array.from(rows.slice(1), (row, n) => time[row] - time[rows[n]])
  return Math.max(LONGEST_HOLD_S, LONGEST_HOLD_IN_INTERVALS * (steps.length > 0 ? upperMedian(steps) : 0))
}

/** From how far each value lies from the middle of its neighbours; a value that is repeated was read once and held. */
function samplingVariance(time: Float64Array, values: Float64Array, rows: number[], spans: readonly Part[]): number {
  const read = rows.filter((row, n) => n === 0 || values[row] !== values[rows[n - 1]])
  let variance = 0
  for (let n = 1; n + 1 < read.length; n++) {
    const [before, here, behind] = [read[n - 1], read[n], read[n + 1]]
    if (!spans.some(({ fromTime, toTime }) => time[here] >= fromTime && time[here] <= toTime)) continue
    const halfS = Math.min((time[behind] - time[before]) / 2, LONGEST_HOLD_S)
    variance += SAMPLING_FACTOR * square(halfS * (values[here] - (values[before] + values[behind]) / 2))
  }
  return variance
}

/** The change of a running total over a drive. */
export interface TotalChange {
  amount: number
  /** Of its step. */
  sd: number
  coveredShare: number
  /** How often it fell back, as when a trip is begun anew: what was counted then is unknown. */
  resets: number
}

/** How much a running total grew over stretches of time. @param mayFall whether it also falls as a battery is charged */
export function totalChange(
  time: Float64Array,
  values: Float64Array,
  spans: readonly Part[],
  mayFall: boolean,
): TotalChange {
  let [amount, coveredS, resets] = [0, 0, 0]
  let step = Number.POSITIVE_INFINITY
  for (const { fromTime, toTime } of spans) {
    let last = -1
    for (let i = 0; i < time.length; i++) {
      if (Number.isNaN(values[i]) || time[i] < fromTime || time[i] > toTime) continue
      if (last >= 0) {
        const change = values[i] - values[last]
        if (change !== 0) step = Math.min(step, Math.abs(change))
        if (change < 0 && !mayFall) resets++
        else amount += change
        coveredS += time[i] - time[last]
      }
      last = i
    }
  }
  const wholeS = spans.reduce((sum, { fromTime, toTime }) => sum + toTime - fromTime, 0)
  const sd = Number.isFinite(step) ? step / Math.sqrt(6) : 0
  return { amount, sd, coveredShare: wholeS > 0 ? Math.min(1, coveredS / wholeS) : 0, resets }
}
