import { nthOf } from '../base/select.ts'
import { mean, standardDeviation, upperMedian } from '../base/statistics.ts'
import { type Drive, MOVING, type Motion, STANDING } from './types.ts'

/** How a drive was driven: what tells a walk, a bicycle or a train from a motor vehicle on a road. */
export interface Manner {
  /** Middle of the speeds while moving, m/s; NaN where it never moved. */
  usualMps: number
  /** The speed that is passed in 2 % of the time of moving, m/s. */
  topMps: number
  /** Standard deviation of the speeds while moving over their mean. */
  unevenness: number
  /** Change of speed over 3 s that is passed in 1 % of the time of moving, m/s²: pulling away, and braking. */
  pullMps2: number
  brakeMps2: number
  /** Middle of the speeds on steady climbs of 4 % and more, m/s; NaN with less than 300 m of them. */
  climbingMps: number
  /** Largest turn within 100 m at more than a trot, degrees. */
  sharpestDeg: number
  /** Stops between begin and end: how far along the drive, m, and how long, s; columns of one length. */
  stopM: Float64Array
  stopS: Float64Array
}

/** What a drive's own motion can say for sure of its vehicle. */
export type MannerKind = 'walk' | 'bicycle' | 'train'

/** Slower is standing drift, m/s. */
const LEAST_MOVING_MPS = 0.3
/** Speed changes are taken over this long, s. */
const CHANGE_S = 3
const TURN_M = 100
/** Slower courses are noise, m/s. */
const TURN_AT_MPS = 4
const CLIMB = { leastGrade: 0.04, overM: 200, leastM: 300 }

export function mannerOf({ motion }: Pick<Drive, 'motion'>): Manner {
  const speeds = motion.speedMps.filter((v, k) => motion.state[k] === MOVING && v > LEAST_MOVING_MPS)
  const unevenness = standardDeviation(speeds) / mean(speeds)
  const changes = changesOf(motion)
  const at = (values: Float64Array, share: number): number =>
    values.length > 0 ? nthOf(values, Math.floor(share * (values.length - 1))) : Number.NaN
  return {
    usualMps: at(speeds, 0.5),
    topMps: at(speeds, 0.98),
    unevenness,
    pullMps2: at(changes, 0.99),
    brakeMps2: -at(changes, 0.01),
    climbingMps: climbingSpeedMps(motion),
    sharpestDeg: sharpestTurnDeg(motion),
    ...stopsWithin(motion),
  }
}

function changesOf({ speedMps, state, count, stepS }: Motion): Float64Array {
  const reach = Math.max(1, Math.round(CHANGE_S / stepS))
  const found = new Float64Array(count)
  let length = 0
  for (let k = reach; k < count; k++) {
    if (state[k] !== MOVING || state[k - reach] !== MOVING) continue
    const change = (speedMps[k] - speedMps[k - reach]) / (reach * stepS)
    if (Number.isFinite(change)) found[length++] = change
  }
  return found.subarray(0, length)
}

function climbingSpeedMps({ elevationM, distanceM, speedMps, state, count }: Motion): number {
  const speeds: number[] = []
  let climbedM = 0
  let from = 0
  for (let k = 1; k < count; k++) {
    while (distanceM[k] - distanceM[from] > CLIMB.overM) from++
    const overM = distanceM[k] - distanceM[from]
    const grade = (elevationM[k] - elevationM[from]) / overM
    if (overM < CLIMB.overM / 2 || !(grade >= CLIMB.leastGrade) || state[k] !== MOVING) continue
    if (!(speedMps[k] > LEAST_MOVING_MPS)) continue
    speeds.push(speedMps[k])
    climbedM += distanceM[k] - distanceM[k - 1]
  }
  return climbedM >= CLIMB.leastM ? upperMedian(Float64Array.from(speeds)) : Number.NaN
}

function sharpestTurnDeg({ courseDeg, distanceM, speedMps, count }: Motion): number {
  let sharpest = 0
  let from = 0
  // Added up step by step, so that a roundabout counts as all of its turn.
  const turned = new Float64Array(count)
  for (let k = 1; k < count; k++) {
    const step = ((courseDeg[k] - courseDeg[k - 1] + 540) % 360) - 180
    turned[k] = turned[k - 1] + (speedMps[k] > TURN_AT_MPS && Number.isFinite(step) ? step : 0)
    while (distanceM[k] - distanceM[from] > TURN_M) from++
    sharpest = Math.max(sharpest, Math.abs(turned[k] - turned[from]))
  }
  return sharpest
}

