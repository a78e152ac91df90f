import { type Random, randomOf, waveField } from './random.ts'

/** A road as it lies on the ellipsoid (WGS 84), in nodes `stepM` apart along its axis; columns of one length. */
export interface Road {
  seed: string
  shape: RoadShape
  lengthM: number
  stepM: number
  count: number
  latitude: Float64Array
  longitude: Float64Array
  elevationM: Float64Array
  /** Rise over run towards the next node. */
  grade: Float64Array
  /** Course towards the next node, degrees true. */
  courseDeg: Float64Array
  /** Radius of curvature, m; large when straight. */
  radiusM: Float64Array
  /** Wind at the height of the vehicle as a share of the open 10 m wind. */
  exposure: Float64Array
  /** Share of the crosswind that gets through (trees and banks turn the wind along the road). */
  crossShare: Float64Array
  limitMps: Float64Array
  /** Nodes where the driver may have to stop, with the probability of it. */
  junctions: { node: number; probability: number }[]
  /** The node of the turn of a there-and-back road, where everybody stops; or -1. */
  turnNode: number
}

export type RoadShape = 'loop' | 'one-way' | 'there-and-back'

export interface RoadSettings {
  seed: string
  shape: RoadShape
  lengthM: number
  latitudeDeg: number
  longitudeDeg: number
  elevationM?: number
  /** Standard deviation of the road's grade; 0 for a flat road. */
  gradeSd?: number
  /** Mean exposure to the 10 m wind; drawn when not given. */
  exposure?: number
  /** Scale of the changes of woods and banks along the road; 1 as in nature, 0 for none. */
  landCover?: number
  /** One limit for the whole road instead of drawn ones, m/s. */
  limitMps?: number
  /** False for a road without junctions or bends that ask to slow down. */
  interruptions?: boolean
  /** A straight road with this course. */
  straightCourseDeg?: number
}

const WGS84_A = 6378137
const WGS84_E2 = 0.0066943799901413165
const STEP_M = 10

/** Radii of curvature of the meridian and across it. */
export function curvatureRadii(latitudeDeg: number): { meridian: number; across: number } {
  const s2 = Math.sin((latitudeDeg * Math.PI) / 180) ** 2
  const w = Math.sqrt(1 - WGS84_E2 * s2)
  return { meridian: (WGS84_A * (1 - WGS84_E2)) / w ** 3, across: WGS84_A / w }
}

export function simulateRoad(settings: RoadSettings): Road {
  const random = randomOf(`${settings.seed}/road`)
  const oneWayM = settings.shape === 'there-and-back' ? settings.lengthM / 2 : settings.lengthM
  const count = Math.round(oneWayM / STEP_M) + 1
  const axis = layOnEllipsoid(settings, courses(random, settings, count), count)
  const once = furnish(random, settings, axis, count)
  return settings.shape === 'there-and-back' ? thereAndBack(once) : once
}

/** Course at each node, radians: a slow turn (a full one for a loop) and bends with scales of 0.7 and 6 km upon it. */
function courses(random: Random, settings: RoadSettings, count: number): Float64Array {
  if (settings.straightCourseDeg !== undefined)
    return new Float64Array(count).fill((settings.straightCourseDeg * Math.PI) / 180)
  const start = random.between(0, 2 * Math.PI)
  const loop = settings.shape === 'loop'
  const oneWayM = (count - 1) * STEP_M
  const bends = loop ? periodicNoise(random, oneWayM) : [waveField(random, [700]), waveField(random, [6000])]
  const course = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    const s = i * STEP_M
    const turn = loop ? (2 * Math.PI * s) / oneWayM : 0
    course[i] = start + turn + 0.25 * bends[0](s) + 0.35 * bends[1](s)
  }
  return loop ? closed(course, settings.latitudeDeg) : course
}

/** Bends whose wave lengths divide the loop, so that the course meets itself. */
function periodicNoise(random: Random, lengthM: number): ((s: number) => number)[] {
  return [3600, 32000].map((wanted) => {
    const waves = Array.from({ length: 12 }, () => {
      const turns = Math.max(2, Math.round((lengthM / wanted) * random.between(0.5, 1.8)))
      return { k: (2 * Math.PI * turns) / lengthM, phase: random.between(0, 2 * Math.PI) }
    })
    return (s) => Math.sqrt(2 / 12) * waves.reduce((sum, { k, phase }) => sum + Math.cos(k * s + phase), 0)
  })
}

/** Closes the loop: once-round waves are added to the course until the path on the ellipsoid ends where it began. */
function closed(course: Float64Array, latitudeDeg: number): Float64Array {
  const n = course.length - 1
  const middle = (latitudeDeg * Math.PI) / 180
  for (let round = 0; round < 60; round++) {
    let [x, y] = [0, 0]
    for (let i = 0; i < n; i++) {
      // Metres eastward weigh by the longitude that they cover at their latitude.
      x += (Math.sin(course[i]) * Math.cos(middle)) / Math.cos(middle + (y * STEP_M) / WGS84_A)
      y += Math.cos(course[i])
    }
    if (Math.hypot(x, y) * STEP_M < 0.02) break
    for (let i = 0; i <= n; i++) course[i] += (1.6 / n) * (y * Math.sin(course[i]) - x * Math.cos(course[i]))
  }
  return course
}

interface Axis {
  latitude: Float64Array
  longitude: Float64Array
  courseDeg: Float64Array
  radiusM: Float64Array
  /** Local plane, m, for the fields over the land. */
  x: Float64Array
  y: Float64Array
}

