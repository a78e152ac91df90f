import { backwards, type Doing, roadFrom, simulateDay } from '../test/simulator/day.ts'
import type { TracedRecording } from '../src/road/division/legs.ts'
import { gpxText } from '../test/simulator/device.ts'
import { simulateRoad } from '../test/simulator/index.ts'

const DAY_S = 86_400
const FIRST_DAY_S = Date.parse('2025-06-02T06:00:00Z') / 1000
const PLACE = { latitudeDeg: 47.3, longitudeDeg: 8.1 }
/** Streets of the invented town lie so far apart, m. */
const BLOCK_M = 500
const SPACING_M = 25

/**
 * Days of an invented driver, a file each, a fix a second for some eight hours: to the test road, three drives of it and
 * back, lunch, six laps of another road, home, and the logger left on. The same bytes every time.
 */
export function* dayFiles({ seed, days }: { seed: string; days: number }): Generator<[path: string, text: string]> {
  for (let day = 0; day < days; day++) {
    const { fixes } = dayOf(seed, day)
    yield [`tracks/day-${String(day).padStart(3, '0')}.gpx`, gpxText(fixes, `day ${day}`)]
  }
}

/** One of these days, with the drives that are truly in it. */
export function dayOf(seed: string, day: number): ReturnType<typeof simulateDay> {
  const test = simulateRoad({ seed: `${seed}/test`, shape: 'one-way', lengthM: 22_000, ...PLACE })
  const ring = simulateRoad({ seed: `${seed}/ring`, shape: 'loop', lengthM: 13_000, ...PLACE })
  const home = roadFrom(test, 'start', `${seed}/home`, 12_000)
  const rest = (restS: number): Doing => ({ restS, logger: 'on' })
  const there = (name: string): Doing => ({ roads: [{ road: test, name }] })
  const back: Doing = { roads: [{ road: backwards(test), name: 'back' }] }
  const laps = Array.from({ length: 6 }, (_, i) => ({ road: ring, name: `lap${i + 1}` }))
  const doings: Doing[] = [
    ...[{ roads: [{ road: backwards(home) }] }, rest(300 + 10 * (day % 7))],
    ...[there('d1'), rest(400), back, rest(300), there('d2'), rest(500), back, rest(3600), there('d3'), rest(360), back],
    ...[rest(240), { roads: [...laps, { road: home }] }, rest(14_400)],
  ]
  return simulateDay(doings, { seed: `${seed}/${day}`, startS: FIRST_DAY_S + day * DAY_S, untilS: 8 * 3600 })
}

/**
 * Single drives between corners of a town as large as their number asks, a recording each, straight as traces: no road is
 * driven by plan, and yet many have streets in common.
 */
export function townRecordings(count: number, seed: number): TracedRecording[] {
  const blocks = Math.ceil(2 * Math.sqrt(count)) + 12
  let state = seed >>> 0
  const below = (most: number): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return Math.floor((state / 4294967296) * most)
  }
  return Array.from({ length: count }, (_, n) => {
    const [x, y] = [below(blocks), below(blocks)]
    const [east, north] = [below(2) === 0 ? 3 + below(8) : -3 - below(8), below(2) === 0 ? 3 + below(8) : -3 - below(8)]
    return traceThrough([[x, y], [x + east, y], [x + east, y + north]], FIRST_DAY_S + n * 3600)
  })
}

/** A drive at 10 m/s from corner to corner of the town's streets. */
function traceThrough(corners: [number, number][], startTime: number): TracedRecording {
  const east: number[] = []
  const north: number[] = []
  const course: number[] = []
  for (const [i, [toX, toY]] of corners.slice(1).entries()) {
    const [fromX, fromY] = corners[i]
    const steps = (Math.abs(toX - fromX) + Math.abs(toY - fromY)) * (BLOCK_M / SPACING_M)
    for (let k = 0; k < steps; k++) {
      east.push((fromX + ((toX - fromX) * k) / steps) * BLOCK_M)
      north.push((fromY + ((toY - fromY) * k) / steps) * BLOCK_M)
      course.push((Math.atan2(toX - fromX, toY - fromY) * 180) / Math.PI)
    }
  }
  const count = east.length
  const lengthM = (count - 1) * SPACING_M
  const trace = {
    distanceM: Float64Array.from(east, (_, i) => i * SPACING_M),
    latitude: Float64Array.from(north, (m) => PLACE.latitudeDeg + m / 111_200),
    longitude: Float64Array.from(east, (m) => PLACE.longitudeDeg + m / 75_500),
    courseDeg: Float64Array.from(course, (c) => (c + 360) % 360),
    inGap: new Uint8Array(count),
    time: Float64Array.from(east, (_, i) => startTime + (i * SPACING_M) / 10),
    ...{ spacingM: SPACING_M, lengthM, corridorM: 45, doubt: 0 },
  }
  return { trace, rests: [], startTime, endTime: trace.time[count - 1] }
}
