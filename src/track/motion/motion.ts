import type { Problem } from '../../base/problem.ts'
import { MEDIAN_TO_SD, upperMedian } from '../../base/statistics.ts'
import { type LocalFrame, latitudeAt, localFrame, longitudeAt, onFlatMap, stepM } from '../geodesy.ts'
import { intervals } from '../repair/order.ts'
import { retimed } from '../repair/retimed.ts'
import { type FilledPath, type Stop, stopsOf, withSilentStands } from '../repair/standing.ts'
import { type Fixes, GAP, type Gap, MOVING, type Motion, STANDING } from '../types.ts'
import { likelyNoiseM, robustVariance } from './fix-noise.ts'
import { type GridPath, gapSamples, onGrid, ontoChords, rowsWithin } from './grid.ts'
import { motionColumns, SLOWEST_COURSE_MPS } from './motion-columns.ts'
import { plausibleStep } from './outliers.ts'
import { checkedSpeed, type RecordedSpeed, speedPath } from './recorded-speed.ts'
import { ACCELERATION_DENSITY, type PathFixes, type SmoothPath, SPEED_DENSITY, smoothPath } from './smoother.ts'

/**
 * Fixes are never trusted more than this, m. Neighbours share most of their error, so a track looks smoother than it is
 * right; without a floor that error would be taken for driving. The price: on a route with a right angle every 250 m,
 * corners are cut by 0.16 % of its length (0.28 % with a floor of 2 m).
 */
const LEAST_NOISE_M = 1
const ROBUST_PASSES = 3
/** To find the stops, less will do. */
const FIRST_PASSES = 2
/** An interval without a fix is a gap when longer than both, and the vehicle moved. */
export const SHORTEST_GAP_S = 20
const GAP_IN_MEDIAN_INTERVALS = 3
/** How firmly a standing vehicle is held at its place, m. */
const HELD_SD_M = 0.05
export interface MotionResult {
  motion: Motion
  gaps: Gap[]
  /** Standard deviation of the moving fixes about the smoothed path, per axis, m. */
  positionNoiseM: number
  /** Fixes moved to one place because the vehicle stood. */
  standingDrift: number
  /** Median time between recorded speeds that were used, s; infinite where none were. */
  speedIntervalS: number
  problems: Problem[]
}

type CutPath = FilledPath & { cut: Uint8Array }

/**
 * The motion behind a track's fixes (at least two, times rising): positions smoothed in time, so that uneven sampling
 * makes no false speed; stops held; nothing invented in gaps.
 */
export function motionOf(fixes: Fixes, recorded: RecordedSpeed | null = null): MotionResult {
  const frame = localFrame(fixes.latitude[0], fixes.longitude[0])
  const path = weighedPath(fixes, frame)
  const free = robustlySmoothed(path, FIRST_PASSES).smooth
  const freeGrid = onGrid(path.time, free)
  const inGap = gapSamples(freeGrid, path.time, path.cut)
  const stops = stopsOf(freeGrid.x, freeGrid.y, speedsOf(freeGrid, inGap), freeGrid.stepS)
  const held = heldAt(path, freeGrid, stops)
  const { smooth, weighed } = robustlySmoothed(held.path, ROBUST_PASSES)
  const grid = onGrid(path.time, smooth)
  const { along: ofFixes, reachedM } = alongPath(weighed, smooth)
  const fixesAlong = { time: path.time, x: smooth.x, y: smooth.y, wayM: reachedM, cut: path.cut }
  const checked = recorded && checkedSpeed(recorded, fixesAlong)
  const along = checked?.speed ? speedPath(checked.speed, path.time[0], path.time[path.time.length - 1]) : ofFixes
  const paceAt = (q: number): Float64Array => onGrid(along.time, smoothPath(along, q)).speedX
  if (checked?.speed) {
    const saidM = onGrid(along.time, smoothPath(along, ACCELERATION_DENSITY)).x
    retimed(grid, { time: path.time, path: smooth, cut: path.cut }, saidM)
  }
  const state = inGap.map((inside) => (inside ? GAP : MOVING))
  for (const { from, to, x, y } of held.stops) {
    state.fill(STANDING, from, to + 1)
    grid.x.fill(x, from, to + 1)
    grid.y.fill(y, from, to + 1)
  }
  ontoChords(grid, path.time, smooth, path.cut)
  return {
    motion: motionColumns(grid, state, frame, {
      fine: paceAt(SPEED_DENSITY.fine),
      usual: paceAt(SPEED_DENSITY.usual),
      coarse: paceAt(SPEED_DENSITY.coarse),
    }),
    gaps: gapsOf(path, smooth, frame),
    positionNoiseM: spreadAbout(held.path, smooth, held.standing),
    standingDrift: held.drift,
    speedIntervalS: checked?.speed ? medianInterval(checked.speed.time) : Number.POSITIVE_INFINITY,
    problems: checked?.problems ?? [],
  }
}

