import { upperMedian } from '../base/statistics.ts'
import type { Manner } from '../track/manner.ts'
import { type Trace, timeAtDistance } from './division/trace.ts'
import type { Match, Path } from './types.ts'

/** A drive of a road, as far as it is held against the others of the road. */
export interface DriveOfRoad {
  path: Path
  match: Match
  trace: Trace
  manner: Manner
}

/** How a drive differs from the others of its road. */
export type Unlikeness = 'slow-throughout' | 'fast-throughout' | 'stops-of-its-own'

const CELL_M = 100
/** Judged are roads of a kilometre and more. */
const LEAST_CELLS = 10
/** Two others at least say how the road is driven. */
const LEAST_OTHERS = 2
/** From this many on the middle of all is as good as that of the others. */
const MANY = 12

/**
 * A vehicle of another kind keeps its own speed over all of the road. Traffic holds a drive up here and there and makes it
 * uneven; even behind a tractor it is off the pace for a part of the road. Common practice, no source.
 */
const PACE = { leastMps: 6, factor: 0.65, share: 0.95, mostUnevenness: 0.42 }
/** A bus stops where nobody else does, time and again along the road, and drives like the others between. */
const STOPS = {
  least: 4,
  leastS: 6,
  mostS: 120,
  apartM: 60,
  timesOthers: 2.5,
  spreadM: 500,
  mostTogether: 0.5,
  share: 0.9,
  pace: 0.75,
}

/** For each drive of a road how it differs from the others, or null. */
export function unlikeOthers(drives: readonly DriveOfRoad[], roadM: number): (Unlikeness | null)[] {
  const cells = Math.floor(roadM / CELL_M)
  if (drives.length <= LEAST_OTHERS || cells < LEAST_CELLS) return drives.map(() => null)
  const speeds = drives.map((drive) => speedsAlong(drive, cells))
  const stops = drives.map((drive) => stopsAlong(drive))
  const all = drives.length >= MANY ? middleOf(speeds, cells) : null
  return drives.map((drive, i) => {
    const usual =
      all ??
      middleOf(
        speeds.filter((_, j) => j !== i),
        cells,
      )
    const ratios = ratiosTo(usual, speeds[i])
    if (ratios.length < LEAST_CELLS) return null
    const others = drives.filter((_, j) => j !== i)
    return paceOf(drive, others, ratios) ?? (hasStopsOfItsOwn(i, stops, ratios) ? 'stops-of-its-own' : null)
  })
}

/** Mean speed over each cell of the road, m/s; NaN where the drive was not on it. */
function speedsAlong({ path, match, trace }: DriveOfRoad, cells: number): Float64Array {
  const metres = new Float64Array(cells)
  const seconds = new Float64Array(cells)
  let before = timeAtDistance(trace, path.distanceM[0])
  for (let i = 1; i < path.distanceM.length; i++) {
    const time = timeAtDistance(trace, path.distanceM[i])
    const [a, b] = [match.axisM[i - 1], match.axisM[i]]
    const cell = Math.floor((a + b) / 2 / CELL_M)
    if (b >= a && b - a < 2 * CELL_M && cell < cells && !path.inGap[i]) {
      metres[cell] += path.distanceM[i] - path.distanceM[i - 1]
      seconds[cell] += time - before
    }
    before = time
  }
  return metres.map((m, cell) => (m > CELL_M / 2 && seconds[cell] > 0 ? m / seconds[cell] : Number.NaN))
}

function middleOf(speeds: Float64Array[], cells: number): Float64Array {
  const usual = new Float64Array(cells)
  for (let cell = 0; cell < cells; cell++) {
    const known = Float64Array.from(speeds.map((of) => of[cell]).filter(Number.isFinite))
    usual[cell] = known.length >= LEAST_OTHERS ? upperMedian(known) : Number.NaN
  }
  return usual
}

/** Own speed over the usual one where the road is driven briskly, sorted. */
function ratiosTo(usual: Float64Array, own: Float64Array): Float64Array {
  return own
    .map((speed, cell) => (Math.max(speed, usual[cell]) >= PACE.leastMps ? speed / usual[cell] : Number.NaN))
    .filter((ratio) => Number.isFinite(ratio))
    .sort()
}

const at = (sorted: Float64Array, share: number): number => sorted[Math.floor(share * (sorted.length - 1))]

const isEven = ({ manner }: DriveOfRoad): boolean => manner.unevenness <= PACE.mostUnevenness

function paceOf(drive: DriveOfRoad, others: readonly DriveOfRoad[], ratios: Float64Array): Unlikeness | null {
  if (isEven(drive) && at(ratios, PACE.share) < PACE.factor) return 'slow-throughout'
  // Others that a jam held up make no other vehicle of a drive in free traffic.
  const othersEven = others.filter(isEven).length > others.length / 2
  return othersEven && at(ratios, 1 - PACE.share) > 1 / PACE.factor ? 'fast-throughout' : null
}

/** Where on the road the drive stopped, m; stops off the road are left out. */
function stopsAlong({ path, match, manner }: DriveOfRoad): Float64Array {
  const { stopM, stopS } = manner
  return stopM
    .filter((_, i) => stopS[i] >= STOPS.leastS && stopS[i] <= STOPS.mostS)
    .map((m) => match.axisM[Math.min(path.distanceM.length - 1, Math.round(m / path.spacingM))])
    .filter(Number.isFinite)
}

function hasStopsOfItsOwn(drive: number, stops: Float64Array[], ratios: Float64Array): boolean {
  const others = stops.filter((_, j) => j !== drive)
  const own = stops[drive].filter((m) => !others.some((of) => of.some((o) => Math.abs(o - m) < STOPS.apartM)))
  const mostOfOthers = others.reduce((most, of) => Math.max(most, of.length), 0)
  if (own.length < STOPS.least || stops[drive].length < STOPS.timesOthers * mostOfOthers + 1) return false
  // In a jam they lie together.
  const together = own.reduce((most, m) => Math.max(most, own.filter((o) => o >= m && o < m + STOPS.spreadM).length), 0)
  return together <= STOPS.mostTogether * own.length && at(ratios, STOPS.share) >= STOPS.pace
}
