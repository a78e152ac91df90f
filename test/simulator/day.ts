/** Days as people record them: a logger that runs from home to home, over rests, laps, tunnels, detours and a ferry. */
import { type Fixes, recordFixes } from './device.ts'
import { DT_S, drive, type TrueMotion } from './driver.ts'
import { randomOf } from './random.ts'
import { curvatureRadii, type Road, simulateRoad } from './road.ts'

/** Roads one behind the other as one road; each must begin where the one before it ends. */
export function concatenated(roads: Road[]): Road {
  const column = (of: (road: Road) => Float64Array): Float64Array =>
    Float64Array.from(roads.flatMap((road, i) => [...of(road)].slice(0, i + 1 < roads.length ? -1 : undefined)))
  const offsets = roads.map((_, i) => roads.slice(0, i).reduce((sum, road) => sum + road.count - 1, 0))
  const latitude = column((road) => road.latitude)
  return {
    ...roads[0],
    shape: 'one-way',
    lengthM: roads.reduce((sum, road) => sum + road.lengthM, 0),
    count: latitude.length,
    latitude,
    longitude: column((road) => road.longitude),
    elevationM: column((road) => road.elevationM),
    grade: column((road) => road.grade),
    courseDeg: column((road) => road.courseDeg),
    radiusM: column((road) => road.radiusM),
    exposure: column((road) => road.exposure),
    crossShare: column((road) => road.crossShare),
    limitMps: column((road) => road.limitMps),
    junctions: roads.flatMap((road, i) => [
      ...(road.turnNode > 0 ? [{ node: offsets[i] + 1, probability: 1 }] : []),
      ...road.junctions.map((j) => ({ ...j, node: j.node + offsets[i] })),
      // Who turns round stops.
      ...(road.turnNode > 0 ? [{ node: road.turnNode + offsets[i], probability: 1 }] : []),
    ]),
    turnNode: -1,
  }
}

/** A road driven the other way. */
export function backwards(road: Road): Road {
  const back = (column: Float64Array): Float64Array => column.slice().reverse()
  return {
    ...road,
    latitude: back(road.latitude),
    longitude: back(road.longitude),
    elevationM: back(road.elevationM),
    grade: back(road.grade).map((g) => -g),
    courseDeg: back(road.courseDeg).map((c) => (c + 180) % 360),
    radiusM: back(road.radiusM),
    exposure: back(road.exposure),
    crossShare: back(road.crossShare),
    limitMps: back(road.limitMps),
    junctions: road.junctions.map((j) => ({ ...j, node: road.count - 1 - j.node })).reverse(),
    turnNode: -1,
  }
}

/** A road that leaves another's line to one side by up to `sideM` between two places and comes back: a way around road works. */
export function withDetour(road: Road, fromM: number, toM: number, sideM: number): Road {
  const bent = { ...road, latitude: road.latitude.slice(), longitude: road.longitude.slice() }
  for (let i = 0; i < road.count; i++) {
    const share = (i * road.stepM - fromM) / (toM - fromM)
    if (share <= 0 || share >= 1) continue
    const side = sideM * Math.sin(Math.PI * share) ** 2
    const course = ((road.courseDeg[i] + 90) * Math.PI) / 180
    bent.latitude[i] += (side * Math.cos(course)) / 111_200
    bent.longitude[i] += (side * Math.sin(course)) / (111_200 * Math.cos((road.latitude[i] * Math.PI) / 180))
  }
  return bent
}

/** A road from the place where another begins (or ends) to somewhere else. */
export function roadFrom(road: Road, at: 'start' | 'end', seed: string, lengthM: number, courseDeg?: number): Road {
  const node = at === 'start' ? 0 : road.count - 1
  return simulateRoad({
    seed,
    shape: 'one-way',
    lengthM,
    latitudeDeg: road.latitude[node],
    longitudeDeg: road.longitude[node],
    straightCourseDeg: courseDeg,
  })
}

/** What is done next on a day. */
export type Doing =
  /** Roads driven without a rest between them; those with a name are drives that should be found. */
  | { roads: { road: Road; name?: string }[] }
  /** Resting with the logger on, or off. */
  | { restS: number; logger: 'on' | 'off' }
  /** On a ferry: along its course at its own steady speed, the logger on. */
  | { ferry: Road }

/** A drive as it truly was, as far as it was recorded. */
export interface TrueDrive {
  name: string
  fromTime: number
  toTime: number
  /** In the right lane. */
  distanceM: number
}

/** Half a lane to the right of the road's axis, as the simulated device has it. */
const LANE_M = 1.75

/** Length of the right lane between two places of a road's axis, m: shorter than the axis in bends to the right. */
function laneM(road: Road, fromM: number, toM: number): number {
  let [lengthM, turnRad] = [0, 0]
  const at = (m: number): number => Math.min(road.count - 1, Math.round(m / road.stepM))
  for (let i = at(fromM); i < at(toM); i++) {
    const { meridian, across } = curvatureRadii(road.latitude[i])
    const rad = Math.PI / 180
    const north = (road.latitude[i + 1] - road.latitude[i]) * rad * meridian
    const east = (road.longitude[i + 1] - road.longitude[i]) * rad * across * Math.cos(road.latitude[i] * rad)
    lengthM += Math.hypot(north, east)
    turnRad += (((road.courseDeg[i + 1] - road.courseDeg[i] + 540) % 360) - 180) * rad
  }
  return lengthM - LANE_M * turnRad
}

export interface SimulatedDay {
  fixes: Fixes
  drives: TrueDrive[]
}

