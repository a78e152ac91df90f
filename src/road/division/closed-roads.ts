import { addPath, emptyIndex, indexOf, pathsNear } from '../path-index.ts'
import { relationOf } from '../routes.ts'
import { type Found, SHORTEST_OTHER_M, wholeLeg } from './found.ts'
import { type Laps, lapsOf, lapsThrough } from './laps.ts'
import type { Leg } from './legs.ts'
import { type Gate, gateAt } from './passes.ts'
import { matchOn, roadFrom, type SharedRoad } from './shared-roads.ts'
import { cutTrace, type Trace, timeAtDistance } from './trace.ts'

/** So much of a lap lies near its road, whatever the recording's noise. */
const NEAR_SHARE = 0.6

/** Gates of so many stints are tried on all. */
const MOST_GATES = 12

interface Stint {
  leg: Leg
  laps: Laps
}

interface ClosedRoad {
  road: SharedRoad
  stints: Stint[]
}

/** Laps of all closed roads, with one gate a road; and the legs that are none, in their order. */
export function lapsAmong(legs: Leg[]): { laps: Found[]; others: Leg[] } {
  const { roads, others } = closedRoads(legs)
  const found: Found[] = []
  const open = new Set(others)
  const index = roads.length > 0 ? indexOf(others.map(({ trace }) => trace)) : emptyIndex()
  for (const { road, stints } of roads) {
    const gate = gateForAll(stints)
    for (const { leg, laps } of stints) {
      const shared = lapsThrough(gate, leg.trace, laps.lengthM)
      const best = shared && shared.passesM.length >= laps.passesM.length ? shared : laps
      found.push(...lapsFound(leg, best))
    }
    for (const i of pathsNear(index, road.template, NEAR_SHARE)) {
      if (!open.has(others[i])) continue
      const single = singleLaps(others[i], road, gate)
      if (single.length === 0) continue
      found.push(...single)
      open.delete(others[i])
    }
  }
  return { laps: found, others: [...open] }
}

/** The legs that go round and round, by their road; and the legs that do not. */
function closedRoads(legs: Leg[]): { roads: ClosedRoad[]; others: Leg[] } {
  const roads: ClosedRoad[] = []
  const others: Leg[] = []
  const index = emptyIndex()
  for (const leg of legs) {
    const laps = lapsOf(leg.trace)
    if (!laps) {
      others.push(leg)
      continue
    }
    const first = oneLap(leg.trace, laps)
    const home = pathsNear(index, first, NEAR_SHARE).find((id) => {
      const match = matchOn(first, roads[id].road)
      return match !== null && relationOf(match) === 'same'
    })
    if (home !== undefined) roads[home].stints.push({ leg, laps })
    else {
      addPath(index, roads.length, first)
      roads.push({ road: roadFrom(first, [leg], true), stints: [{ leg, laps }] })
    }
  }
  return { roads, others }
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
  const gates = stints.slice(0, MOST_GATES).map(({ laps }) => laps.gate)
  const totals = gates.map(total)
  return gates[totals.indexOf(totals.reduce((most, count) => Math.max(most, count)))]
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
