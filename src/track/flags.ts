import type { Severity } from '../base/problem.ts'
import { carriedIn } from './carried.ts'
import { stepM } from './geodesy.ts'
import { SHORTEST_GAP_S } from './motion/motion.ts'
import { ABOVE_PACE, fastestPaceMps, toldTopSpeedMps, topSpeedMps } from './summary.ts'
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
/** Above the highest limit on any public road (160 km/h, from memory), m/s: false positions are likelier than such a speed. */
const IMPLAUSIBLE_MPS = 160 / 3.6
/** A recording that begins or ends faster than this has missed a part of the drive, m/s. */
const ROLLING_MPS = 8
/** Start and end nearer than this are one place, m; their elevations should agree to within the other figure, m. */
const SAME_PLACE_M = 100
const DRIFT_M = 15

/** What is weak about a track, with its figures in SI: shares 0 to 1, counts, metres, seconds, m/s. */
export interface TrackFlag {
  code:
    | 'gaps'
    | 'position-jumps'
    | 'low-rate'
    | 'coarse-positions'
    | 'top-speed-unsupported'
    | 'top-speed-implausible'
    | 'cut-while-moving'
    | 'no-elevation'
    | 'little-elevation'
    | 'elevation-drift'
    | 'may-be-ferry'
    | 'long-stand'
  severity: Severity
  figures: Record<string, number>
}

/** What the reader of a run's figures should know about its track. */
export function flagsOf(drive: Drive): TrackFlag[] {
  const flags = [
    gapFlag(drive),
    jumpFlag(drive),
    rateFlag(drive),
    coarseFlag(drive),
    topSpeedFlag(drive),
    implausibleSpeedFlag(drive),
    rollingFlag(drive),
    elevationFlag(drive),
    driftFlag(drive),
    ...carriedFlags(drive),
  ]
  return flags.filter((flag) => flag !== null)
}

const seconds = (gap: Gap): number => gap.toTime - gap.fromTime

function gapFlag({ gapShare, gaps }: Drive): TrackFlag | null {
  const silent = gaps.filter((gap) => seconds(gap) > SHORTEST_GAP_S)
  if (silent.length === 0) return null
  const longestS = Math.round(silent.reduce((most, gap) => Math.max(most, seconds(gap)), 0))
  const bridged_m = silent.reduce((sum, gap) => sum + gap.chordM, 0)
  return {
    code: 'gaps',
    severity: gapShare > GAP_SHARE_LIMIT ? 'warning' : 'note',
    figures: { count: silent.length, longest_s: longestS, bridged_m },
  }
}

function jumpFlag({ gaps }: Drive): TrackFlag | null {
  const jumps = gaps.filter((gap) => seconds(gap) <= SHORTEST_GAP_S)
  if (jumps.length === 0) return null
  const farthestM = Math.round(jumps.reduce((most, gap) => Math.max(most, gap.chordM), 0))
  return {
    code: 'position-jumps',
    severity: farthestM > SAME_PLACE_M ? 'warning' : 'note',
    figures: { count: jumps.length, farthest_m: farthestM },
  }
}

function rateFlag({ medianFixIntervalS }: Drive): TrackFlag | null {
  if (medianFixIntervalS <= LOW_RATE_S) return null
  return {
    code: 'low-rate',
    severity: 'warning',
    figures: { interval_s: medianFixIntervalS },
  }
}

/** Whether positions come from something poorer than a satellite receiver: cell towers, Wi-Fi. */
export const isCoarse = (drive: Drive): boolean => signOfCoarseness(drive) !== null

function coarseFlag(drive: Drive): TrackFlag | null {
  const sign = signOfCoarseness(drive)
  if (sign === null) return null
  return {
    code: 'coarse-positions',
    severity: 'warning',
    figures: sign,
  }
}

function signOfCoarseness({ positionNoiseM, repairs, fixCount, motion }: Drive): Record<string, number> | null {
  if (positionNoiseM > COARSE_M) return { scatter_m: positionNoiseM }
  const spikeShare = repairs.spikes / (repairs.spikes + fixCount)
  if (spikeShare > SPIKE_SHARE_LIMIT) return { unreachable_share: spikeShare }
  const fastestMps = topSpeedMps(motion)
  return fastestMps > FALSE_SPEED_MPS ? { fastest_mps: fastestMps } : null
}

/** A smoothed speed above what the distances between fixes bear out. */
function topSpeedFlag(drive: Drive): TrackFlag | null {
  const [top_mps, supported_mps] = [topSpeedMps(drive.motion), ABOVE_PACE * fastestPaceMps(drive)]
  return top_mps > supported_mps
    ? { code: 'top-speed-unsupported', severity: 'note', figures: { top_mps, supported_mps } }
    : null
}

/** A highest speed that no public road allows; nothing where the positions are told to be coarse for it already. */
function implausibleSpeedFlag(drive: Drive): TrackFlag | null {
  const top_mps = toldTopSpeedMps(drive)
  if (top_mps <= IMPLAUSIBLE_MPS || signOfCoarseness(drive)?.fastest_mps !== undefined) return null
  return { code: 'top-speed-implausible', severity: 'warning', figures: { top_mps } }
}

function rollingFlag({ motion }: Drive): TrackFlag | null {
  const first = motion.speedMps[0]
  const last = motion.speedMps[motion.count - 1]
  const figures = {
    ...(first > ROLLING_MPS ? { start_mps: first } : {}),
    ...(last > ROLLING_MPS ? { end_mps: last } : {}),
  }
  if (Object.keys(figures).length === 0) return null
  return {
    code: 'cut-while-moving',
    severity: 'note',
    figures,
  }
}

function elevationFlag({ elevationShare }: Drive): TrackFlag | null {
  if (elevationShare === 0) {
    return { code: 'no-elevation', severity: 'note', figures: {} }
  }
  if (elevationShare >= 0.5) return null
  return {
    code: 'little-elevation',
    severity: 'note',
    figures: { share: elevationShare },
  }
}

/** What a user may want to leave out, with its times in seconds since 1970 UTC. */
function carriedFlags({ motion }: Drive): TrackFlag[] {
  return carriedIn(motion).map(({ kind, fromTime, toTime, distanceM }) => ({
    code: kind === 'ferry' ? 'may-be-ferry' : kind,
    severity: 'note',
    figures: { from_time: Math.floor(fromTime), to_time: Math.ceil(toTime), length_m: distanceM },
  }))
}

function driftFlag({ motion }: Drive): TrackFlag | null {
  const { latitude, longitude, elevationM, count } = motion
  const apartM = stepM(latitude[0], longitude[0], latitude[count - 1], longitude[count - 1])
  const driftM = elevationM[count - 1] - elevationM[0]
  if (apartM > SAME_PLACE_M || !(Math.abs(driftM) > DRIFT_M)) return null
  return {
    code: 'elevation-drift',
    severity: 'note',
    figures: { drift_m: driftM },
  }
}
