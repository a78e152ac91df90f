import { describe, expect, it } from 'vitest'
import { divide } from '../../../src/road/division/divide.ts'
import { backwards, type Doing, roadFrom, simulateDay, withDetour } from '../../simulator/day.ts'
import { simulateRoad } from '../../simulator/index.ts'
import { between, drivesOf, paired, tracedOf } from './scores.ts'

const START = Date.UTC(2026, 4, 12, 7) / 1000

const test = simulateRoad({ seed: 'test road', shape: 'one-way', lengthM: 20000, latitudeDeg: 47.3, longitudeDeg: 8.1 })
const ring = simulateRoad({ seed: 'ring', shape: 'loop', lengthM: 13000, latitudeDeg: 47.3, longitudeDeg: 8.1 })
const home = roadFrom(test, 'start', 'home', 12000)
const beyond = roadFrom(test, 'end', 'beyond', 6000)
const toTest = backwards(home)

const rest = (restS: number, logger: 'on' | 'off' = 'on'): Doing => ({ restS, logger })
const there = (name: string): Doing => ({ roads: [{ road: test, name }] })
const back: Doing = { roads: [{ road: backwards(test), name: 'back' }] }

const laps = (count: number, from = 1) =>
  Array.from({ length: count }, (_, i) => ({ road: ring, name: `lap${from + i}` }))
const wholeDay: Doing[] = [
  { roads: [{ road: toTest }] },
  rest(300),
  there('d1'),
  rest(360),
  back,
  rest(240),
  there('d2'),
  rest(420),
  back,
  rest(3600),
  there('d3'),
  rest(300, 'off'),
  back,
  rest(200),
  { roads: [...laps(6), { road: home }] },
]
/** The approach and the way on are driven without a stop at the test road's ends. */
const passingDay: Doing[] = [
  { roads: [{ road: toTest }, { road: test, name: 'p1' }, { road: beyond }] },
  rest(1200),
  { roads: [{ road: backwards(beyond) }, { road: backwards(test), name: 'back' }] },
  rest(300),
  { roads: [{ road: test, name: 'p2' }, { road: beyond }] },
  rest(400, 'off'),
]
const lapsOnly = (count: number): Doing[] => [{ roads: laps(count) }]
const aroundWorks = withDetour(test, 8000, 11000, 700)
const elsewhere = simulateRoad({ seed: 'far', shape: 'one-way', lengthM: 9000, latitudeDeg: 48, longitudeDeg: 9 })

/** `withinM`: how near the ends must lie, m; 50 where not said. */
const CASES: { what: string; withinM?: number; days: [Doing[], Partial<Parameters<typeof simulateDay>[1]>][] }[] = [
  ...[1, 5, 12, 30].map((sampleS) => ({
    what: `a whole day, a fix every ${sampleS} s`,
    // Between two fixes 30 s apart lie up to 750 m: where the vehicle came to rest shows to a quarter of that.
    withinM: sampleS === 30 ? 190 : 50,
    days: [[wholeDay, { sampleS }]] as [Doing[], object][],
  })),
  {
    what: 'a day of rests and a day without them',
    days: [
      [wholeDay, {}],
      [passingDay, { startS: START + 86400 }],
    ],
  },
  {
    what: 'two whole days',
    days: [
      [wholeDay, {}],
      [wholeDay, { startS: START + 86400 }],
    ],
  },
  {
    what: 'a late start',
    days: [
      [wholeDay, {}],
      [wholeDay, { startS: START + 86400, fromS: 1200 }],
    ],
  },
  {
    what: 'two devices',
    days: [
      [wholeDay, {}],
      [wholeDay, { device: 'b', sampleS: 2 }],
    ],
  },
  { what: 'five laps in one file', days: [[lapsOnly(5), {}]] },
  {
    what: 'two laps, and one',
    days: [
      [lapsOnly(2), {}],
      [lapsOnly(1), { startS: START + 7200 }],
    ],
  },
  {
    what: 'a lap file beside a stint',
    days: [
      [lapsOnly(5), {}],
      [lapsOnly(1), { startS: START + 7200 }],
    ],
  },
  {
    what: 'three drives around road works and on the road itself',
    days: [
      [[{ roads: [{ road: aroundWorks, name: 'w1' }] }], {}],
      [[there('d1')], { startS: START + 3600 }],
      [[there('d2')], { startS: START + 7200 }],
    ],
  },
  { what: 'one drive', days: [[[there('d1')], {}]] },
  {
    what: 'two roads on one day',
    days: [[[there('d1'), rest(400), back, rest(900, 'off'), { roads: [{ road: elsewhere, name: 'far' }] }], {}]],
  },
]

describe('divide', () => {
  it.each(CASES)('finds each drive, and nothing else: $what', ({ what, withinM = 50, days: made }) => {
    const days = made.map(([doings, settings], i) =>
      simulateDay(doings, { seed: `${what}/${i}`, startS: START, ...settings }),
    )
    const traced = days.map(tracedOf)
    const pieces = divide(traced)
    const found = paired(days, pieces)
    expect(found.filter(({ piece }) => piece === null).map(({ truth }) => truth.name)).toEqual([])
    expect(pieces.flatMap(drivesOf)).toHaveLength(found.length)
    for (const { day, truth, piece } of found) {
      expect(between(traced[day], piece!.fromTime, truth.fromTime), `${truth.name} begins`).toBeLessThan(withinM)
      expect(between(traced[day], piece!.toTime, truth.toTime), `${truth.name} ends`).toBeLessThan(withinM)
    }
  })

  it('takes the way to laps and the way home for other driving, also where every day has them', () => {
    const doings: Doing[] = [
      { roads: [{ road: backwards(roadFrom(ring, 'start', 'spur', 9000)) }] },
      rest(300),
      { roads: laps(3) },
      rest(300),
      { roads: laps(3, 4) },
      rest(300),
      { roads: [{ road: roadFrom(ring, 'start', 'spur', 9000) }] },
    ]
    const days = [0, 1].map((d) => simulateDay(doings, { seed: `ways ${d}`, startS: START + d * 86_400 }))
    const kinds = divide(days.map(tracedOf)).map((pieces) => pieces.map(({ kind }) => kind).join(' '))
    const day = 'other stop drive drive drive stop drive drive drive stop other'
    expect(kinds).toEqual([day, day])
  })

  it('gives pieces that follow each other from the begin of a recording to its end', () => {
    const traced = tracedOf(simulateDay(wholeDay, { seed: 'chain', startS: START }))
    const [pieces] = divide([traced])
    expect(pieces[0].fromTime).toBe(traced.startTime)
    expect(pieces[pieces.length - 1].toTime).toBe(traced.endTime)
    for (const [i, piece] of pieces.slice(1).entries()) expect(piece.fromTime).toBeCloseTo(pieces[i].toTime, 6)
    const lengthM = traced.trace.distanceM[traced.trace.distanceM.length - 1]
    expect(pieces.reduce((sum, { distanceM }) => sum + distanceM, 0)).toBeCloseTo(lengthM, 6)
  })
})
