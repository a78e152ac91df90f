import { hypotenuse, square } from '../../base/arithmetic.ts'
import type { PathFixes } from '../motion/smoother.ts'
import { intervals, takenColumn } from './order.ts'

/** A vehicle that stays this long within this reach stands: less than 0.5 m/s (a slow crawl in a jam is 0.6 to 1.5). */
const STAY_S = 8
const REACH_M = 4
/** A stop begins and ends where the smoothed speed falls below this, m/s. */
const EDGE_MPS = 0.8
/** A shorter rest is not told from a slow turn of the wheels. */
const SHORTEST_STOP_S = 3

/** A stop on the grid: samples `from` to `to`, both included. */
export interface Stop {
  from: number
  to: number
}

/**
 * The stops of a path on a grid of `stepS` seconds: where it stays within 4 m for 8 s, without the last metres of
 * rolling up and the first of setting off.
 * @param x metres east
 * @param y metres north
 * @param speedMps smoothed speed, infinite where no stop may reach
 */
export function stopsOf(x: Float64Array, y: Float64Array, speedMps: Float64Array, stepS: number): Stop[] {
  const rests = restingSamples(x, y, speedMps, Math.max(1, Math.round(STAY_S / stepS)))
  const stops: Stop[] = []
  for (let i = 0; i < rests.length; i++) {
    if (!rests[i]) continue
    let from = i
    while (rests[i + 1]) i++
    let to = i
    while (from < to && speedMps[from] > EDGE_MPS) from++
    while (from < to && speedMps[to] > EDGE_MPS) to--
    if ((to - from) * stepS >= SHORTEST_STOP_S) stops.push({ from, to })
  }
  return stops
}

/** 1 for all samples of every window of `stay` steps that fits into a square of the reach. */
function restingSamples(x: Float64Array, y: Float64Array, speedMps: Float64Array, stay: number): Uint8Array {
  const rests = new Uint8Array(x.length)
  for (let i = 0; i + stay < x.length; i++) {
    if (square(x[i + stay] - x[i]) + square(y[i + stay] - y[i]) > REACH_M * REACH_M) continue
    if (staysInReach(x, y, speedMps, i, i + stay)) rests.fill(1, i, i + stay + 1)
  }
  return rests
}

function staysInReach(x: Float64Array, y: Float64Array, speedMps: Float64Array, from: number, to: number): boolean {
  let [west, east, south, north] = [x[from], x[from], y[from], y[from]]
  for (let k = from; k <= to; k++) {
    if (speedMps[k] === Number.POSITIVE_INFINITY) return false
    west = Math.min(west, x[k])
    east = Math.max(east, x[k])
    south = Math.min(south, y[k])
    north = Math.max(north, y[k])
  }
  return hypotenuse(east - west, north - south) <= REACH_M
}

/** Fixes this much later than the one before are looked at: did the vehicle stand, or the recording fail? */
const SHORTEST_SILENCE_S = 5
/** A device that records only movement is silent while the vehicle stands; it speaks again within this distance, m. */
const SILENT_STAND_M = 30
const SILENT_PACE_MPS = 0.8
/** An easy start from rest, m/s². */
const EASY_START_MPS2 = 1

export interface FilledPath extends PathFixes {
  /** 1 for fixes of the track, 0 for those filled in. */
  real: Uint8Array
}

/**
 * Fills the silence of a device that records only while it moves: where fixes are seconds apart (more than 2.5 usual
 * intervals) but nearly in one place, the vehicle stood there, and the place is repeated each second until it left.
 */
export function withSilentStands(path: PathFixes, usualS: number, noiseM: number): FilledPath {
  const { time, x, y, variance } = path
  const shortestS = Math.max(SHORTEST_SILENCE_S, 2.5 * usualS)
  if (!intervals(time).some((dt) => dt > shortestS)) return { ...path, real: new Uint8Array(time.length).fill(1) }
  const reachM = Math.max(SILENT_STAND_M, 3 * noiseM)
  const rows: number[] = []
  const times: number[] = []
  const real: number[] = []
  for (let i = 0; i < time.length; i++) {
    rows.push(i)
    times.push(time[i])
    real.push(1)
    const dt = time[i + 1] - time[i]
    if (!(dt > shortestS)) continue
    const step = hypotenuse(x[i + 1] - x[i], y[i + 1] - y[i])
    if (step > reachM || step / dt > SILENT_PACE_MPS) continue
    const departS = Math.sqrt((2 * step) / EASY_START_MPS2)
    for (let t = 1; t < dt - departS - 1; t++) {
      rows.push(i)
      times.push(time[i] + t)
      real.push(0)
    }
  }
  return {
    time: Float64Array.from(times),
    x: takenColumn(x, rows),
    y: takenColumn(y, rows),
    variance: takenColumn(variance, rows),
    real: Uint8Array.from(real),
  }
}
