import { radians } from '../base/units.ts'
import { indexAt, type Trace } from './division/trace.ts'

/** A drive as one device recorded it. */
export interface RecordedDrive {
  trace: Trace
  /** Seconds since 1970 UTC. */
  startTime: number
  endTime: number
  /** The user says that it is not to be used. */
  excluded: boolean
  /** What the user says of the vehicle and its fuel, null where nothing: who says two things of one drive means two. */
  says: readonly (string | null)[]
}

const LEAST_COMMON_SHARE = 0.5
const EVERY_S = 2
/** Twenty seconds at speed. */
const LEAST_SAMPLES = 10
/** Below this a few metres of error are seconds of lag. */
const LEAST_SPEED_MPS = 5
/**
 * A car behind another keeps a second or more; two telephones in one car are less than 0.8 s apart in the middle where
 * both have good positions. Positions from cell towers are off by seconds both ways, and stay off one way for a
 * minute: the middle of the lags is then known no better than their scatter over so many minutes allows, and may be off
 * by two and a half standard errors. The longer two cars go behind each other, the surer they are told apart. Sizes from
 * telephones in one car (mobilitynet).
 */
const MOST_LAG_S = 1
const MOST_LAG_IN_ERRORS = 2.5
const ERRORS_LAST_S = 60
/** Standard deviation over the range of the middle half of a normal distribution, and that of its median over the mean's. */
const RANGE_TO_SD = 0.7413
const MEDIAN_ERROR = 1.2533
/** More than doubt and a missing share of the road come to. */
const MOST_FAULT = 10
const METRES_PER_DEGREE = 111_200

/**
 * Which recordings are of one drive: devices that were at the same places at the same times.
 * @returns for every drive recorded more than once the indices of its recordings, the best first: the one with
 * least doubt and least of the road missing
 */
export function recordersOf(drives: readonly RecordedDrive[]): number[][] {
  const byStart = [...drives.keys()].sort((a, b) => drives[a].startTime - drives[b].startTime)
  const groupOf = new Map<number, number[]>()
  for (const [place, a] of byStart.entries()) {
    for (let next = place + 1; next < byStart.length; next++) {
      const b = byStart[next]
      if (drives[b].startTime >= drives[a].endTime) break
      if (!areOneDrive(drives[a], drives[b])) continue
      const joined = [...new Set([...(groupOf.get(a) ?? [a]), ...(groupOf.get(b) ?? [b])])]
      if (joined.some((i) => joined.some((j) => contradict(drives[i], drives[j])))) continue
      for (const member of joined) groupOf.set(member, joined)
    }
  }
  return [...new Set(groupOf.values())].map((group) => bestFirst(group, drives))
}

/** Beyond this, a device's clock was hardly meant: s. */
const MOST_CLOCK_ERROR_S = 60

/** Two recordings at the same places, one of them behind the other by the same time all the way. */
export interface Follower {
  leader: number
  follower: number
  lagS: number
}

/**
 * Recordings that follow each other so steadily that they may be of one drive by devices whose clocks differ, as well as
 * of two vehicles: nothing in them tells which. Those of one group, and those of which the user says two things, are not
 * among them.
 */
export function followersAmong(drives: readonly RecordedDrive[], groups: readonly number[][]): Follower[] {
  const groupOf = new Map(groups.flatMap((group) => group.map((i) => [i, group] as const)))
  const byStart = [...drives.keys()].sort((a, b) => drives[a].startTime - drives[b].startTime)
  const found: Follower[] = []
  for (const [place, a] of byStart.entries()) {
    for (let next = place + 1; next < byStart.length; next++) {
      const b = byStart[next]
      if (drives[b].startTime >= drives[a].endTime) break
      if ((groupOf.has(a) && groupOf.get(a) === groupOf.get(b)) || contradict(drives[a], drives[b])) continue
      if (drives[a].excluded || drives[b].excluded || !overlapEnough(drives[a], drives[b])) continue
      const apart = apartBy(drives[a], drives[b])
      if (apart === null || !isBeside(apart.acrossM, drives[a], drives[b])) continue
      if (apart.spreadS > MOST_LAG_S || Math.abs(apart.lagS) > MOST_CLOCK_ERROR_S) continue
      const [leader, follower] = apart.lagS > 0 ? [b, a] : [a, b]
      found.push({ leader, follower, lagS: Math.abs(apart.lagS) })
    }
  }
  return found
}

