/** Closed courses in a plane, and stints on them: laps at ten fixes a second, the pit lane, a line that differs each lap. */
import type { Fixes } from './device.ts'
import { gaussMarkov, randomOf, waveField } from './random.ts'
import { curvatureRadii } from './road.ts'

/** Places about a metre apart, m; of a closed course the last is the first again. */
export interface Line {
  x: Float64Array
  y: Float64Array
  lengthM: number
}

const STEP_M = 1

/** A smooth line through places, closed or from the first to the last. @source Catmull and Rom 1974, uniform parameters */
export function lineThrough(places: [number, number][], closed: boolean): Line {
  const at = (i: number): [number, number] =>
    closed ? places[(i + places.length) % places.length] : places[Math.min(places.length - 1, Math.max(0, i))]
  const fine: [number, number][] = []
  const spans = closed ? places.length : places.length - 1
  for (let i = 0; i < spans; i++) {
    const [p, q, r, s] = [at(i - 1), at(i), at(i + 1), at(i + 2)]
    for (let k = 0; k < 200; k++) {
      const t = k / 200
      const mix = (d: 0 | 1): number =>
        0.5 *
        (2 * q[d] +
          (r[d] - p[d]) * t +
          (2 * p[d] - 5 * q[d] + 4 * r[d] - s[d]) * t * t +
          (3 * q[d] - p[d] - 3 * r[d] + s[d]) * t * t * t)
      fine.push([mix(0), mix(1)])
    }
  }
  fine.push(at(spans))
  return evenly(fine)
}

/** The same line in steps of a metre. */
function evenly(places: [number, number][]): Line {
  const along = [0]
  for (let i = 1; i < places.length; i++) {
    along.push(along[i - 1] + Math.hypot(places[i][0] - places[i - 1][0], places[i][1] - places[i - 1][1]))
  }
  const lengthM = along[along.length - 1]
  const count = Math.round(lengthM / STEP_M) + 1
  const line: Line = { x: new Float64Array(count), y: new Float64Array(count), lengthM }
  for (let k = 0, i = 0; k < count; k++) {
    const wanted = (k / (count - 1)) * lengthM
    while (i + 2 < along.length && along[i + 1] < wanted) i++
    const share = (wanted - along[i]) / (along[i + 1] - along[i])
    line.x[k] = places[i][0] + share * (places[i + 1][0] - places[i][0])
    line.y[k] = places[i][1] + share * (places[i + 1][1] - places[i][1])
  }
  return line
}

/** A line in another size. */
export const scaled = ({ x, y, lengthM }: Line, wantedM: number): Line =>
  evenly(Array.from(x, (value, i) => [(value * wantedM) / lengthM, (y[i] * wantedM) / lengthM]))

/** A line driven the other way. */
export const otherWay = ({ x, y, lengthM }: Line): Line => ({
  x: x.slice().reverse(),
  y: y.slice().reverse(),
  lengthM,
})

/** A course with a straight, two fast bends, a slow chicane and a hairpin, its start in the middle of the straight. */
export const roundCourse = (lengthM: number): Line =>
  scaled(
    lineThrough(
      [
        [0, 0],
        [300, 0],
        [560, 40],
        [640, 200],
        [520, 330],
        [330, 300],
        [200, 400],
        [30, 380],
        [-60, 250],
        [-250, 300],
        [-420, 210],
        [-400, 60],
        [-250, 5],
      ],
      true,
    ),
    lengthM,
  )

/** A course that crosses itself once. */
export const figureOfEight = (lengthM: number): Line =>
  scaled(
    lineThrough(
      Array.from({ length: 24 }, (_, i) => {
        const t = (2 * Math.PI * (i + 3)) / 24
        return [400 * Math.sin(t), 300 * Math.sin(t) * Math.cos(t)] as [number, number]
      }),
      true,
    ),
    lengthM,
  )

/** A lap that drives one straight twice in one direction: a large loop from its end to its begin, and a small one. */
export const twiceOnTheStraight = (lengthM: number): Line =>
  scaled(
    lineThrough(
      [
        [0, 0],
        [200, 0],
        [400, 0],
        [600, 0],
        [800, 150],
        [700, 600],
        [200, 700],
        [-200, 500],
        [-200, 100],
        [0, 0],
        [200, 0],
        [400, 0],
        [600, 0],
        [700, -100],
        [500, -300],
        [100, -300],
        [-100, -100],
      ],
      true,
    ),
    lengthM,
  )

