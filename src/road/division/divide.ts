import { present } from '../../base/present.ts'
import { relationOf } from '../routes.ts'
import { type Laps, lapsOf, lapsThrough } from './laps.ts'
import { isFerry, type Leg, legBetween, legsOf, type TracedRecording } from './legs.ts'
import { type Gate, gateAt, passesOf } from './passes.ts'
import { commonRoad, grouped, matchOn, partOf, roadFrom, type SharedRoad, stretchOn } from './shared-roads.ts'
import { cutTrace, distanceAtTime, type Trace, timeAtDistance } from './trace.ts'

export type PieceKind = 'drive' | 'other' | 'stop' | 'gap'

/** A piece of a recording; all of them, one after the other, are the recording. */
export interface Piece {
  kind: PieceKind
  /** Seconds since 1970 UTC. */
  fromTime: number
  toTime: number
  distanceM: number
  /** Of a lap: when its stint began, and which lap of it this is, from 1; null of other pieces. */
  stintTime: number | null
  lap: number | null
}

/** A found drive: a leg, or one lap of one. */
interface Found {
  recording: number
  fromTime: number
  toTime: number
  stintTime: number | null
  lap: number | null
}

/** So many stretches without a partner are held against each other; of more only neighbours would be found in time. */
const MOST_SINGLES = 120
/** A road's ends are agreed on by this many drives. */
const AGREED = 2
/** Other driving that is shorter than this at the end of a drive belongs to it, m. */
const SHORTEST_OTHER_M = 150

/**
 * Divides recordings into the drives that can be compared and what lies between them. Long stops and gaps part a
 * recording into legs; a leg that goes round a closed road becomes laps; legs of one road are drives of it; of a leg that
 * holds a road which others agree on, only that road is a drive. A recording that nothing parts is one drive.
 * @param recordings in a fixed order
 * @param gates stated places where drives begin and end; of recordings that go from none to another, they are found
 * @param stated for each recording what a user says of it; found drives that overlap a stated one are left out
 * @returns the pieces of each recording in the order of time
 */
export function divide(recordings: TracedRecording[], gates: Gate[] = [], stated: Stated[] = []): Piece[][] {
  const legs = recordings.flatMap((recording, i) =>
    stated[i]?.whole ? [] : legsOf(recording, i).filter((leg) => !isFerry(leg)),
  )
  const gated = gates.length > 0 ? betweenGates(recordings, gates) : []
  const decided = new Set(gated.map(({ recording }) => recording))
  const open = legs.filter(({ recording }) => !decided.has(recording))
  const drives = [...gated, ...foundDrives(recordings, open)]
  return recordings.map((recording, i) => {
    const { whole, drives: said } = stated[i] ?? { whole: false, drives: [] }
    if (whole) return piecesOf({ ...recording, rests: [] }, [statedDrive(i, recording.startTime, recording.endTime)])
    const own = drives.filter((drive) => drive.recording === i)
    const found = own.length > 0 || said.length > 0 ? own : legs.filter((leg) => leg.recording === i).map(wholeLeg)
    const free = found.filter((drive) => !said.some((s) => s.fromTime < drive.toTime && s.toTime > drive.fromTime))
    return piecesOf(recording, [...said.map((s) => statedDrive(i, s.fromTime, s.toTime)), ...free])
  })
}

/** What a user says of a recording. */
export interface Stated {
  /** It is one drive from its begin to its end. */
  whole: boolean
  /** Stretches that are drives, seconds since 1970 UTC, none of them overlapping another. */
  drives: { fromTime: number; toTime: number }[]
}

const statedDrive = (recording: number, fromTime: number, toTime: number): Found => ({
  recording,
  fromTime,
  toTime,
  stintTime: null,
  lap: null,
})

const wholeLeg = ({ recording, fromTime, toTime }: Leg): Found => ({
  recording,
  fromTime,
  toTime,
  stintTime: null,
  lap: null,
})

function foundDrives(recordings: TracedRecording[], legs: Leg[]): Found[] {
  const { laps, others } = lapsAmong(legs)
  const lapped = new Set(laps.map(({ recording }) => recording))
  return [...laps, ...roadsAmong(recordings, others, { legs, lapped })]
}

/** Laps of all closed roads, with one gate a road; and the legs that are none. */
function lapsAmong(legs: Leg[]): { laps: Found[]; others: Leg[] } {
  const roads: { road: SharedRoad; stints: { leg: Leg; laps: Laps }[] }[] = []
  const others: Leg[] = []
  for (const leg of legs) {
    const laps = lapsOf(leg.trace)
    if (!laps) {
      others.push(leg)
      continue
    }
    const first = oneLap(leg.trace, laps)
    const home = roads.find(({ road }) => {
      const match = matchOn(first, road)
      return match !== null && relationOf(match) === 'same'
    })
    if (home) home.stints.push({ leg, laps })
    else roads.push({ road: roadFrom(first, [leg], true), stints: [{ leg, laps }] })
  }
  const found: Found[] = []
  for (const { road, stints } of roads) {
    const gate = gateForAll(stints)
    for (const { leg, laps } of stints) {
      const shared = lapsThrough(gate, leg.trace, laps.lengthM)
      const best = shared && shared.passesM.length >= laps.passesM.length ? shared : laps
      found.push(...lapsFound(leg, best))
    }
    for (let i = others.length - 1; i >= 0; i--) {
      const single = singleLaps(others[i], road, gate)
      if (single.length === 0) continue
      found.push(...single)
      others.splice(i, 1)
    }
  }
  return { laps: found, others }
}

