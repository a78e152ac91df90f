import { failed, found, type Outcome, type Problem } from '../../base/problem.ts'
import { firstOfEach } from '../../read/many.ts'
import type { TrackColumns } from '../../read/types.ts'
import { stepM } from '../geodesy.ts'
import { timesOnClock } from '../log.ts'
import { withoutElevationOutliers, withoutSpikes } from '../motion/outliers.ts'
import { withEvenPace } from '../motion/pace.ts'
import type { Fixes, Repairs } from '../types.ts'
import { withSteadyClock } from './clock.ts'
import { withoutFrozen } from './frozen.ts'
import { inTimeOrder, withoutImpossible } from './order.ts'
import { repairProblems } from './repairs.ts'

/** A run needs at least this much to say anything about a drive. */
const FEWEST_FIXES = 10
const SHORTEST_S = 60
const SHORTEST_M = 100
/** A drive is computed second by second: a logger that wakes twice a day for years would fill the memory. */
const LONGEST_S = 3 * 86_400

/**
 * A logger that holds positions writes fixes of unknown age; its standard deviation as a share of the usual hold. Chosen
 * on the one such device at hand (holds of 12 s): taken as they are, its fixes make up to 111 km/h where the car's bus
 * never reads more than 83; with an eighth to a third of the hold, 89 to 95.
 */
const UNKNOWN_AGE_IN_HOLDS = 1 / 6

export interface CleanTrack {
  fixes: Fixes
  repairs: Repairs
  /** Of all rows of the track, seconds since 1970 UTC on the clock of the fixes. */
  rowTime: Float64Array
}

/**
 * The fixes of a track that can be believed, in time order, with a count of everything that was left out or mended;
 * each count that is not 0 is a problem. Works by time, never by row number: the order of the rows does not matter.
 * Fails with `track-without-times`, `track-too-short` or `track-too-long`.
 */
export function cleanTrack(track: TrackColumns): Outcome<CleanTrack> {
  const repairs = noRepairs()
  const raw: Fixes = {
    time: track.time,
    latitude: track.latitude,
    longitude: track.longitude,
    elevation: track.elevation,
  }
  const possible = withoutImpossible(raw, repairs)
  if (possible.time.length < 2 || possible.time.every((time) => time === possible.time[0])) {
    return failed(withoutUse(raw, possible), repairProblems(repairs))
  }
  const ofClock: Problem[] = []
  const { latitude, longitude } = possible
  const moved = (i: number): number => stepM(latitude[i], longitude[i], latitude[i + 1], longitude[i + 1])
  const steady = withSteadyClock(possible, repairs, moved, ofClock)
  const ordered = inTimeOrder(steady, repairs, ofClock)
  const told = (): Problem[] => [...firstOfEach(ofClock), ...repairProblems(repairs)]
  const long = tooLong(ordered)
  if (long) return failed(long, told())
  const fresh = withoutFrozen(ordered, repairs)
  const likely = withoutSpikes(fresh.fixes, repairs)
  const even = fresh.usualHoldS > 0 ? withEvenPace(likely, UNKNOWN_AGE_IN_HOLDS * fresh.usualHoldS) : likely
  const fixes = withoutElevationOutliers(even, repairs)
  const problems = told()
  const short = tooShort(fixes)
  return short
    ? failed(short, problems)
    : found({ fixes, repairs, rowTime: timesOnClock(track, possible, steady) }, problems)
}

function noRepairs(): Repairs {
  return {
    impossiblePositions: 0,
    impossibleTimes: 0,
    missingTimes: 0,
    exactDuplicates: 0,
    repeatedTimes: 0,
    outOfOrder: 0,
    frozenFixes: 0,
    spikes: 0,
    elevationOutliers: 0,
    clockJumps: 0,
    standingDrift: 0,
  }
}

/** Why nothing is left after the impossible rows are out. */
function withoutUse(raw: Fixes, possible: Fixes): Omit<Problem, 'severity'> {
  const rows = raw.time.length
  const times = raw.time.filter((time) => !Number.isNaN(time)).length
  const hint = 'A drive needs points recorded while driving, each with its time; a planned route has none.'
  if (rows === 0) return { code: 'track-too-short', message: 'The track has no points.', hint }
  if (times === 0) {
    return {
      code: 'track-without-times',
      message: `None of the ${rows} points has a time, so there is no speed.`,
      hint,
    }
  }
  if (possible.time.length > 1) {
    const message = `All ${possible.time.length} points carry the same time, so there is no speed.`
    return { code: 'track-without-times', message, hint }
  }
  const message = `Of ${rows} points, ${possible.time.length} have both a possible time and a possible position; at least ${FEWEST_FIXES} are needed.`
  return { code: 'track-too-short', message, hint }
}

function tooLong({ time }: Fixes): Omit<Problem, 'severity'> | null {
  const durationS = time[time.length - 1] - time[0]
  if (!(durationS > LONGEST_S)) return null
  return {
    code: 'track-too-long',
    message: `The track goes on for ${Math.round(durationS / 86_400)} days without a pause of half a day; a drive may take ${LONGEST_S / 86_400} days at most.`,
    hint: 'Split it into one track for each drive.',
  }
}

function tooShort({ time, latitude, longitude }: Fixes): Omit<Problem, 'severity'> | null {
  const durationS = time.length > 0 ? time[time.length - 1] - time[0] : 0
  let farthestM = 0
  for (let i = 1; i < time.length && farthestM < SHORTEST_M; i++) {
    farthestM = Math.max(farthestM, stepM(latitude[0], longitude[0], latitude[i], longitude[i]))
  }
  if (time.length >= FEWEST_FIXES && durationS >= SHORTEST_S && farthestM >= SHORTEST_M) return null
  return {
    code: 'track-too-short',
    message:
      `The track has ${time.length} usable points over ${Math.round(durationS)} s and gets ${Math.round(farthestM)} m ` +
      `away from its start; a drive needs at least ${FEWEST_FIXES} points, ${SHORTEST_S} s and ${SHORTEST_M} m.`,
  }
}
