import { present } from '../base/present.ts'
import { type Box, boxAround, overlaps } from '../read/terrain/types.ts'
import { stepM } from '../track/geodesy.ts'
import { matchPath, mayFollow, prepareReference, type Reference } from './match.ts'
import { cut, reversed } from './path.ts'
import { addPath, emptyIndex, indexOf, pathsNear } from './path-index.ts'
import type { Match, Member, Path, Relation, Route, RouteShape } from './types.ts'

/** Shares of the road from which two drives count as the same road, as one cut short, or as one with a detour. */
export const SAME_ROAD_SHARE = 0.9
const LEAST_PART_SHARE = 0.25
const DETOUR_SHARES = { covered: 0.8, onRoad: 0.65 }
/** Members of a road, and the road driven the other way, lie near it on at least so much of themselves. */
const NEAR_SHARES = { member: 0.15, opposite: 0.5 }
/** Recordings within this of the best one are as sound. */
const DOUBT_TOLERANCE = 0.02
const BACK_ON_ITSELF_SHARE = 0.8
/** The axis is chosen among so many drives of the whole road, the earliest: a drive more leaves a known road as it is. */
const MOST_JUDGES = 25

/** One-way; back where it began over other roads; or back over the same road. */
export function shapeOf(path: Path): RouteShape {
  const count = path.latitude.length
  const endsApartM = stepM(path.latitude[0], path.longitude[0], path.latitude[count - 1], path.longitude[count - 1])
  if (endsApartM > Math.max(300, 0.05 * path.lengthM)) return 'one-way'
  const half = Math.floor(count / 2)
  if (half < 4) return 'loop'
  const out = cut(path, 0, half)
  const back = reversed(cut(path, half, count))
  const match = matchPath(back, prepareReference(wider(out), false))
  return match.onRoadShare >= BACK_ON_ITSELF_SHARE ? 'there-and-back' : 'loop'
}

/** Two carriageways of one road lie further apart than two drives of one carriageway. */
const wider = (path: Path): Path => ({ ...path, corridorM: path.corridorM + 30 })

/** What a match says about the two drives; null when they are different roads. */
export function relationOf(match: Match): Relation | null {
  const { coveredShare, onRoadShare } = match
  if (onRoadShare >= SAME_ROAD_SHARE) {
    if (coveredShare >= SAME_ROAD_SHARE) return 'same'
    return coveredShare >= LEAST_PART_SHARE ? 'part' : null
  }
  const mostlyThere = coveredShare >= DETOUR_SHARES.covered && onRoadShare >= DETOUR_SHARES.onRoad
  return mostlyThere && detourM(match) > match.beforeM + match.afterM ? 'detour' : null
}

/** True when the path is the reference with more road before or after it: the reference is the one cut short. */
function extendsReference(match: Match): boolean {
  const { coveredShare, onRoadShare } = match
  const covers = coveredShare >= SAME_ROAD_SHARE && onRoadShare < SAME_ROAD_SHARE && onRoadShare >= LEAST_PART_SHARE
  return covers && match.beforeM + match.afterM > detourM(match)
}

/** Length of the stretches that leave the road and come back, m. */
const detourM = ({ detours }: Match): number => detours.reduce((sum, d) => sum + d.toM - d.fromM, 0)

/** A match of two paths by their places in the list, from memory or by finding out. */
type Remembered = (run: number, on: number, match: () => Match) => Match

/** The paths of a campaign with what was found out about them so far. */
interface Survey {
  paths: Path[]
  remembered: Remembered
  axes: Map<number, { reference: Reference; shape: RouteShape }>
  matches: Map<string, Match | null>
}

/** A run's path made ready to lay others on it. */
function axisOf({ paths, axes }: Survey, run: number): { reference: Reference; shape: RouteShape } {
  const known = axes.get(run)
  if (known) return known
  const shape = shapeOf(paths[run])
  const axis = { reference: prepareReference(paths[run], shape === 'loop'), shape }
  axes.set(run, axis)
  return axis
}

/** How one run lies on another, or null when they hardly meet. */
function matchOf(survey: Survey, run: number, on: number): Match | null {
  const { paths, matches, remembered } = survey
  const key = `${run} on ${on}`
  const known = matches.get(key)
  if (known !== undefined) return known
  const { reference } = axisOf(survey, on)
  const meets = run === on || (mayMeet(paths[run], paths[on]) && mayFollow(paths[run], reference))
  const match = meets ? remembered(run, on, () => matchPath(paths[run], reference)) : null
  matches.set(key, match)
  return match
}

/**
 * Groups drives by the road they took and its direction.
 *
 * @param paths in a fixed order (by start time): the grouping depends on it, so the caller sorts
 * @param remembered may know a match from before
 */
export function routesOf(paths: Path[], remembered: Remembered = (_run, _on, match) => match()): Route[] {
  const survey: Survey = { paths, remembered, axes: new Map(), matches: new Map() }
  const groups: { reference: number; runs: number[] }[] = []
  const index = emptyIndex()
  // The soundest recordings found the groups, whatever their order in time.
  const order = paths.map((_, run) => run).sort((a, b) => paths[a].doubt - paths[b].doubt || a - b)
  for (const run of order) {
    const home = pathsNear(index, paths[run], NEAR_SHARES.member).find((id) => {
      const match = matchOf(survey, run, groups[id].reference)
      if (!match) return false
      if (!extendsReference(match)) return relationOf(match) !== null
      groups[id].reference = run
      addPath(index, id, paths[run])
      return true
    })
    if (home !== undefined) groups[home].runs.push(run)
    else {
      addPath(index, groups.length, paths[run])
      groups.push({ reference: run, runs: [run] })
    }
  }
  for (const group of groups) group.runs.sort((a, b) => a - b)
  const routes = groups.flatMap((group) => settle(group, survey))
  routes.sort((a, b) => a.members[0].run - b.members[0].run)
  markOpposites(routes, survey)
  return routes
}

