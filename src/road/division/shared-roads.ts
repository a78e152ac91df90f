import { type Box, boxAround, overlaps } from '../../read/terrain/types.ts'
import { matchPath, mayFollow, prepareReference, type Reference } from '../match.ts'
import { addPath, emptyIndex, pathsNear } from '../path-index.ts'
import { relationOf } from '../routes.ts'
import type { Match } from '../types.ts'
import { type Leg, legBetween, type TracedRecording } from './legs.ts'
import { cutTrace, type Trace, timeAtDistance } from './trace.ts'

/** So much of a road a stretch must cover to be a drive of it that began late, ended early or made a detour. */
const LEAST_PART_SHARE = 0.5
/** A stretch with other driving before or after it must cover the road almost whole. */
const LEAST_WHOLE_SHARE = 0.8
/** Ends of one road agree within this, m. */
const SAME_END_M = 150
/** What two stretches that both go on elsewhere have in common must be this long to be a road. */
const LEAST_COMMON_M = 2000
/** Of the shorter and of the longer of the two. */
const LEAST_COMMON_SHARES = { shorter: 0.5, longer: 0.3 }

/** A leg that is a road lies near it on so much of itself, whatever the recording's noise. */
const NEAR_SHARE = 0.6

/** Legs of one road from end to end. */
export interface SharedRoad {
  template: Trace
  reference: Reference
  box: Box
  legs: Leg[]
}

export const roadFrom = (template: Trace, legs: Leg[], closed = false): SharedRoad => ({
  template,
  reference: prepareReference(template, closed),
  box: boxAround(template.latitude, template.longitude),
  legs,
})

/** How a trace lies on a road; null where they hardly meet. */
export function matchOn(trace: Trace, road: SharedRoad): Match | null {
  if (!overlaps(boxAround(trace.latitude, trace.longitude), road.box) || !mayFollow(trace, road.reference)) return null
  return matchPath(trace, road.reference)
}

/** Groups legs that are one road from end to end, the soundest recordings first; a road of a single leg is a group too. */
export function grouped(legs: Leg[]): SharedRoad[] {
  const roads: SharedRoad[] = []
  const index = emptyIndex()
  const order = [...legs].sort((a, b) => a.trace.doubt - b.trace.doubt || a.fromTime - b.fromTime)
  for (const leg of order) {
    const home = pathsNear(index, leg.trace, NEAR_SHARE).find((id) => {
      const match = matchOn(leg.trace, roads[id])
      return match !== null && relationOf(match) === 'same'
    })
    if (home !== undefined) roads[home].legs.push(leg)
    else {
      addPath(index, roads.length, leg.trace)
      roads.push(roadFrom(leg.trace, [leg]))
    }
  }
  return roads
}

/** A part of a leg that is a drive of a road, as distances along the leg, m. */
export interface Stretch {
  fromM: number
  toM: number
  match: Match
}

/**
 * The part of a trace that lies on a road: where it joins, or the road begins, to where it leaves, or the road ends.
 * Null where it covers too little of the road to be a drive of it.
 */
export function stretchOn(trace: Trace, road: SharedRoad): Stretch | null {
  const match = matchOn(trace, road)
  if (!match) return null
  const { axisM } = match
  const first = axisM.findIndex((m) => !Number.isNaN(m))
  const last = axisM.findLastIndex((m) => !Number.isNaN(m))
  if (first < 0) return null
  // Where only a gap or some scatter parts the trace from the road's end, the end is where it must have been.
  const fromM = ended(trace.distanceM[first] - axisM[first], trace.distanceM[first])
  const toM = ended(trace.distanceM[last] + road.template.lengthM - axisM[last], trace.distanceM[last])
  const whole = match.coveredShare >= LEAST_WHOLE_SHARE
  const alone = fromM <= SAME_END_M && trace.lengthM - toM <= SAME_END_M
  const onRoad = (toM - fromM - detourLength(match)) / (toM - fromM)
  if (onRoad < LEAST_PART_SHARE) return null
  return whole || (alone && match.coveredShare >= LEAST_PART_SHARE)
    ? { fromM: Math.max(0, fromM), toM: Math.min(trace.lengthM, toM), match }
    : null
}

const ended = (wantedM: number, seenM: number): number => (Math.abs(wantedM - seenM) <= SAME_END_M ? wantedM : seenM)

const detourLength = ({ detours }: Match): number => detours.reduce((sum, { fromM, toM }) => sum + toM - fromM, 0)

/** The part of a leg between two distances along it, as a leg of its own; the leg itself where it is nearly all of it. */
export function partOf(
  leg: Leg,
  recording: TracedRecording,
  { fromM, toM }: { fromM: number; toM: number },
): Leg | null {
  const begins = fromM <= SAME_END_M
  const ends = leg.trace.lengthM - toM <= SAME_END_M
  if (begins && ends) return leg
  const part = legBetween(
    recording,
    leg.recording,
    begins ? leg.fromTime : timeAtDistance(leg.trace, fromM),
    ends ? leg.toTime : timeAtDistance(leg.trace, toM),
  )
  return part && { ...part, restBefore: begins && leg.restBefore, restAfter: ends && leg.restAfter }
}

/** The road that two legs have in common before and after which both go elsewhere; null where there is none. */
export function commonRoad(a: Leg, b: Leg): Trace | null {
  const match = matchOn(a.trace, roadFrom(b.trace, []))
  if (!match) return null
  const { axisM } = match
  const first = axisM.findIndex((m) => !Number.isNaN(m))
  const last = axisM.findLastIndex((m) => !Number.isNaN(m))
  if (first < 0 || last - first < 2) return null
  const lengthM = a.trace.distanceM[last] - a.trace.distanceM[first]
  const [shorterM, longerM] = [a.trace.lengthM, b.trace.lengthM].sort((m, n) => m - n)
  const leastM = Math.max(LEAST_COMMON_M, LEAST_COMMON_SHARES.shorter * shorterM, LEAST_COMMON_SHARES.longer * longerM)
  if (lengthM < leastM) return null
  if (detourLength(match) > (1 - LEAST_WHOLE_SHARE) * lengthM) return null
  // An end where only one of them goes on may be a late start of the other: no sign of where the road begins.
  const bothBefore = a.trace.distanceM[first] > SAME_END_M === axisM[first] > SAME_END_M
  const bothAfter =
    a.trace.lengthM - a.trace.distanceM[last] > SAME_END_M === b.trace.lengthM - axisM[last] > SAME_END_M
  return bothBefore && bothAfter ? cutTrace(a.trace, first, last + 1) : null
}