/** The first lap of usual length. */
function oneLap(trace: Trace, { passesM, lengthM }: Laps): Trace {
  const n = passesM.findIndex(
    (m, i) => i + 1 < passesM.length && Math.abs(passesM[i + 1] - m - lengthM) < 0.02 * lengthM,
  )
  const [fromM, toM] = [passesM[Math.max(0, n)], passesM[Math.max(0, n) + 1]]
  const from = trace.distanceM.findIndex((m) => m >= fromM)
  const past = trace.distanceM.findLastIndex((m) => m <= toM) + 1
  return cutTrace(trace, from, past)
}

/** The gate that gives the most laps in all stints; the earliest of equals. */
function gateForAll(stints: { leg: Leg; laps: Laps }[]): Gate {
  const total = (gate: Gate): number =>
    stints.reduce(
      (sum, { leg, laps }) => sum + (lapsThrough(gate, leg.trace, laps.lengthM)?.passesM.length ?? 1) - 1,
      0,
    )
  const gates = stints.slice(0, AGREED * 6).map(({ laps }) => laps.gate)
  return gates.reduce((best, gate) => (total(gate) > total(best) ? gate : best))
}

function lapsFound(leg: Leg, { passesM }: Laps): Found[] {
  const edge = (m: number): number => {
    if (m <= SHORTEST_OTHER_M) return leg.fromTime
    return leg.trace.lengthM - m <= SHORTEST_OTHER_M ? leg.toTime : timeAtDistance(leg.trace, m)
  }
  const times = passesM.map((m, i) => (i === 0 || i === passesM.length - 1 ? edge(m) : timeAtDistance(leg.trace, m)))
  return times.slice(1).map((toTime, i) => ({
    recording: leg.recording,
    fromTime: times[i],
    toTime,
    stintTime: times[0],
    lap: passesM.length > 2 ? i + 1 : null,
  }))
}

/** A leg that goes round a known closed road once, from the road's gate or from wherever it joined. */
function singleLaps(leg: Leg, road: SharedRoad, gate: Gate): Found[] {
  const match = matchOn(leg.trace, road)
  if (!match || match.coveredShare < 0.9) return []
  const usualM = road.template.lengthM
  const shared = lapsThrough(gate, leg.trace, usualM)
  if (shared) return lapsFound(leg, shared)
  if (leg.trace.lengthM <= usualM + 2 * SHORTEST_OTHER_M) return [wholeLeg(leg)]
  const first = match.axisM.findIndex((m) => !Number.isNaN(m))
  const own = lapsThrough(gateAt(leg.trace, first), leg.trace, usualM)
  return own ? lapsFound(leg, own) : []
}

/** What else was driven: all legs of all recordings, and the recordings that hold laps. */
interface Around {
  legs: Leg[]
  lapped: ReadonlySet<number>
}

/** Drives of roads with two ends. */
function roadsAmong(recordings: TracedRecording[], legs: Leg[], around: Around): Found[] {
  const roads = withJoinedLegs(recordings, grouped(legs))
  const repeated = roads.filter(({ legs: members }) => members.length >= AGREED)
  const shared = withoutWaysThere(repeated, around)
  const found = new Set<Leg>(shared.flatMap((road) => road.legs))
  const singles = roads.filter((road) => !repeated.includes(road)).flatMap((road) => road.legs)
  // A single drive from stop to stop says where a road begins and ends as well.
  const single = roads.filter((road) => !repeated.includes(road) && road.legs.every(endsAtRests))
  let open = singles
  for (const road of [...shared, ...single]) {
    open = open.flatMap((leg) => {
      if (road.legs.includes(leg)) return [leg]
      const { drives, rest } = drivesWithin(leg, road, recordings[leg.recording])
      if (drives.length === 0) return [leg]
      for (const drive of [...drives, ...road.legs]) found.add(drive)
      return rest
    })
  }
  const untouched = open.filter((leg) => !found.has(leg) && singles.includes(leg))
  return [...found, ...commonDrives(untouched, recordings)].map(wholeLeg)
}

/**
 * Leaves out roads that are only ever driven once in a recording, as the first thing or as the last, where something
 * else was driven between: the way to the test road, and the way home.
 */
