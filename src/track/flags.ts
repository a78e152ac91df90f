import type { Problem } from '../base/problem.ts'
import { stepM } from './geodesy.ts'
import { SHORTEST_GAP_S } from './motion.ts'
import { topSpeedMps } from './summary.ts'
import type { Drive, Gap } from './types.ts'

/** More of the time than this without fixes weakens the run. */
const GAP_SHARE_LIMIT = 0.02
/** Fixes further apart than this do not show how the vehicle accelerated, s. */
const LOW_RATE_S = 5
/** Satellite fixes scatter by a few metres; more than this and they come from cells or Wi-Fi, m. */
const COARSE_M = 5
/** Satellite receivers jump now and then; a larger share of impossible points is not theirs. */
const SPIKE_SHARE_LIMIT = 0.1
/** Nobody drives this on a public road for a fuel test (216 km/h): what is left of false positions, m/s. */
const FALSE_SPEED_MPS = 60
/** A recording that begins or ends faster than this has missed a part of the drive, m/s. */
const ROLLING_MPS = 8
/** Start and end nearer than this are one place, m; their elevations should agree to within the other figure, m. */
const SAME_PLACE_M = 100
const DRIFT_M = 15

/** What the reader of a run's figures should know about its track. */
export function flagsOf(drive: Drive): Problem[] {
  const flags = [
    gapFlag(drive),
    jumpFlag(drive),
    rateFlag(drive),
    coarseFlag(drive),
    rollingFlag(drive),
    elevationFlag(drive),
    driftFlag(drive),
  ]
  return flags.filter((flag) => flag !== null)
}

const times = (count: number): string => (count === 1 ? 'once' : count === 2 ? 'twice' : `${count} times`)
const seconds = (gap: Gap): number => gap.toTime - gap.fromTime

function gapFlag({ gapShare, gaps }: Drive): Problem | null {
  const silent = gaps.filter((gap) => seconds(gap) > SHORTEST_GAP_S)
  if (silent.length === 0) return null
  const longestS = Math.round(silent.reduce((most, gap) => Math.max(most, seconds(gap)), 0))
  const km = (silent.reduce((sum, gap) => sum + gap.chordM, 0) / 1000).toFixed(1)
  return {
    code: 'gaps',
    severity: gapShare > GAP_SHARE_LIMIT ? 'warning' : 'note',
    message: `The recording breaks off ${times(silent.length)}, for up to ${longestS} s; ${km} km are bridged by straight lines.`,
  }
}

function jumpFlag({ gaps }: Drive): Problem | null {
  const jumps = gaps.filter((gap) => seconds(gap) <= SHORTEST_GAP_S)
  if (jumps.length === 0) return null
  const farthestM = Math.round(jumps.reduce((most, gap) => Math.max(most, gap.chordM), 0))
  return {
    code: 'position-jumps',
    severity: farthestM > SAME_PLACE_M ? 'warning' : 'note',
    message: `The position jumps ${times(jumps.length)}, by up to ${farthestM} m, and goes on from there; no speed is taken from a jump.`,
  }
}

function rateFlag({ medianFixIntervalS }: Drive): Problem | null {
  if (medianFixIntervalS <= LOW_RATE_S) return null
  return {
    code: 'low-rate',
    severity: 'warning',
    message: `A new position comes only every ${medianFixIntervalS.toFixed(0)} s, so stops and changes of speed are seen roughly.`,
    hint: 'Record every second.',
  }
}

/** Whether positions come from something poorer than a satellite receiver: cell towers, Wi-Fi. */
export const isCoarse = (drive: Drive): boolean => signOfCoarseness(drive) !== null

function coarseFlag(drive: Drive): Problem | null {
  const sign = signOfCoarseness(drive)
  if (sign === null) return null
  return {
    code: 'coarse-positions',
    severity: 'warning',
    message: `${sign}, as when a phone takes its place from cell towers or Wi-Fi; distance and speed are poor.`,
    hint: 'Let the device use its satellite receiver at full accuracy.',
  }
}

function signOfCoarseness({ positionNoiseM, repairs, fixCount, motion }: Drive): string | null {
  if (positionNoiseM > COARSE_M) return `Positions scatter by ${positionNoiseM.toFixed(0)} m`
  const spikeShare = repairs.spikes / (repairs.spikes + fixCount)
  if (spikeShare > SPIKE_SHARE_LIMIT) return `${Math.round(100 * spikeShare)} % of the points cannot have been reached`
  const fastestMps = topSpeedMps(motion)
  return fastestMps > FALSE_SPEED_MPS ? `The positions make up to ${Math.round(fastestMps * 3.6)} km/h` : null
}

function rollingFlag({ motion }: Drive): Problem | null {
  const first = motion.speedMps[0]
  const last = motion.speedMps[motion.count - 1]
  const ends = [
    ...(first > ROLLING_MPS ? [`begins at ${Math.round(first * 3.6)} km/h`] : []),
    ...(last > ROLLING_MPS ? [`ends at ${Math.round(last * 3.6)} km/h`] : []),
  ]
  if (ends.length === 0) return null
  return {
    code: 'cut-while-moving',
    severity: 'note',
    message: `The recording ${ends.join(' and ')}: a part of the drive is missing.`,
  }
}

function elevationFlag({ elevationShare }: Drive): Problem | null {
  if (elevationShare === 0) {
    return { code: 'no-elevation', severity: 'note', message: 'The track has no elevation.' }
  }
  if (elevationShare >= 0.5) return null
  return {
    code: 'little-elevation',
    severity: 'note',
    message: `Only ${Math.round(100 * elevationShare)} % of the fixes have an elevation.`,
  }
}

function driftFlag({ motion }: Drive): Problem | null {
  const { latitude, longitude, elevationM, count } = motion
  const apartM = stepM(latitude[0], longitude[0], latitude[count - 1], longitude[count - 1])
  const driftM = elevationM[count - 1] - elevationM[0]
  if (apartM > SAME_PLACE_M || !(Math.abs(driftM) > DRIFT_M)) return null
  const sense = driftM > 0 ? 'higher' : 'lower'
  return {
    code: 'elevation-drift',
    severity: 'note',
    message: `Start and end are one place, but its elevation reads ${Math.abs(driftM).toFixed(0)} m ${sense} at the end.`,
  }
}