/** A pit lane beside the straight on which a course begins, 20 m to its right. */
export function withPitLane(course: Line): { course: Line; out: Line; rest: Line; toPit: Line; into: Line } {
  const nodes = course.x.length - 1
  const reach = Math.min(150, Math.floor(nodes / 6))
  const [dx, dy] = [course.x[5] - course.x[0], course.y[5] - course.y[0]]
  const right = { x: dy / Math.hypot(dx, dy), y: -dx / Math.hypot(dx, dy) }
  const beside = (share: number, sideM: number): [number, number] => {
    const i = (Math.round(share * reach) + nodes) % nodes
    return [course.x[i] + sideM * right.x, course.y[i] + sideM * right.y]
  }
  const part = (from: number, to: number): Line => ({
    x: course.x.slice(from, to + 1),
    y: course.y.slice(from, to + 1),
    lengthM: to - from,
  })
  return {
    course,
    out: lineThrough([beside(0, 20), beside(0.4, 20), beside(0.7, 12), beside(1, 0)], false),
    rest: part(reach, nodes),
    toPit: part(0, nodes - reach),
    into: lineThrough([beside(-1, 0), beside(-0.7, 12), beside(-0.4, 20), beside(0, 20)], false),
  }
}

export interface StintSettings {
  seed: string
  startS: number
  sampleS: number
  /** Standard deviation of a position's slowly wandering error, m. */
  noiseM?: number
  fastestMps?: number
}

export interface Stint {
  fixes: Fixes
  /** How far the vehicle truly went, m, at a time. */
  trueM: (timeS: number) => number
  startS: number
  endS: number
}

/** The truth is known every so many seconds. */
const TRUE_STEP_S = 0.1
const SIDEWAYS_MPS2 = 8
const BRAKING_MPS2 = 5
const PLACE = { latitude: 50.3, longitude: 6.9 }
/** Another lap is driven on another line, m. */
const LINE_SD_M = 1.5

/** A stint over lines one behind the other; a number between them is a stand of so many seconds. */
export function stintOver(parts: (Line | number)[], settings: StintSettings): Stint {
  const { seed, startS, sampleS, noiseM = 2.5, fastestMps = 45 } = settings
  const stint: Driven = { time: [0], way: [0], x: [], y: [] }
  let run: Line[] = []
  const flush = (): void => {
    if (run.length > 0) driveOn(stint, run, fastestMps)
    run = []
  }
  for (const part of parts) {
    if (typeof part !== 'number') run.push(part)
    else {
      flush()
      stint.time.push(stint.time[stint.time.length - 1] + part)
      stint.way.push(stint.way[stint.way.length - 1])
    }
  }
  flush()
  return { ...record(stint, { seed, startS, sampleS, noiseM }), startS, endS: startS + last(stint.time) }
}

/** Where the vehicle was: places a metre apart along its way, and times at which it had gone so far. */
interface Driven {
  time: number[]
  way: number[]
  x: number[]
  y: number[]
}

const last = (values: number[]): number => values[values.length - 1]

/** Adds lines, driven from a standstill to a standstill. */
function driveOn(stint: Driven, lines: Line[], fastestMps: number): void {
  const x = lines.flatMap((line, i) => [...line.x].slice(i === 0 && stint.x.length === 0 ? 0 : 1))
  const y = lines.flatMap((line, i) => [...line.y].slice(i === 0 && stint.y.length === 0 ? 0 : 1))
  const count = x.length
  const speed = Float64Array.from({ length: count }, (_, i) => {
    const [a, b] = [Math.max(0, i - 8), Math.min(count - 1, i + 8)]
    const [before, after] = [Math.atan2(y[i] - y[a], x[i] - x[a]), Math.atan2(y[b] - y[i], x[b] - x[i])]
    const turn = Math.abs(((after - before + 3 * Math.PI) % (2 * Math.PI)) - Math.PI)
    return Math.min(fastestMps, Math.sqrt(SIDEWAYS_MPS2 / Math.max(1e-6, turn / 8)))
  })
  speed[0] = 1
  speed[count - 1] = 1
  for (let i = 1; i < count; i++) speed[i] = Math.min(speed[i], Math.sqrt(speed[i - 1] ** 2 + BRAKING_MPS2))
  for (let i = count - 2; i >= 0; i--) speed[i] = Math.min(speed[i], Math.sqrt(speed[i + 1] ** 2 + 2 * BRAKING_MPS2))
  const first = stint.x.length
  for (let i = 0; i < count; i++) {
    stint.x.push(x[i])
    stint.y.push(y[i])
  }
  for (let i = first === 0 ? 1 : 0; i < count; i++) {
    const stepM = Math.hypot(stint.x[first + i] - stint.x[first + i - 1], stint.y[first + i] - stint.y[first + i - 1])
    stint.way.push(last(stint.way) + stepM)
    stint.time.push(last(stint.time) + stepM / Math.max(1, speed[i]))
  }
}

