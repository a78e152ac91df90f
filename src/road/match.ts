import { square } from '../base/arithmetic.ts'
import { turnDegrees } from '../base/units.ts'
import { eastM, type LocalFrame, localFrame, northM, onFlatMap } from '../track/geodesy.ts'
import { described } from './described.ts'
import { type Pieces, piecesNear, piecesOf } from './near.ts'
import type { Match, Path } from './types.ts'

/** Points must head the same way within this, degrees: the other carriageway is another road. */
const SAME_HEADING_DEG = 60
const OFF_COST = 1.2
/** A jump along the axis costs its size over this length, up to MOST_JUMP_COST. */
const JUMP_SCALE_M = 100
const MOST_JUMP_COST = 8
/** A stretch up to this long that stays within a few corridors of the road and keeps its pace is scatter, not another road. */
const MOST_SCATTER_M = 400
const SCATTER_CORRIDORS = 2.5

/** A reference path made ready to be asked for what lies near a point. */
export interface Reference {
  path: Path
  closed: boolean
  frame: LocalFrame
  pieces: Pieces
}

/** @param closed whether the axis may be entered anywhere and passes from its end to its start (a loop) */
export function prepareReference(path: Path, closed: boolean): Reference {
  const frame = localFrame(path.latitude[0], path.longitude[0])
  const { x, y } = onFlatMap(frame, path.latitude, path.longitude)
  return { path, closed, frame, pieces: piecesOf(x, y, SCATTER_CORRIDORS * path.corridorM) }
}

/** Places on the reference's axis near the points of a path: those of point i from `starts[i]` to before `starts[i + 1]`. */
interface Candidates {
  starts: Uint32Array
  axisM: number[]
  offM: number[]
}

/**
 * Lays a path on a reference path's distance axis: for every point the places on the reference within the corridor and
 * with the same heading are found, and the chain of places (or "off the road") that goes forward most evenly is chosen
 * by dynamic programming. A road passed twice in the same direction, or back on itself, is so kept apart.
 */
export function matchPath(path: Path, reference: Reference): Match {
  const count = path.latitude.length
  const candidates: Candidates = { starts: new Uint32Array(count + 1), axisM: [], offM: [] }
  for (let i = 0; i < count; i++) {
    if (!path.inGap[i]) addCandidates(candidates, path, i, reference)
    candidates.starts[i + 1] = candidates.axisM.length
  }
  const axisM = bestChain(candidates, path, reference)
  bridgeScatter(axisM, candidates, path)
  return described(axisM, path, reference.path, reference.closed)
}

/** Quick look before a match is worth its time: do enough of some fifty points of the path lie on the reference at all? */
export function mayFollow(path: Path, reference: Reference): boolean {
  const stride = Math.max(1, Math.floor(path.latitude.length / 50))
  let near = 0
  let asked = 0
  for (let i = 0; i < path.latitude.length; i += stride) {
    asked++
    const candidates: Candidates = { starts: new Uint32Array(1), axisM: [], offM: [] }
    if (!path.inGap[i]) addCandidates(candidates, path, i, reference)
    if (path.inGap[i] || candidates.axisM.length > 0) near++
  }
  return near >= 0.2 * asked
}

/** Adds the candidates of point i at the end. */
function addCandidates({ axisM, offM }: Candidates, path: Path, i: number, reference: Reference): void {
  const { pieces, frame } = reference
  const { x, y, near } = pieces
  const { distanceM, courseDeg } = reference.path
  const corridor = SCATTER_CORRIDORS * Math.max(path.corridorM, reference.path.corridorM)
  const px = eastM(frame, path.longitude[i])
  const py = northM(frame, path.latitude[i])
  const count = piecesNear(pieces, px, py, corridor)
  const first = axisM.length
  let lastSegment = Number.NEGATIVE_INFINITY
  for (let n = 0; n < count; n++) {
    const s = near[n]
    if (Math.abs(turnDegrees(courseDeg[s], path.courseDeg[i])) > SAME_HEADING_DEG) continue
    const dx = x[s + 1] - x[s]
    const dy = y[s + 1] - y[s]
    const lengthSquared = dx * dx + dy * dy
    const along =
      lengthSquared > 0 ? Math.min(1, Math.max(0, ((px - x[s]) * dx + (py - y[s]) * dy) / lengthSquared)) : 0
    const offX = px - x[s] - along * dx
    const offY = py - y[s] - along * dy
    const off = Math.sqrt(offX * offX + offY * offY)
    if (off > corridor) continue
    const at = distanceM[s] + along * (distanceM[s + 1] - distanceM[s])
    const last = axisM.length - 1
    // Neighbouring segments are one place: the nearer stands for both.
    if (s - lastSegment <= 2 && last >= first) {
      if (off < offM[last]) {
        axisM[last] = at
        offM[last] = off
      }
    } else {
      axisM.push(at)
      offM.push(off)
    }
    lastSegment = s
  }
}