function bestFirst(group: number[], drives: readonly RecordedDrive[]): number[] {
  const longestM = Math.max(...group.map((i) => drives[i].trace.lengthM))
  const fault = (i: number): number => {
    const { excluded, trace } = drives[i]
    return (excluded ? MOST_FAULT : 0) + trace.doubt + 1 - trace.lengthM / longestM
  }
  return [...group].sort((a, b) => fault(a) - fault(b) || a - b)
}

const contradict = (a: RecordedDrive, b: RecordedDrive): boolean =>
  a.says.some((said, i) => said !== null && b.says[i] !== null && said !== b.says[i])

function areOneDrive(a: RecordedDrive, b: RecordedDrive): boolean {
  if (!overlapEnough(a, b)) return false
  const apart = apartBy(a, b)
  return (
    apart !== null &&
    Math.abs(apart.lagS) <= Math.max(MOST_LAG_S, MOST_LAG_IN_ERRORS * apart.lagErrorS) &&
    isBeside(apart.acrossM, a, b)
  )
}

function overlapEnough(a: RecordedDrive, b: RecordedDrive): boolean {
  const from = Math.max(a.startTime, b.startTime)
  const to = Math.min(a.endTime, b.endTime)
  const shorter = Math.min(a.endTime - a.startTime, b.endTime - b.startTime)
  return to - from >= LEAST_COMMON_SHARE * shorter
}

const isBeside = (acrossM: number, a: RecordedDrive, b: RecordedDrive): boolean =>
  acrossM <= a.trace.corridorM + b.trace.corridorM

/** Whether two recordings are too coarse to tell one vehicle from two behind each other. */
export const mayBeTwoVehicles = (a: RecordedDrive, b: RecordedDrive): boolean =>
  MOST_LAG_IN_ERRORS * (apartBy(a, b)?.lagErrorS ?? Number.POSITIVE_INFINITY) > MOST_LAG_S

interface Apart {
  /** How far b is ahead of a in the middle, the standard error of that, and the range of the middle half, s. */
  lagS: number
  lagErrorS: number
  spreadS: number
  /** How far b is beside a in the middle, m. */
  acrossM: number
}

/** How two recordings lie at the same times; null where they have too little in common. */
function apartBy(a: RecordedDrive, b: RecordedDrive): Apart | null {
  const from = Math.max(a.startTime, b.startTime)
  const to = Math.min(a.endTime, b.endTime)
  const lagsS: number[] = []
  const acrossM: number[] = []
  for (let time = from; time < to; time += EVERY_S) {
    const [one, other] = [placeAt(a.trace, time), placeAt(b.trace, time)]
    if (!one || !other) continue
    const east = METRES_PER_DEGREE * Math.cos(radians(one.latitude)) * (other.longitude - one.longitude)
    const north = METRES_PER_DEGREE * (other.latitude - one.latitude)
    const course = radians(one.courseDeg)
    lagsS.push((east * Math.sin(course) + north * Math.cos(course)) / one.speedMps)
    acrossM.push(Math.abs(east * Math.cos(course) - north * Math.sin(course)))
  }
  if (lagsS.length < LEAST_SAMPLES) return null
  const lag = quartiles(lagsS)
  const independent = Math.max(1, (lagsS.length * EVERY_S) / ERRORS_LAST_S)
  const lagErrorS = (MEDIAN_ERROR * RANGE_TO_SD * (lag.upper - lag.lower)) / Math.sqrt(independent)
  return { lagS: lag.middle, lagErrorS, spreadS: lag.upper - lag.lower, acrossM: quartiles(acrossM).middle }
}

function quartiles(values: number[]): { lower: number; middle: number; upper: number } {
  const sorted = [...values].sort((x, y) => x - y)
  const at = (share: number): number => sorted[Math.floor(share * sorted.length)]
  return { lower: at(0.25), middle: at(0.5), upper: at(0.75) }
}

/** Where a recording has its vehicle at a time; null where it stands, creeps or nobody knows. */
function placeAt(
  trace: Trace,
  time: number,
): { latitude: number; longitude: number; courseDeg: number; speedMps: number } | null {
  const i = Math.min(trace.time.length - 2, indexAt(trace, time))
  if (i < 0 || trace.inGap[i] || trace.inGap[i + 1]) return null
  const durationS = trace.time[i + 1] - trace.time[i]
  const speedMps = (trace.distanceM[i + 1] - trace.distanceM[i]) / durationS
  if (!(speedMps >= LEAST_SPEED_MPS) || !Number.isFinite(trace.courseDeg[i])) return null
  const share = (time - trace.time[i]) / durationS
  const mix = (column: Float64Array): number => column[i] + share * (column[i + 1] - column[i])
  return { latitude: mix(trace.latitude), longitude: mix(trace.longitude), courseDeg: trace.courseDeg[i], speedMps }
}
