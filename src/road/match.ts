import Flatbush from 'flatbush'
import { turnDegrees } from '../base/units.ts'
import { eastM, type LocalFrame, localFrame, northM } from '../track/geodesy.ts'
import { COVERAGE_BINS, type Match, type Path } from './types.ts'

/** Points must head the same way within this, degrees: the other carriageway is another road. */
const SAME_HEADING_DEG = 60
const OFF_COST = 1.2
/** A jump along the axis costs its size over this length, up to MOST_JUMP_COST. */
const JUMP_SCALE_M = 100
const MOST_JUMP_COST = 8
const LEAST_DETOUR_M = 150
/** A stretch up to this long that stays within a few corridors of the road and keeps its pace is scatter, not another road. */
const MOST_SCATTER_M = 400
const SCATTER_CORRIDORS = 2.5

/** A reference path made ready to be asked for what lies near a point. */
export interface Reference {
  path: Path
  closed: boolean
  frame: LocalFrame
  index: Flatbush
  x: Float64Array
  y: Float64Array
}

/** @param closed whether the axis may be entered anywhere and passes from its end to its start (a loop) */
export function prepareReference(path: Path, closed: boolean): Reference {
  const frame = localFrame(path.latitude[0], path.longitude[0])
  const count = path.latitude.length
  const x = new Float64Array(count)
  const y = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    x[i] = eastM(frame, path.longitude[i])
    y[i] = northM(frame, path.latitude[i])
  }
  const index = new Flatbush(Math.max(1, count - 1))
  for (let i = 0; i + 1 < count; i++) {
    index.add(Math.min(x[i], x[i + 1]), Math.min(y[i], y[i + 1]), Math.max(x[i], x[i + 1]), Math.max(y[i], y[i + 1]))
  }
  index.finish()
  return { path, closed, frame, index, x, y }
}

/** A place on the reference's axis near a point of the path. */
interface Candidate {
  axisM: number
  offM: number
}

/**
 * Lays a path on a reference path's distance axis: for every point the places on the reference within the corridor and
 * with the same heading are found, and the chain of places (or "off the road") that goes forward most evenly is chosen
 * by dynamic programming. A road passed twice in the same direction, or back on itself, is so kept apart.
 */
export function matchPath(path: Path, reference: Reference): Match {
  const candidates = Array.from(path.latitude, (_, i) => (path.inGap[i] ? [] : candidatesAt(path, i, reference)))
  const axisM = bestChain(candidates, path, reference)
  bridgeScatter(axisM, candidates, path)
  return describe(axisM, path, reference)
}

/** Quick look before a match is worth its time: do enough of some fifty points of the path lie on the reference at all? */
export function mayFollow(path: Path, reference: Reference): boolean {
  const stride = Math.max(1, Math.floor(path.latitude.length / 50))
  let near = 0
  let asked = 0
  for (let i = 0; i < path.latitude.length; i += stride) {
    asked++
    if (path.inGap[i] || candidatesAt(path, i, reference).length > 0) near++
  }
  return near >= 0.2 * asked
}

function candidatesAt(path: Path, i: number, reference: Reference): Candidate[] {
  const { x, y, index, frame } = reference
  const corridor = SCATTER_CORRIDORS * Math.max(path.corridorM, reference.path.corridorM)
  const px = eastM(frame, path.longitude[i])
  const py = northM(frame, path.latitude[i])
  const near = index.search(px - corridor, py - corridor, px + corridor, py + corridor).sort((a, b) => a - b)
  const candidates: Candidate[] = []
  let lastSegment = Number.NEGATIVE_INFINITY
  for (const s of near) {
    if (Math.abs(turnDegrees(reference.path.courseDeg[s], path.courseDeg[i])) > SAME_HEADING_DEG) continue
    const dx = x[s + 1] - x[s]
    const dy = y[s + 1] - y[s]
    const lengthSquared = dx * dx + dy * dy
    const along =
      lengthSquared > 0 ? Math.min(1, Math.max(0, ((px - x[s]) * dx + (py - y[s]) * dy) / lengthSquared)) : 0
    const offM = Math.hypot(px - x[s] - along * dx, py - y[s] - along * dy)
    if (offM > corridor) continue
    const from = reference.path.distanceM[s]
    const candidate = { axisM: from + along * (reference.path.distanceM[s + 1] - from), offM }
    const last = candidates[candidates.length - 1]
    // Neighbouring segments are one place: the nearer stands for both.
    if (s - lastSegment <= 2 && last) {
      if (offM < last.offM) candidates[candidates.length - 1] = candidate
    } else candidates.push(candidate)
    lastSegment = s
  }
  return candidates
}

interface State {
  axisM: number
  cost: number
  from: State | null
  /** Last place that was on the road, and the path's distance there. */
  anchorM: number
  anchorAtM: number
}