/** What a receiver writes of it, and how far the vehicle went on the line that it truly took. */
function record(
  stint: Driven,
  { seed, startS, sampleS, noiseM }: StintSettings & { noiseM: number },
): Pick<Stint, 'fixes' | 'trueM'> {
  const random = randomOf(`${seed}/receiver`)
  const { meridian, across } = curvatureRadii(PLACE.latitude)
  const degree = Math.PI / 180
  const wander = [gaussMarkov(random), gaussMarkov(random)]
  const side = waveField(randomOf(`${seed}/line`), [300])
  const fixes: Fixes = { timeS: [], latitude: [], longitude: [], elevationM: [] }
  const placeAt = placesOf(stint)
  const [times, ways] = [[0], [0]]
  const every = Math.max(1, Math.round(sampleS / TRUE_STEP_S))
  let before = takenPlace(0)
  for (let n = 0; n * TRUE_STEP_S <= last(stint.time); n++) {
    const place = takenPlace(n * TRUE_STEP_S)
    if (n > 0) {
      times.push(n * TRUE_STEP_S)
      ways.push(last(ways) + Math.hypot(place.x - before.x, place.y - before.y))
    }
    before = place
    if (n % every !== 0) continue
    const east = place.x + noiseM * (wander[0](sampleS / 60) + 0.05 * random.normal())
    const north = place.y + noiseM * (wander[1](sampleS / 60) + 0.05 * random.normal())
    fixes.timeS.push(startS + n * TRUE_STEP_S)
    fixes.latitude.push(PLACE.latitude + north / meridian / degree)
    fixes.longitude.push(PLACE.longitude + east / (across * Math.cos(PLACE.latitude * degree)) / degree)
    fixes.elevationM.push(600)
  }
  return { fixes, trueM: (timeS) => between(times, ways, timeS - startS) }

  function takenPlace(sinceS: number): { x: number; y: number } {
    const wayM = between(stint.time, stint.way, sinceS)
    const { x, y, right } = placeAt(wayM)
    return { x: x + LINE_SD_M * side(wayM) * right.x, y: y + LINE_SD_M * side(wayM) * right.y }
  }
}

/** The place after a way along all lines, and the direction to its right. */
function placesOf({ x, y }: Driven): (wayM: number) => { x: number; y: number; right: { x: number; y: number } } {
  const along = [0]
  for (let i = 1; i < x.length; i++) along.push(along[i - 1] + Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]))
  return (wayM) => {
    const i = indexBelow(along, wayM)
    const stepM = Math.max(1e-9, along[i + 1] - along[i])
    const share = (wayM - along[i]) / stepM
    const [dx, dy] = [(x[i + 1] - x[i]) / stepM, (y[i + 1] - y[i]) / stepM]
    return { x: x[i] + share * (x[i + 1] - x[i]), y: y[i] + share * (y[i + 1] - y[i]), right: { x: dy, y: -dx } }
  }
}

function indexBelow(values: number[], wanted: number): number {
  let [low, high] = [0, values.length - 2]
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (values[middle] <= wanted) low = middle
    else high = middle - 1
  }
  return low
}

function between(from: number[], to: number[], wanted: number): number {
  const i = indexBelow(from, wanted)
  const span = from[i + 1] - from[i]
  return span > 0 ? to[i] + Math.min(1, Math.max(0, (wanted - from[i]) / span)) * (to[i + 1] - to[i]) : to[i]
}
