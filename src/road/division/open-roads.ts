import { indexOf, pathsNear } from '../path-index.ts'
import { relationOf } from '../routes.ts'
import { AGREED, byRecording } from './found.ts'
import { type Leg, legBetween, type TracedRecording } from './legs.ts'
import { commonRoad, grouped, matchOn, partOf, roadFrom, type SharedRoad, stretchOn } from './shared-roads.ts'

/** A drive of a road lies near it on so much of the road, whatever the recording's noise. */
const NEAR_ROAD_SHARE = 0.35
/** A leg that is a road lies near it on so much of itself. */
const NEAR_WHOLE_SHARE = 0.6
/** Two legs that have a road in common lie near each other on so much of either. */
const NEAR_COMMON_SHARE = 0.2

/** A leg that covers this of a road holds it from end to end. */
const WHOLE_SHARE = 0.97

/** What else was driven: all legs of all recordings, and the recordings that hold laps. */
interface Around {
  legs: Leg[]
  lapped: ReadonlySet<number>
}

/** Drives of roads with two ends. */
export function roadsAmong(recordings: TracedRecording[], legs: Leg[], around: Around): Leg[] {
  const roads = withJoinedLegs(recordings, grouped(legs))
  const repeated = roads.filter(({ legs: members }) => members.length >= AGREED)
  const rest = roads.filter(({ legs: members }) => members.length < AGREED)
  const shared = withoutWaysThere(repeated, around)
  const found = new Set<Leg>(shared.flatMap((road) => road.legs))
  // The way there may go on into a drive without a stop, and a drive into the way home.
  const kept = new Set(shared)
  const waysThere = new Set(repeated.filter((road) => !kept.has(road)).flatMap((road) => road.legs))
  const singles = [...rest.flatMap((road) => road.legs), ...waysThere]
  const parts = singles.map((leg) => [leg])
  const index = indexOf(singles.map(({ trace }) => trace))
  // A single drive from stop to stop says where a road begins and ends as well: first the one that most others agree with.
  const single = mostAgreedFirst(
    rest.filter((road) => road.legs.every(endsAtRests)),
    (road) => pathsNear(index, road.template, NEAR_ROAD_SHARE).map((i) => singles[i]),
  )
  for (const road of [...shared, ...single]) {
    for (const i of pathsNear(index, road.template, NEAR_ROAD_SHARE)) {
      parts[i] = parts[i].flatMap((leg) => {
        if (road.legs[0] === leg) return [leg]
        const { drives, rest: left } = drivesWithin(leg, road, recordings[leg.recording])
        if (drives.length === 0) return [leg]
        for (const drive of [...drives, ...road.legs]) found.add(drive)
        return left
      })
    }
  }
  const untouched = singles.filter((leg, i) => parts[i][0] === leg && !found.has(leg) && !waysThere.has(leg))
  return [...found, ...commonDrives(untouched, recordings)]
}

/**
 * Leaves out roads that are only ever driven once in a recording, as the first thing or as the last, where something
 * else was driven between: the way to the test road, and the way home.
 */
function withoutWaysThere(repeated: SharedRoad[], { legs, lapped }: Around): SharedRoad[] {
  const ownLegs = byRecording(legs)
  const spans = new Map(
    [...ownLegs].map(([recording, own]) => [
      recording,
      {
        count: own.length,
        firstTime: own.reduce((first, { fromTime }) => Math.min(first, fromTime), Number.POSITIVE_INFINITY),
        lastTime: own.reduce((last, { toTime }) => Math.max(last, toTime), Number.NEGATIVE_INFINITY),
      },
    ]),
  )
  const isOuter = ({ legs: members }: SharedRoad): boolean => {
    const all = members.map((leg) => ({ leg, span: spans.get(leg.recording) }))
    const once = new Set(members.map(({ recording }) => recording)).size === members.length
    const first = all.every(({ leg, span }) => span !== undefined && leg.fromTime <= span.firstTime)
    const last = all.every(({ leg, span }) => span !== undefined && leg.toTime >= span.lastTime)
    return once && (first || last) && all.every(({ span }) => span !== undefined && span.count > 2)
  }
  const outer = new Set(repeated.filter(isOuter))
  const between = repeated.filter((road) => !outer.has(road)).flatMap((road) => road.legs)
  const others = new Set([...lapped, ...between.map(({ recording }) => recording)])
  return repeated.filter((road) => !outer.has(road) || !road.legs.every(({ recording }) => others.has(recording)))
}

