import type { Path } from '../types.ts'
import { type Gate, gateAt, lastPasses, passesOf } from './passes.ts'

/** Passes whose lags agree within this are passes of one closed road. */
const LAG_SHARE = 0.04
const LAG_M = 150
/** So much of a lap must be driven again before it counts as a closed road driven in laps. */
const LEAST_REPEATED_SHARE = 0.8
/** Two rounds of the block are no test; more rounds, or longer ones, are. */
const FEWEST_LAPS = 3
const LONG_LAPS_M = 5000
/** Where a vehicle turns on to the road or off it, its gate is so many bands wide. */
const TURNING_BANDS = 2.5
/** So far before a vehicle is seen to repeat its road it may already have been on it, m. */
const BEFORE_M = 150
/** Gates are tried at so many places of the first lap. */
const GATES_TRIED = 60
/** Passes nearer to each other than this share of a lap are one: the gate lies where the road is driven twice a lap. */
const SHORTEST_LAP_SHARE = 0.6
/** A lap's length differs from the usual one by no more than this share, pit lane and road works included. */
const USUAL_SHARE = 0.15

/** A closed road driven round and round. */
export interface Laps {
  gate: Gate
  /** Distances at which laps begin and end, m along the path: n + 1 of n laps. */
  passesM: number[]
  /** Usual length of a lap, m. */
  lengthM: number
}

/** The laps in a path that has no rest in it; null where no closed road was driven at least twice. */
export function lapsOf(path: Path): Laps | null {
  const lagM = lastPasses(path)
  const lengthM = usualLag(lagM)
  if (lengthM === null) return null
  const isAgain = (i: number): boolean => Math.abs(lagM[i] - lengthM) <= LAG_M + LAG_SHARE * lengthM
  const first = lagM.findIndex((_, i) => isAgain(i))
  const repeatedM = path.spacingM * lagM.reduce((count, _, i) => count + (isAgain(i) ? 1 : 0), 0)
  if (repeatedM < LEAST_REPEATED_SHARE * lengthM) return null
  const startM = path.distanceM[first] - lagM[first]
  const laps = bestGate(path, startM, lengthM)
  if (laps === null) return null
  const count = laps.passesM.length - 1
  const enough = count >= FEWEST_LAPS || (count >= 2 && laps.lengthM >= LONG_LAPS_M)
  return enough ? laps : null
}

/** The most frequent lag, m. */
function usualLag(lagM: Float64Array): number | null {
  const known = lagM.filter((lag) => !Number.isNaN(lag)).sort()
  if (known.length === 0) return null
  let [best, bestCount] = [known[0], 0]
  for (let from = 0, to = 0; from < known.length; from++) {
    const most = known[from] + LAG_M / 2 + LAG_SHARE * known[from]
    while (to < known.length && known[to] <= most) to++
    if (to - from > bestCount) {
      bestCount = to - from
      best = known[(from + to - 1) >> 1]
    }
  }
  return best
}

/** The earliest gate that gives the most laps: from a little before the road was first seen to be driven again, a lap on. */
function bestGate(path: Path, startM: number, lengthM: number): Laps | null {
  let best: Laps | null = null
  const before = Math.ceil(BEFORE_M / path.spacingM)
  const start = Math.max(0, Math.round(startM / path.spacingM))
  const stride = Math.max(1, Math.round(lengthM / path.spacingM / GATES_TRIED))
  const past = Math.min(path.latitude.length, start + Math.ceil(lengthM / path.spacingM))
  for (let i = Math.max(0, start - before); i < past; i += i < start ? 1 : stride) {
    if (path.inGap[i]) continue
    const laps = lapsThrough(gateAt(path, i), path, lengthM)
    if (laps && worth(laps) > worth(best)) best = laps
  }
  return best
}

/** How many laps of usual length a gate gives, less those of another: there the road was driven, and yet no lap of it. */
const worth = (laps: Laps | null): number =>
  laps === null
    ? 0
    : laps.passesM.slice(1).reduce((sum, pass, i) => sum + (isUsual(pass - laps.passesM[i], laps.lengthM) ? 1 : -1), 0)

const isUsual = (lengthM: number, usualM: number): boolean => Math.abs(lengthM - usualM) <= USUAL_SHARE * usualM

/**
 * The first lap may begin, and the last end, with a turn off the road, and a pass may be missed where positions scatter:
 * passes in any direction, in a wider band, that lie a lap before the first, after the last or after any other.
 */
function withMissedPasses(passesM: number[], gate: Gate, path: Path, usualM: number): void {
  if (passesM.length === 0) return
  const any = passesOf({ ...gate, courseDeg: Number.NaN, radiusM: TURNING_BANDS * gate.radiusM }, path)
  const near = (wantedM: number): number | undefined =>
    any
      .filter((m) => Math.abs(m - wantedM) <= LAG_M + LAG_SHARE * usualM)
      .sort((a, b) => Math.abs(a - wantedM) - Math.abs(b - wantedM))[0]
  const before = near(passesM[0] - usualM)
  for (let i = 0; i + 1 < passesM.length; i++) {
    if (passesM[i + 1] - passesM[i] < (2 - USUAL_SHARE) * usualM) continue
    const missed = near(passesM[i] + usualM)
    if (missed !== undefined && missed > passesM[i] && missed < passesM[i + 1]) passesM.splice(i + 1, 0, missed)
  }
  const after = near(passesM[passesM.length - 1] + usualM)
  if (before !== undefined) passesM.unshift(before)
  if (after !== undefined) passesM.push(after)
}

/** The laps between the passes of a gate; null where it was passed once at most. */
export function lapsThrough(gate: Gate, path: Path, usualM: number): Laps | null {
  const passes = passesOf(gate, path)
  const kept: number[] = []
  for (const pass of passes) {
    const last = kept[kept.length - 1]
    if (last === undefined || pass - last >= SHORTEST_LAP_SHARE * usualM) kept.push(pass)
  }
  withMissedPasses(kept, gate, path, usualM)
  if (kept.length < 2) return null
  const lengths = kept.slice(1).map((pass, i) => pass - kept[i])
  const sorted = [...lengths].sort((a, b) => a - b)
  const lengthM = sorted[(sorted.length - 1) >> 1]
  // A shorter stretch before the first lap or after the last is none: the gate was passed on the way there.
  const isShort = (i: number): boolean => lengths[i] < (1 - USUAL_SHARE) * lengthM
  const from = kept.length > 2 && isShort(0) ? 1 : 0
  const past = kept.length > 2 + from && isShort(lengths.length - 1) ? kept.length - 1 : kept.length
  return { gate, passesM: kept.slice(from, past), lengthM }
}