function withoutWaysThere(repeated: SharedRoad[], { legs, lapped }: Around): SharedRoad[] {
  const isOuter = ({ legs: members }: SharedRoad): boolean => {
    const once = new Set(members.map(({ recording }) => recording)).size === members.length
    const own = (leg: Leg): Leg[] => legs.filter(({ recording }) => recording === leg.recording)
    const first = members.every((leg) => own(leg).every(({ fromTime }) => fromTime >= leg.fromTime))
    const last = members.every((leg) => own(leg).every(({ toTime }) => toTime <= leg.toTime))
    return once && (first || last) && members.every((leg) => own(leg).length > 2)
  }
  const between = repeated.filter((road) => !isOuter(road)).flatMap((road) => road.legs)
  const others = new Set([...lapped, ...between.map(({ recording }) => recording)])
  return repeated.filter((road) => !isOuter(road) || !road.legs.every(({ recording }) => others.has(recording)))
}

const endsAtRests = ({ restBefore, restAfter }: Leg): boolean => restBefore && restAfter

/** Legs that a rest on the way parts, while others drove the road in one go, are one leg again. */
function withJoinedLegs(recordings: TracedRecording[], roads: SharedRoad[]): SharedRoad[] {
  const all = roads.flatMap(({ legs }) => legs).sort((a, b) => a.recording - b.recording || a.fromTime - b.fromTime)
  const sizeOf = (leg: Leg): number => roads.find(({ legs }) => legs.includes(leg))?.legs.length ?? 0
  const joins: { road: SharedRoad; parts: Leg[]; whole: Leg }[] = []
  const used = new Set<Leg>()
  for (let i = 0; i + 1 < all.length; i++) {
    const [a, b] = [all[i], all[i + 1]]
    if (a.recording !== b.recording || used.has(a) || sizeOf(a) >= AGREED || sizeOf(b) >= AGREED) continue
    const whole = legBetween(recordings[a.recording], a.recording, a.fromTime, b.toTime)
    if (!whole) continue
    const home = roads.find((road) => {
      if (road.legs.includes(a) || road.legs.includes(b) || road.template.lengthM < 1.2 * a.trace.lengthM) return false
      const match = matchOn(whole.trace, road)
      return match !== null && relationOf(match) === 'same'
    })
    if (!home) continue
    used.add(a).add(b)
    joins.push({ road: home, parts: [a, b], whole: { ...whole, restBefore: a.restBefore, restAfter: b.restAfter } })
  }
  if (joins.length === 0) return roads
  return roads
    .map((road) => ({
      ...road,
      legs: [
        ...road.legs.filter((leg) => !used.has(leg)),
        ...joins.filter((join) => join.road === road).map(({ whole }) => whole),
      ],
    }))
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
  const open = singles.slice(0, MOST_SINGLES)
  while (open.length > 1) {
    const leg = present(open.shift())
    const template = open.map((other) => commonRoad(leg, other)).find((road) => road !== null)
    if (!template) continue
    const road = roadFrom(template, [])
    for (const candidate of [leg, ...open]) {
      const { drives } = drivesWithin(candidate, road, recordings[candidate.recording])
      if (drives.length === 0) continue
      found.push(...drives)
      if (candidate !== leg) open.splice(open.indexOf(candidate), 1)
    }
  }
  return found
}

/** Drives between stated gates: from each pass of one to the next. */
function betweenGates(recordings: TracedRecording[], gates: Gate[]): Found[] {
  return recordings.flatMap(({ trace }, recording) => {
    const passes = gates.flatMap((gate) => passesOf(gate, trace)).sort((a, b) => a - b)
    const apart = passes.filter((m, i) => i === 0 || m - passes[i - 1] >= SHORTEST_OTHER_M)
    const times = apart.map((m) => timeAtDistance(trace, m))
    return times.slice(1).map((toTime, i) => ({
      recording,
      fromTime: times[i],
      toTime,
      stintTime: times[0],
      lap: gates.length === 1 && apart.length > 2 ? i + 1 : null,
    }))
  })
}

/** A recording as the chain of its drives, rests and what lies between them. */
function piecesOf(recording: TracedRecording, drives: Found[]): Piece[] {
  const { trace, rests, startTime, endTime } = recording
  const pieces: Piece[] = []
  const distanceBetween = (from: number, to: number): number => distanceAtTime(trace, to) - distanceAtTime(trace, from)
  const add = (kind: PieceKind, fromTime: number, toTime: number, drive: Found | null = null): void => {
    if (toTime - fromTime < 1) return
    pieces.push({
      kind,
      fromTime,
      toTime,
      distanceM: distanceBetween(fromTime, toTime),
      stintTime: drive?.stintTime ?? null,
      lap: drive?.lap ?? null,
    })
  }
  const between = (fromTime: number, toTime: number): void => {
    let at = fromTime
    for (const rest of rests) {
      if (rest.toTime <= fromTime || rest.fromTime >= toTime) continue
      add('other', at, Math.max(at, rest.fromTime))
      add(rest.kind, Math.max(at, rest.fromTime), Math.min(toTime, rest.toTime))
      at = Math.min(toTime, rest.toTime)
    }
    add('other', at, toTime)
  }
  let at = startTime
  for (const drive of [...drives].sort((a, b) => a.fromTime - b.fromTime)) {
    if (drive.fromTime < at - 1) continue
    between(at, drive.fromTime)
    add('drive', drive.fromTime, drive.toTime, drive)
    at = drive.toTime
  }
  between(at, endTime)
  return pieces
}