/** Roads by the number of legs that hold them from end to end, the most first. */
function mostAgreedFirst(roads: SharedRoad[], near: (road: SharedRoad) => Leg[]): SharedRoad[] {
  const holding = (road: SharedRoad): number =>
    near(road).filter((leg) => (stretchOn(leg.trace, road)?.match.coveredShare ?? 0) >= WHOLE_SHARE).length
  return roads
    .map((road) => ({ road, holding: holding(road) }))
    .sort((a, b) => b.holding - a.holding)
    .map(({ road }) => road)
}

const endsAtRests = ({ restBefore, restAfter }: Leg): boolean => restBefore && restAfter

/** Legs that a rest on the way parts, while others drove the road in one go, are one leg again. */
function withJoinedLegs(recordings: TracedRecording[], roads: SharedRoad[]): SharedRoad[] {
  const all = roads.flatMap(({ legs }) => legs).sort((a, b) => a.recording - b.recording || a.fromTime - b.fromTime)
  const homeOf = new Map(roads.flatMap((road) => road.legs.map((leg) => [leg, road] as const)))
  const isAlone = (leg: Leg): boolean => (homeOf.get(leg)?.legs.length ?? 0) < AGREED
  const index = indexOf(roads.map(({ template }) => template))
  const joins = new Map<SharedRoad, Leg[]>()
  const used = new Set<Leg>()
  for (let i = 0; i + 1 < all.length; i++) {
    const [a, b] = [all[i], all[i + 1]]
    if (a.recording !== b.recording || used.has(a) || !isAlone(a) || !isAlone(b)) continue
    const whole = legBetween(recordings[a.recording], a.recording, a.fromTime, b.toTime)
    if (!whole) continue
    const home = pathsNear(index, whole.trace, NEAR_WHOLE_SHARE).find((r) => {
      const road = roads[r]
      if (homeOf.get(a) === road || homeOf.get(b) === road) return false
      if (road.template.lengthM < 1.2 * a.trace.lengthM) return false
      const match = matchOn(whole.trace, road)
      return match !== null && relationOf(match) === 'same'
    })
    if (home === undefined) continue
    used.add(a).add(b)
    const joined = { ...whole, restBefore: a.restBefore, restAfter: b.restAfter }
    joins.set(roads[home], [...(joins.get(roads[home]) ?? []), joined])
  }
  if (joins.size === 0) return roads
  return roads
    .map((road) => ({ ...road, legs: [...road.legs.filter((leg) => !used.has(leg)), ...(joins.get(road) ?? [])] }))
    .filter(({ legs }) => legs.length > 0)
}

/** Every drive of a road within a leg, and what is left of the leg. */
function drivesWithin(leg: Leg, road: SharedRoad, recording: TracedRecording): { drives: Leg[]; rest: Leg[] } {
  const stretch = stretchOn(leg.trace, road)
  if (!stretch) return { drives: [], rest: [leg] }
  const drive = partOf(leg, recording, stretch)
  if (!drive) return { drives: [], rest: [leg] }
  if (drive === leg) return { drives: [leg], rest: [] }
  const around = [
    legBetween(recording, leg.recording, leg.fromTime, drive.fromTime),
    legBetween(recording, leg.recording, drive.toTime, leg.toTime),
  ].filter((part) => part !== null)
  const more = around.map((part) =>
    part.trace.lengthM >= 0.8 * road.template.lengthM
      ? drivesWithin(part, road, recording)
      : { drives: [], rest: [part] },
  )
  return { drives: [drive, ...more.flatMap(({ drives }) => drives)], rest: more.flatMap(({ rest }) => rest) }
}

/** Drives of roads that two legs have in common while both come from, and go, elsewhere. */
function commonDrives(singles: Leg[], recordings: TracedRecording[]): Leg[] {
  const found: Leg[] = []
  const index = indexOf(singles.map(({ trace }) => trace))
  const open = new Set(singles.keys())
  for (const [i, leg] of singles.entries()) {
    if (!open.delete(i)) continue
    const near = pathsNear(index, leg.trace, NEAR_COMMON_SHARE).filter((other) => open.has(other))
    const template = firstFound(near, (other) => commonRoad(leg, singles[other]))
    if (!template) continue
    const road = roadFrom(template, [])
    for (const candidate of [i, ...pathsNear(index, template, NEAR_ROAD_SHARE)]) {
      if (candidate !== i && !open.has(candidate)) continue
      const { drives } = drivesWithin(singles[candidate], road, recordings[singles[candidate].recording])
      if (drives.length === 0) continue
      found.push(...drives)
      open.delete(candidate)
    }
  }
  return found
}

/** What the first value gives that gives anything. */
function firstFound<T, R>(values: T[], of: (value: T) => R | null): R | null {
  for (const value of values) {
    const result = of(value)
    if (result !== null) return result
  }
  return null
}