/** Median time between fixes, s. */
export function medianInterval(time: Float64Array): number {
  return upperMedian(intervals(time))
}

/** The fixes on a flat map, each with the variance that this device's fixes have, cut at gaps. */
function weighedPath(fixes: Fixes, frame: LocalFrame): CutPath {
  const { time } = fixes
  const { x, y } = onFlatMap(frame, fixes.latitude, fixes.longitude)
  const usualS = medianInterval(time)
  const noiseM = Math.max(LEAST_NOISE_M, likelyNoiseM({ time, x, y }, ACCELERATION_DENSITY))
  const variance = new Float64Array(time.length).fill(noiseM * noiseM)
  const path = withSilentStands({ time, x, y, variance }, usualS, noiseM)
  return { ...path, cut: gapStarts(path, usualS, noiseM) }
}

/** 1 for fixes after which a gap begins: no fix for long, or the position jumps as no vehicle can. */
function gapStarts({ time, x, y }: PathFixes, usualS: number, noiseM: number): Uint8Array {
  const longest = Math.max(SHORTEST_GAP_S, GAP_IN_MEDIAN_INTERVALS * usualS)
  const plausible = plausibleStep({ time, x, y }, noiseM)
  const starts = new Uint8Array(time.length)
  for (let i = 0; i + 1 < time.length; i++) {
    if (time[i + 1] - time[i] > longest || !plausible(i, i + 1)) starts[i] = 1
  }
  return starts
}

/** The smoothed path, after the first pass reweighed against outliers; and the fixes with the weights of the last pass. */
function robustlySmoothed(path: PathFixes, passes: number): { smooth: SmoothPath; weighed: PathFixes } {
  let variance = path.variance
  let smooth = smoothPath(path, ACCELERATION_DENSITY)
  for (let pass = 1; pass < passes; pass++) {
    variance = robustVariance({ ...path, variance }, smooth, path.variance)
    smooth = smoothPath({ ...path, variance }, ACCELERATION_DENSITY)
  }
  return { smooth, weighed: { ...path, variance } }
}

/** Speeds on the grid, m/s; infinite in a gap. */
function speedsOf(grid: GridPath, inGap: Uint8Array): Float64Array {
  const { speedX, speedY } = grid
  const speeds = new Float64Array(speedX.length)
  for (let k = 0; k < speeds.length; k++) {
    speeds[k] = inGap[k] ? Number.POSITIVE_INFINITY : Math.sqrt(speedX[k] * speedX[k] + speedY[k] * speedY[k])
  }
  return speeds
}

interface Held {
  path: CutPath
  stops: (Stop & { x: number; y: number })[]
  standing: Uint8Array
  drift: number
}

