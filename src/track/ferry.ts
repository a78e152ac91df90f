import { upperMedian } from '../base/statistics.ts'

/**
 * A ferry: minutes at a low and steady speed, nearly straight, between two stands. So may a car go through a village; but
 * a ferry is so heavy that gathering way and losing it costs it a quarter of a minute together, from the 25th metre on.
 * Common practice, no source.
 */
const FERRY = { leastS: 240, leastM: 1000, mostMps: 14, straight: 0.96, steady: 0.2, steadyShare: 0.75, lostS: 12 }
const END_M = { from: 25, to: 325 }

/** What a stretch between two stands shows of itself. */
export interface Crossing {
  lastsS: number
  lengthM: number
  /** From its begin straight to its end, m. */
  apartM: number
  /** At even steps of time or of distance. */
  speedMps: Float64Array
  /** When a distance from its begin was reached, s. */
  timeAt: (distanceM: number) => number
}

/** Whether a stretch was a ride on a ferry. */
export function isFerry({ lastsS, lengthM, apartM, speedMps, timeAt }: Crossing): boolean {
  if (lastsS < FERRY.leastS || lengthM < FERRY.leastM || apartM < FERRY.straight * lengthM) return false
  const usualMps = upperMedian(speedMps.slice())
  const steady = speedMps.filter((speed) => Math.abs(speed - usualMps) <= FERRY.steady * usualMps)
  if (usualMps > FERRY.mostMps || steady.length < FERRY.steadyShare * speedMps.length) return false
  const between = (fromM: number, toM: number): number => timeAt(toM) - timeAt(fromM)
  const endsS = between(END_M.from, END_M.to) + between(lengthM - END_M.to, lengthM - END_M.from)
  return endsS - (2 * (END_M.to - END_M.from)) / usualMps >= FERRY.lostS
}