/** States of the chain, those of all points one behind the other; columns of one length. */
interface States {
  axisM: Float64Array
  cost: Float64Array
  /** The state before. */
  from: Int32Array
  /** Last place that was on the road, and the path's distance there. */
  anchorM: Float64Array
  anchorAtM: Float64Array
}

/** Viterbi over the candidates of each point and "off"; returns one axis position (or NaN) per point. */
function bestChain({ starts, axisM: places, offM }: Candidates, path: Path, reference: Reference): Float64Array {
  const count = path.latitude.length
  const corridor = Math.max(path.corridorM, reference.path.corridorM)
  const size = places.length + count + 1
  const column = (): Float64Array => new Float64Array(size)
  const states: States = {
    axisM: column(),
    cost: column(),
    from: new Int32Array(size),
    anchorM: column(),
    anchorAtM: column(),
  }
  const { axisM, cost, from, anchorM, anchorAtM } = states
  axisM[0] = Number.NaN
  anchorM[0] = Number.NaN
  from[0] = -1
  let [first, past] = [0, 1]
  for (let i = 0; i < count; i++) {
    let next = past
    for (let c = starts[i]; c < starts[i + 1]; c++, next++) {
      let best = -1
      let bestCost = Number.POSITIVE_INFINITY
      for (let s = first; s < past; s++) {
        const through = cost[s] + jumpCost(states, s, places[c], path.distanceM[i], reference)
        if (through < bestCost) {
          bestCost = through
          best = s
        }
      }
      axisM[next] = places[c]
      cost[next] = bestCost + square(offM[c] / corridor)
      from[next] = best
      anchorM[next] = places[c]
      anchorAtM[next] = path.distanceM[i]
    }
    const cheapest = cheapestOf(cost, first, past)
    axisM[next] = Number.NaN
    cost[next] = cost[cheapest] + (path.inGap[i] ? 0 : OFF_COST)
    from[next] = cheapest
    anchorM[next] = anchorM[cheapest]
    anchorAtM[next] = anchorAtM[cheapest]
    first = past
    past = next + 1
  }
  const chain = new Float64Array(count)
  let state = cheapestOf(cost, first, past)
  for (let i = count - 1; i >= 0; i--) {
    chain[i] = axisM[state]
    state = from[state]
  }
  return chain
}

/** The first of the cheapest states. */
function cheapestOf(cost: Float64Array, first: number, past: number): number {
  let best = first
  for (let s = first + 1; s < past; s++) if (cost[s] < cost[best]) best = s
  return best
}

/** Puts short stretches of scattered positions back on the road, evenly between their ends. */
function bridgeScatter(axisM: Float64Array, { starts }: Candidates, path: Path): void {
  let on = -1
  for (let i = 0; i < axisM.length; i++) {
    if (Number.isNaN(axisM[i])) continue
    if (on >= 0 && i - on > 1) {
      const advance = axisM[i] - axisM[on]
      const driven = path.distanceM[i] - path.distanceM[on]
      const keepsPace = Math.abs(advance - driven) < 0.25 * driven + 40
      let nearby = true
      for (let k = on + 1; k < i; k++) if (starts[k + 1] === starts[k] && path.inGap[k] !== 1) nearby = false
      if (driven <= MOST_SCATTER_M && keepsPace && nearby) {
        for (let k = on + 1; k < i; k++) {
          axisM[k] = axisM[on] + (advance * (path.distanceM[k] - path.distanceM[on])) / driven
        }
      }
    }
    on = i
  }
}

function jumpCost(
  { anchorM, anchorAtM }: States,
  from: number,
  axisM: number,
  atM: number,
  reference: Reference,
): number {
  if (Number.isNaN(anchorM[from])) return 0
  const expected = atM - anchorAtM[from]
  let advance = axisM - anchorM[from]
  if (reference.closed && advance < -reference.path.lengthM / 2) advance += reference.path.lengthM
  return Math.min(MOST_JUMP_COST, Math.abs(advance - expected) / JUMP_SCALE_M)
}