/** Replaces the fixes of each stop by their middle, held firmly. A stop needs two fixes. */
function heldAt(path: CutPath, grid: GridPath, stops: Stop[]): Held {
  const held: Held = {
    path: { ...path, x: path.x.slice(), y: path.y.slice(), variance: path.variance.slice() },
    stops: [],
    standing: new Uint8Array(path.time.length),
    drift: 0,
  }
  let start = 0
  for (const stop of stops) {
    const [first, past] = rowsWithin(grid, path.time, stop.from, stop.to, start)
    start = first
    if (past - first < 2) continue
    const x = upperMedian(path.x.subarray(first, past))
    const y = upperMedian(path.y.subarray(first, past))
    for (let i = first; i < past; i++) if (path.real[i] && (path.x[i] !== x || path.y[i] !== y)) held.drift++
    held.path.x.fill(x, first, past)
    held.path.y.fill(y, first, past)
    held.path.variance.fill(HELD_SD_M * HELD_SD_M, first, past)
    held.standing.fill(1, first, past)
    held.stops.push({ ...stop, x, y })
  }
  return held
}

function gapsOf({ time, cut }: CutPath, { x, y }: SmoothPath, frame: LocalFrame): Gap[] {
  const gaps: Gap[] = []
  for (let i = 0; i < cut.length; i++) {
    if (!cut[i]) continue
    const [south, north] = [latitudeAt(frame, y[i]), latitudeAt(frame, y[i + 1])]
    const [west, east] = [longitudeAt(frame, x[i]), longitudeAt(frame, x[i + 1])]
    gaps.push({ fromTime: time[i], toTime: time[i + 1], chordM: stepM(south, west, north, east) })
  }
  return gaps
}

/**
 * How far along the smoothed path each fix lies, m in `x`: smoothing this and not the two coordinates keeps the speed in
 * bends, however little of the acceleration is let through.
 * @returns besides, how far along it each smoothed place lies, m
 */
function alongPath(fixes: PathFixes, smooth: SmoothPath): { along: PathFixes; reachedM: Float64Array } {
  const { time } = fixes
  const { x, y, vx, vy } = smooth
  const speed = (i: number): number => Math.sqrt(vx[i] * vx[i] + vy[i] * vy[i])
  const along = new Float64Array(time.length)
  const reached = new Float64Array(time.length)
  let reachedM = 0
  for (let i = 0; i < time.length; i++) {
    if (i > 0) reachedM += arcM(smooth, i - 1, time[i] - time[i - 1])
    const v = speed(i)
    const aheadM = v < SLOWEST_COURSE_MPS ? 0 : ((fixes.x[i] - x[i]) * vx[i] + (fixes.y[i] - y[i]) * vy[i]) / v
    reached[i] = reachedM
    along[i] = reachedM + aheadM
  }
  return { along: { ...fixes, x: along, y: new Float64Array(time.length) }, reachedM: reached }
}

/** Length of the Hermite curve from one point of a path to the next, m, by Simpson's rule. */
function arcM({ x, y, vx, vy }: SmoothPath, i: number, dt: number): number {
  const length = (east: number, north: number): number => Math.sqrt(east * east + north * north)
  const middleX = (1.5 * (x[i + 1] - x[i])) / dt - (vx[i] + vx[i + 1]) / 4
  const middleY = (1.5 * (y[i + 1] - y[i])) / dt - (vy[i] + vy[i + 1]) / 4
  return (dt / 6) * (length(vx[i], vy[i]) + 4 * length(middleX, middleY) + length(vx[i + 1], vy[i + 1]))
}

/** Robust standard deviation of the moving fixes about the smoothed path, per axis, m. */
function spreadAbout(path: FilledPath, smooth: SmoothPath, standing: Uint8Array): number {
  const off = new Float64Array(2 * path.time.length)
  let count = 0
  for (let i = 0; i < path.time.length; i++) {
    if (standing[i] || !path.real[i]) continue
    off[count++] = Math.abs(path.x[i] - smooth.x[i])
    off[count++] = Math.abs(path.y[i] - smooth.y[i])
  }
  return count > 0 ? MEDIAN_TO_SD * upperMedian(off.subarray(0, count)) : 0
}