/** Viterbi over the candidates of each point and "off"; returns one axis position (or NaN) per point. */
function bestChain(candidates: Candidate[][], path: Path, reference: Reference): Float64Array {
  const corridor = Math.max(path.corridorM, reference.path.corridorM)
  let states: State[] = [{ axisM: Number.NaN, cost: 0, from: null, anchorM: Number.NaN, anchorAtM: 0 }]
  for (let i = 0; i < candidates.length; i++) {
    const next: State[] = []
    for (const c of candidates[i]) {
      let best: State | null = null
      let bestCost = Number.POSITIVE_INFINITY
      for (const s of states) {
        const cost = s.cost + jumpCost(s, c.axisM, path.distanceM[i], reference)
        if (cost < bestCost) {
          bestCost = cost
          best = s
        }
      }
      next.push({
        axisM: c.axisM,
        cost: bestCost + (c.offM / corridor) ** 2,
        from: best,
        anchorM: c.axisM,
        anchorAtM: path.distanceM[i],
      })
    }
    const cheapest = states.reduce((a, b) => (b.cost < a.cost ? b : a))
    next.push({ ...cheapest, axisM: Number.NaN, cost: cheapest.cost + (path.inGap[i] ? 0 : OFF_COST), from: cheapest })
    states = next
  }
  const axisM = new Float64Array(candidates.length)
  let state: State | null = states.reduce((a, b) => (b.cost < a.cost ? b : a))
  for (let i = candidates.length - 1; i >= 0 && state; i--) {
    axisM[i] = state.axisM
    state = state.from
  }
  return axisM
}

/** Puts short stretches of scattered positions back on the road, evenly between their ends. */
function bridgeScatter(axisM: Float64Array, candidates: Candidate[][], path: Path): void {
  let on = -1
  for (let i = 0; i < axisM.length; i++) {
    if (Number.isNaN(axisM[i])) continue
    if (on >= 0 && i - on > 1) {
      const advance = axisM[i] - axisM[on]
      const driven = path.distanceM[i] - path.distanceM[on]
      const keepsPace = Math.abs(advance - driven) < 0.25 * driven + 40
      const near = candidates.slice(on + 1, i).every((c, k) => c.length > 0 || path.inGap[on + 1 + k] === 1)
      if (driven <= MOST_SCATTER_M && keepsPace && near) {
        for (let k = on + 1; k < i; k++) {
          axisM[k] = axisM[on] + (advance * (path.distanceM[k] - path.distanceM[on])) / driven
        }
      }
    }
    on = i
  }
}

function jumpCost(from: State, axisM: number, atM: number, reference: Reference): number {
  if (Number.isNaN(from.anchorM)) return 0
  const expected = atM - from.anchorAtM
  let advance = axisM - from.anchorM
  if (reference.closed && advance < -reference.path.lengthM / 2) advance += reference.path.lengthM
  return Math.min(MOST_JUMP_COST, Math.abs(advance - expected) / JUMP_SCALE_M)
}

/** Coverage, detours and ends from the chosen chain. */
function describe(axisM: Float64Array, path: Path, reference: Reference): Match {
  const known = path.inGap.reduce((n, gap) => n + 1 - gap, 0)
  const covered = coverage(axisM, path, reference)
  const first = axisM.findIndex((m) => !Number.isNaN(m))
  const last = axisM.findLastIndex((m) => !Number.isNaN(m))
  return {
    axisM,
    coveredShare: covered.reduce((n, c) => n + c, 0) / COVERAGE_BINS,
    onRoadShare: axisM.reduce((n, m, i) => n + (Number.isNaN(m) || path.inGap[i] ? 0 : 1), 0) / Math.max(1, known),
    covered,
    detours: first < 0 ? [] : detoursBetween(axisM, first, last, path),
    beforeM: first < 0 ? path.lengthM : path.distanceM[first],
    afterM: first < 0 ? 0 : path.lengthM - path.distanceM[last],
  }
}

/** Which parts of the axis were driven. A gap that ends where the road would have led is taken as driven along it. */
function coverage(axisM: Float64Array, path: Path, reference: Reference): Uint8Array {
  const covered = new Uint8Array(COVERAGE_BINS)
  const binOf = (m: number): number =>
    Math.min(COVERAGE_BINS - 1, Math.max(0, Math.floor((m / reference.path.lengthM) * COVERAGE_BINS)))
  const contiguousM = 4 * Math.max(path.spacingM, reference.path.spacingM) + 100
  let previous = -1
  for (let i = 0; i < axisM.length; i++) {
    if (Number.isNaN(axisM[i])) continue
    covered[binOf(axisM[i])] = 1
    if (previous >= 0) {
      const advance = axisM[i] - axisM[previous]
      const chord = path.distanceM[i] - path.distanceM[previous]
      const throughGap = path.inGap[i - 1] === 1 && advance > 0.9 * chord - 100 && advance < 1.6 * chord + 100
      if (advance > 0 && (advance < contiguousM || throughGap)) {
        for (let b = binOf(axisM[previous]); b <= binOf(axisM[i]); b++) covered[b] = 1
      }
    }
    previous = i
  }
  return covered
}

function detoursBetween(
  axisM: Float64Array,
  first: number,
  last: number,
  path: Path,
): { fromM: number; toM: number }[] {
  const detours: { fromM: number; toM: number }[] = []
  let offSince = -1
  for (let i = first; i <= last; i++) {
    if (Number.isNaN(axisM[i])) {
      if (offSince < 0) offSince = i
    } else if (offSince >= 0) {
      const stretch = { fromM: path.distanceM[offSince - 1], toM: path.distanceM[i] }
      const unknown = path.inGap.subarray(offSince, i).every((gap) => gap === 1)
      if (!unknown && stretch.toM - stretch.fromM >= LEAST_DETOUR_M) detours.push(stretch)
      offSince = -1
    }
  }
  return detours
}