/** Lays courses of equal steps on the ellipsoid: mid-latitude steps of 10 m, so lengths are true to 1e-9. */
function layOnEllipsoid(settings: RoadSettings, course: Float64Array, count: number): Axis {
  const make = () => new Float64Array(count)
  const axis = { latitude: make(), longitude: make(), courseDeg: make(), radiusM: make(), x: make(), y: make() }
  let [lat, lon] = [settings.latitudeDeg, settings.longitudeDeg]
  const toDeg = 180 / Math.PI
  for (let i = 0; i < count; i++) {
    axis.latitude[i] = lat
    axis.longitude[i] = lon
    axis.courseDeg[i] = (((course[i] * toDeg) % 360) + 360) % 360
    const turn = Math.abs(course[Math.min(i + 1, count - 1)] - course[Math.max(i - 1, 0)])
    axis.radiusM[i] = turn > 1e-6 ? (2 * STEP_M) / turn : 1e7
    if (i === count - 1) break
    const north = STEP_M * Math.cos(course[i])
    const east = STEP_M * Math.sin(course[i])
    axis.x[i + 1] = axis.x[i] + east
    axis.y[i + 1] = axis.y[i] + north
    const next = lat + (north / curvatureRadii(lat).meridian) * toDeg
    const middle = (lat + next) / 2
    lon += (east / (curvatureRadii(middle).across * Math.cos(middle / toDeg))) * toDeg
    lat += (north / curvatureRadii(middle).meridian) * toDeg
  }
  return axis
}

/** Heights, exposure, limits and junctions along the axis. */
function furnish(random: Random, settings: RoadSettings, axis: Axis, count: number): Road {
  const { gradeSd = 0.012, elevationM: level = 200, interruptions = true, landCover = 1 } = settings
  const hills = [waveField(random, [900, 900], 24), waveField(random, [4000, 4000], 24)]
  const woods = [waveField(random, [700, 700]), waveField(random, [5000, 5000])]
  const meanExposure = settings.exposure ?? 0.52 * Math.exp(0.18 * random.normal())
  const make = () => new Float64Array(count)
  const road: Road = {
    seed: settings.seed,
    shape: settings.shape,
    lengthM: (count - 1) * STEP_M,
    stepM: STEP_M,
    count,
    turnNode: -1,
    latitude: axis.latitude,
    longitude: axis.longitude,
    courseDeg: axis.courseDeg,
    radiusM: axis.radiusM,
    elevationM: make(),
    grade: make(),
    exposure: make(),
    crossShare: make(),
    limitMps: make(),
    junctions: [],
  }
  for (let i = 0; i < count; i++) {
    const [x, y] = [axis.x[i], axis.y[i]]
    road.elevationM[i] = level + gradeSd * (420 * hills[0](x, y) + 2300 * hills[1](x, y))
    const wood = woods[0](x, y) + woods[1](x, y)
    road.exposure[i] = meanExposure * Math.exp(landCover * (0.25 * Math.tanh(wood) - 0.02))
    road.crossShare[i] = 1 - landCover * 0.12 * (1 - Math.tanh(wood + 0.5))
  }
  // A loop ends at the height where it began, but for what its end misses its start by: shared out evenly.
  const miss = settings.shape === 'loop' ? road.elevationM[count - 1] - road.elevationM[0] : 0
  for (let i = 0; i < count; i++) road.elevationM[i] -= (miss * i) / (count - 1)
  for (let i = 0; i < count - 1; i++) road.grade[i] = (road.elevationM[i + 1] - road.elevationM[i]) / STEP_M
  layLimits(random, settings, road)
  if (interruptions) layJunctions(random, road)
  return road
}

function layLimits(random: Random, settings: RoadSettings, road: Road): void {
  let i = 0
  let village = false
  while (i < road.count) {
    const lengthM = village ? random.between(500, 1300) : random.between(2500, 9000)
    const limit = settings.limitMps ?? (village ? 50 : random.uniform() < 0.7 ? 90 : 80) / 3.6
    const end = Math.min(road.count, i + Math.round(lengthM / STEP_M))
    road.limitMps.fill(limit, i, end)
    village = !village && random.uniform() < 0.6
    i = end
  }
}

function layJunctions(random: Random, road: Road): void {
  let node = Math.round(random.between(200, 700))
  while (node < road.count - 150) {
    road.junctions.push({ node, probability: random.between(0.2, 0.7) })
    node += Math.round(random.between(400, 1100))
  }
}

/** Out and back on the same axis; both ways keep to the right lane, which the device's writer adds. */
function thereAndBack(out: Road): Road {
  const n = out.count
  const count = 2 * n - 1
  const mirror = (column: Float64Array, backward: (value: number) => number = (v) => v, shift = 0) =>
    Float64Array.from({ length: count }, (_, i) =>
      i < n - shift ? column[i] : backward(column[Math.max(0, 2 * (n - 1) - i - shift)]),
    )
  return {
    ...out,
    count,
    lengthM: (count - 1) * STEP_M,
    turnNode: n - 1,
    latitude: mirror(out.latitude),
    longitude: mirror(out.longitude),
    elevationM: mirror(out.elevationM),
    grade: mirror(out.grade, (v) => -v, 1),
    courseDeg: mirror(out.courseDeg, (v) => (v + 180) % 360, 1),
    radiusM: mirror(out.radiusM),
    exposure: mirror(out.exposure),
    crossShare: mirror(out.crossShare),
    limitMps: mirror(out.limitMps),
    junctions: [...out.junctions, ...out.junctions.map((j) => ({ ...j, node: 2 * (n - 1) - j.node })).reverse()],
  }
}