interface DaySettings {
  seed: string
  startS: number
  sampleS?: number
  /** Nothing is recorded before and after these times, s since the begin: a late start, an early end. */
  fromS?: number
  untilS?: number
  /** Without a signal on these stretches of a named road, m along it. */
  tunnels?: { name: string; fromM: number; toM: number }[]
  /** Of two devices in one car: the same driver, other errors. */
  device?: string
}

/** A ferry at its road's limit, which gathers way and loses it at 0.08 m/s² (thrust of a few hundredths of the weight). */
function sail(course: Road): TrueMotion {
  const [distance, speed]: [number[], number[]] = [[], []]
  let [at, mps] = [0, 0]
  while (at < course.lengthM - 1) {
    distance.push(at)
    speed.push(mps)
    const limitMps = course.limitMps[Math.min(course.count - 1, Math.floor(at / course.stepM))]
    mps = Math.max(0.3, Math.min(mps + 0.08 * DT_S, limitMps, Math.sqrt(2 * 0.08 * (course.lengthM - at))))
    at += mps * DT_S
  }
  return {
    dtS: DT_S,
    count: distance.length,
    distanceM: Float64Array.from(distance),
    speedMps: Float64Array.from(speed),
  }
}

/** What a logger wrote on a day, and the drives that were truly in it. */
export function simulateDay(doings: Doing[], settings: DaySettings): SimulatedDay {
  const { seed, startS, sampleS = 1, device = 'a', tunnels = [] } = settings
  const random = randomOf(`${seed}/${device}/rest`)
  const day: SimulatedDay = { fixes: { timeS: [], latitude: [], longitude: [], elevationM: [] }, drives: [] }
  const add = (fixes: Fixes, dark: (timeS: number) => boolean = () => false): void => {
    for (let i = 0; i < fixes.timeS.length; i++) {
      const since = fixes.timeS[i] - startS
      if (since < (settings.fromS ?? 0) || since > (settings.untilS ?? Number.POSITIVE_INFINITY)) continue
      if (dark(fixes.timeS[i])) continue
      day.fixes.timeS.push(fixes.timeS[i])
      day.fixes.latitude.push(fixes.latitude[i])
      day.fixes.longitude.push(fixes.longitude[i])
      day.fixes.elevationM.push(fixes.elevationM[i])
    }
  }
  let now = startS
  let place = { latitude: 0, longitude: 0, elevationM: 0 }
  doings.forEach((doing, n) => {
    if ('restS' in doing) {
      if (doing.logger === 'on') add(resting(place, now, doing.restS, sampleS, random))
      now += doing.restS
      return
    }
    const parts = 'ferry' in doing ? [{ road: doing.ferry }] : doing.roads
    const road = concatenated(parts.map((part) => part.road))
    const motion = 'ferry' in doing ? sail(road) : drive(road, { seed: `${seed}/${n}`, unrest: 1 })
    const timeAt = (distanceM: number): number => {
      const k = motion.distanceM.findIndex((m) => m >= distanceM)
      return now + (k < 0 ? motion.count - 1 : k) * motion.dtS
    }
    let at = 0
    const dark: [number, number][] = []
    for (const { road: part, name } of parts as { road: Road; name?: string }[]) {
      for (const tunnel of tunnels)
        if (tunnel.name === name) dark.push([timeAt(at + tunnel.fromM), timeAt(at + tunnel.toM)])
      if (name) {
        const fromTime = Math.max(timeAt(at), startS + (settings.fromS ?? 0))
        const toTime = Math.min(timeAt(at + part.lengthM), startS + (settings.untilS ?? Number.POSITIVE_INFINITY))
        const placeAt = (time: number): number => {
          const k = Math.min(motion.count - 1, Math.max(0, Math.round((time - now) / motion.dtS)))
          return Math.min(part.lengthM, Math.max(0, motion.distanceM[k] - at))
        }
        const distanceM = laneM(part, placeAt(fromTime), placeAt(toTime))
        // What was recorded of less than half a road is no drive of it.
        if (distanceM > 0.5 * part.lengthM) day.drives.push({ name, fromTime, toTime, distanceM })
      }
      at += part.lengthM
    }
    const fixes = recordFixes(road, motion, now, { seed: `${seed}/${n}/${device}`, sampleS })
    add(fixes, (timeS) => dark.some(([from, to]) => timeS > from && timeS < to))
    now += motion.count * motion.dtS
    const last = road.count - 1
    place = { latitude: road.latitude[last], longitude: road.longitude[last], elevationM: road.elevationM[last] }
  })
  return day
}

/** A parked receiver: its place wanders by some metres. */
function resting(
  place: { latitude: number; longitude: number; elevationM: number },
  startS: number,
  durationS: number,
  sampleS: number,
  random: { normal: () => number },
): Fixes {
  const fixes: Fixes = { timeS: [], latitude: [], longitude: [], elevationM: [] }
  let [east, north] = [0, 0]
  for (let s = sampleS; s < durationS; s += sampleS) {
    east += -0.02 * sampleS * east + 0.15 * Math.sqrt(sampleS) * random.normal()
    north += -0.02 * sampleS * north + 0.15 * Math.sqrt(sampleS) * random.normal()
    fixes.timeS.push(startS + s)
    fixes.latitude.push(place.latitude + north / 111_200)
    fixes.longitude.push(place.longitude + east / (111_200 * Math.cos((place.latitude * Math.PI) / 180)))
    fixes.elevationM.push(place.elevationM)
  }
  return fixes
}