function stopsWithin({ state, distanceM, count, stepS }: Motion): Pick<Manner, 'stopM' | 'stopS'> {
  const stops: { atM: number; lastsS: number }[] = []
  for (let from = 0; from < count; ) {
    let past = from + 1
    while (past < count && state[past] === state[from]) past++
    if (state[from] === STANDING && from > 0 && past < count)
      stops.push({ atM: distanceM[from], lastsS: (past - from) * stepS })
    from = past
  }
  return {
    stopM: Float64Array.from(stops, ({ atM }) => atM),
    stopS: Float64Array.from(stops, ({ lastsS }) => lastsS),
  }
}

/**
 * Limits of the kinds. A person walks at 1.4 m/s and runs an hour at 3 to 4; a bicycle rolls evenly at 3 to 8 m/s and
 * pulls away at less than 1 m/s²; a train bends by less than 40° in 100 m (150 m of radius), stops at stations half a
 * kilometre apart or more, and starts and brakes at up to 1 m/s². A car in a jam goes no faster than a walker, but
 * unevenly; and what climbs 4 % at the pace of a runner and rolls down fast is a bicycle, whatever its top speed. Common practice, no source; tried on recordings (mobilitynet, iowa-drives, rsk-twizy, gpx-zoo).
 */
const WALK = { mostTopMps: 3.7, mostPullMps2: 0.6, mostUnevenness: 0.65 }
const BICYCLE = { leastUsualMps: 2.8, mostUnevenness: 0.42 }
const BICYCLE_PACES = [
  { mostTopMps: 10.5, mostPullMps2: 0.8, mostBrakeMps2: 0.8 },
  { mostTopMps: 12.5, mostPullMps2: 0.55, mostBrakeMps2: 0.75 },
]
const ON_HILLS = { mostClimbingMps: 5, mostUsualMps: 9, mostTopMps: 19, mostPullMps2: 0.8, mostBrakeMps2: 1.2 }
const TRAIN = {
  leastM: 5000,
  leastTopMps: 16.7,
  mostPullMps2: 1,
  mostTurnDeg: 40,
  leastStops: 2,
  leastStopS: 15,
  leastApartM: 500,
}
/** Shorter drives are too little to judge by. */
const LEAST_M = 500
const LEAST_S = 180
/** Fixes further apart do not show how a vehicle pulls away, s; a walker is slow all the same. */
const MOST_INTERVAL_S = 10

/** What a drive's motion shows its vehicle to be; null of all that a motor vehicle on a road does as well. */
export function mannerKind(
  manner: Manner,
  { distanceM, durationS }: { distanceM: number; durationS: number },
  { medianFixIntervalS, positionNoiseM }: { medianFixIntervalS: number; positionNoiseM: number },
): MannerKind | null {
  const { topMps, unevenness, pullMps2, brakeMps2 } = manner
  if (distanceM < LEAST_M || durationS < LEAST_S || positionNoiseM > 5) return null
  const gentle = (most: number): boolean => pullMps2 <= most && brakeMps2 <= most
  if (topMps <= WALK.mostTopMps && unevenness <= WALK.mostUnevenness && gentle(WALK.mostPullMps2)) return 'walk'
  if (medianFixIntervalS > MOST_INTERVAL_S) return null
  if (rollsLikeBicycle(manner) || climbsLikeBicycle(manner)) return 'bicycle'
  return distanceM >= TRAIN.leastM && gentle(TRAIN.mostPullMps2) && stopsLikeTrain(manner) ? 'train' : null
}

function rollsLikeBicycle({ usualMps, topMps, unevenness, pullMps2, brakeMps2 }: Manner): boolean {
  if (usualMps < BICYCLE.leastUsualMps || unevenness > BICYCLE.mostUnevenness) return false
  return BICYCLE_PACES.some(
    (pace) => topMps <= pace.mostTopMps && pullMps2 <= pace.mostPullMps2 && brakeMps2 <= pace.mostBrakeMps2,
  )
}

function climbsLikeBicycle({ climbingMps, usualMps, topMps, pullMps2, brakeMps2 }: Manner): boolean {
  const pace = climbingMps <= ON_HILLS.mostClimbingMps && usualMps >= BICYCLE.leastUsualMps
  const within = usualMps <= ON_HILLS.mostUsualMps && topMps <= ON_HILLS.mostTopMps
  return pace && within && pullMps2 <= ON_HILLS.mostPullMps2 && brakeMps2 <= ON_HILLS.mostBrakeMps2
}

function stopsLikeTrain({ topMps, sharpestDeg, stopM, stopS }: Manner): boolean {
  if (topMps < TRAIN.leastTopMps || sharpestDeg > TRAIN.mostTurnDeg || stopM.length < TRAIN.leastStops) return false
  return stopM.every((m, i) => stopS[i] >= TRAIN.leastStopS && (i === 0 || m - stopM[i - 1] >= TRAIN.leastApartM))
}