const boxes = new WeakMap<Path, Box>()

function boxOf(path: Path): Box {
  const known = boxes.get(path)
  if (known) return known
  const box = boxAround(path.latitude, path.longitude)
  boxes.set(path, box)
  return box
}

/** Quick refusal: bounding boxes that do not even touch. */
const mayMeet = (pathA: Path, pathB: Path): boolean => overlaps(boxOf(pathA), boxOf(pathB))

/** What speaks against a run as the axis: road that others drove and it does not have counts more than the reverse. */
const CUT_SHORT_WEIGHT = 1.5
/** A run takes the place of the one of middle length when less speaks against it by this, a judge. */
const CLEARLY_BETTER = 0.01
/** So many runs judge each other, the soundest. */
const MOST_CANDIDATES = 10

/**
 * How little the others agree with a run as the road's axis: the share of it that each of them did not drive (a detour of
 * its own, a way home), and the share of each of them that lies off it, before it begins or after it ends most of all.
 * @param enough from here on nobody asks how much it is, and no more judges are laid on the run
 */
function disagreement(run: number, judges: number[], survey: Survey, enough = Number.POSITIVE_INFINITY): number {
  let sum = 0
  for (const judge of judges) {
    if (sum >= enough) break
    if (judge === run) continue
    const match = matchOf(survey, judge, run)
    if (!match) {
      sum += 2
      continue
    }
    const endsM = match.beforeM + match.afterM
    const off = (CUT_SHORT_WEIGHT * endsM + detourM(match)) / survey.paths[judge].lengthM
    sum += 1 - match.coveredShare + off
  }
  return sum
}

/** The run that the soundest of a group agree on most; `usual` unless another is clearly better. */
function agreedAxis(usual: number, runs: number[], survey: Survey): number {
  const { paths } = survey
  const sound = [...runs].sort((a, b) => paths[a].doubt - paths[b].doubt || a - b)
  const leastDoubt = paths[sound[0]].doubt
  const judges = [...new Set([usual, ...sound.slice(0, MOST_CANDIDATES)])]
  const candidates = judges.filter((run) => run === usual || paths[run].doubt <= leastDoubt + DOUBT_TOLERANCE)
  if (candidates.length < 2) return usual
  let best = usual
  let least = disagreement(usual, judges, survey) - CLEARLY_BETTER * (judges.length - 1)
  for (const run of candidates) {
    if (run === usual) continue
    const against = disagreement(run, judges, survey, least)
    if (against >= least) continue
    best = run
    least = against
  }
  return best
}

/**
 * Chooses the group's axis: of the sound recordings of the whole road the one of middle length, unless the drives agree
 * clearly better on another, so that neither a cut-short drive nor one with a detour becomes the measure. Drives that do
 * not fit this axis after all become routes of their own.
 */
function settle(group: { reference: number; runs: number[] }, survey: Survey): Route[] {
  const { paths } = survey
  const relation = (run: number, reference: number): Relation | null => {
    // A path is the same road as itself, however badly it is known.
    if (run === reference) return 'same'
    const match = matchOf(survey, run, reference)
    return match && relationOf(match)
  }
  const whole = group.runs.filter((run) => relation(run, group.reference) === 'same').slice(0, MOST_JUDGES)
  const leastDoubt = whole.reduce((least, run) => Math.min(least, paths[run].doubt), Number.POSITIVE_INFINITY)
  const sound = whole.filter((run) => paths[run].doubt <= leastDoubt + DOUBT_TOLERANCE)
  const byLength = sound.sort((a, b) => paths[a].lengthM - paths[b].lengthM || a - b)
  const middle = byLength.length > 0 ? byLength[(byLength.length - 1) >> 1] : group.reference
  const reference = agreedAxis(middle, group.runs, survey)
  const members: Member[] = []
  const strangers: number[] = []
  for (const run of group.runs) {
    const found = relation(run, reference)
    if (found) members.push({ run, relation: found, match: present(matchOf(survey, run, reference)) })
    else strangers.push(run)
  }
  const { lengthM } = paths[reference]
  const route: Route = { reference, lengthM, shape: axisOf(survey, reference).shape, members, oppositeOf: null }
  return [route, ...strangers.flatMap((run) => settle({ reference: run, runs: [run] }, survey))]
}

function markOpposites(routes: Route[], survey: Survey): void {
  const { paths } = survey
  const reference = (run: number): Reference => axisOf(survey, run).reference
  const index = indexOf(routes.map((route) => paths[route.reference]))
  routes.forEach((route, i) => {
    const back = wider(reversed(paths[route.reference]))
    const other = pathsNear(index, back, NEAR_SHARES.opposite).find((j) => {
      const r = routes[j]
      if (j >= i || !mayMeet(back, paths[r.reference]) || !mayFollow(back, reference(r.reference))) return false
      const match = matchPath(back, reference(r.reference))
      return match.onRoadShare >= BACK_ON_ITSELF_SHARE && match.coveredShare >= BACK_ON_ITSELF_SHARE
    })
    if (other !== undefined) route.oppositeOf = other
  })
}
