import { describe, expect, it } from 'vitest'
import { divide } from '../../../src/road/division/divide.ts'
import {
  figureOfEight,
  type Line,
  otherWay,
  roundCourse,
  stintOver,
  twiceOnTheStraight,
  withPitLane,
} from '../../simulator/courses.ts'
import { drivesOf, tracedOf } from './scores.ts'

const START = Date.UTC(2026, 5, 6, 8) / 1000
/** Where a lap begins and ends is known this well, m: the goal for drives of all kinds. */
const END_M = 50

const laps = (course: Line, count: number): Line[] => Array.from({ length: count }, () => course)

interface Case {
  what: string
  lapM: number
  /** A recording each. */
  stints: (Line | number)[][]
  /** Laps in each. */
  want: number[]
}

const round = (lapM: number, count: number): Case => ({
  what: `${count} laps of ${lapM} m`,
  lapM,
  stints: [laps(roundCourse(lapM), count)],
  want: [count],
})

function pitStop(standS: number): Case {
  const { course, out, rest, toPit, into } = withPitLane(roundCourse(2500))
  const stints = [[out, rest, ...laps(course, 4), toPit, into, standS, out, rest, ...laps(course, 4)]]
  return { what: `11 laps of 2500 m, ${standS} s in the pit lane between them`, lapM: 2500, stints, want: [11] }
}

const CASES: Case[] = [
  round(400, 3),
  round(400, 60),
  round(1000, 30),
  round(4500, 8),
  round(20_000, 3),
  pitStop(0),
  pitStop(60),
  pitStop(300),
  {
    what: 'laps one way, then the other',
    lapM: 2500,
    stints: [laps(roundCourse(2500), 5), laps(otherWay(roundCourse(2500)), 5)],
    want: [5, 5],
  },
  { what: 'a course that crosses itself', lapM: 4000, stints: [laps(figureOfEight(4000), 6)], want: [6] },
  // Who starts on a straight that is driven twice a lap passes no other place seven times: of six laps five are closed.
  { what: 'a straight driven twice a lap', lapM: 4000, stints: [laps(twiceOnTheStraight(4000), 6)], want: [5] },
  {
    what: 'a lap beside a stint',
    lapM: 5000,
    stints: [laps(roundCourse(5000), 5), laps(roundCourse(5000), 1)],
    want: [5, 1],
  },
]

/** A good receiver of the motor sport kind, and a telephone: fixes a second and m of slowly wandering error. */
const RECEIVERS = [
  { what: '10 Hz', sampleS: 0.1, noiseM: 1.5 },
  { what: 'a telephone', sampleS: 1, noiseM: 4 },
]

describe.each(RECEIVERS)('laps of a closed course, $what', ({ sampleS, noiseM }) => {
  it.each(CASES)('$what', ({ what, lapM, stints, want }) => {
    const recorded = stints.map((parts, i) =>
      stintOver(parts, { seed: `${what}/${i}`, startS: START + i * 20_000, sampleS, noiseM }),
    )
    const found = divide(recorded.map(tracedOf)).map(drivesOf)
    expect(found.map((drives) => drives.length)).toEqual(want)
    const trueLengths = found.flatMap((drives, i) =>
      drives.map((drive) => recorded[i].trueM(drive.toTime) - recorded[i].trueM(drive.fromTime)),
    )
    // Each end may be off by so much; the last lap of a straight driven twice begins and ends elsewhere than the others.
    for (const lengthM of trueLengths) expect(Math.abs(lengthM - lapM)).toBeLessThan(2 * END_M)
    expect(Math.abs(sum(trueLengths) / trueLengths.length - lapM)).toBeLessThan(Math.max(8, 0.005 * lapM))
  })
})

const sum = (values: number[]): number => values.reduce((a, b) => a + b, 0)
