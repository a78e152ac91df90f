import { degrees, wrapDegrees } from '../../base/units.ts'
import { degreeLengths, type LocalFrame, latitudeAt, longitudeAt, stepM } from '../geodesy.ts'
import { GAP, MOVING, type Motion, STANDING } from '../types.ts'
import type { GridPath } from './grid.ts'

/** Below this the direction of the velocity is noise and the last course is kept, m/s. */
export const SLOWEST_COURSE_MPS = 0.5

/**
 * The grid as columns on the ellipsoid.
 * @param pace along the path on the flat map, m/s, smoothed for three purposes
 */
export function motionColumns(
  grid: GridPath,
  state: Uint8Array,
  frame: LocalFrame,
  pace: Record<'fine' | 'usual' | 'coarse', Float64Array>,
): Motion {
  const latitude = grid.y.map((y) => latitudeAt(frame, y))
  const longitude = grid.x.map((x) => longitudeAt(frame, x))
  const scale = groundScale(latitude, frame)
  return {
    startTime: grid.startTime,
    stepS: grid.stepS,
    count: grid.x.length,
    latitude,
    longitude,
    speedMps: speedsOnGround(pace.usual, grid, state, scale),
    fineSpeedMps: speedsOnGround(pace.fine, grid, state, scale),
    coarseSpeedMps: speedsOnGround(pace.coarse, grid, state, scale),
    courseDeg: coursesOf(grid, state, scale),
    distanceM: distancesOf(latitude, longitude),
    elevationM: new Float64Array(latitude.length).fill(Number.NaN),
    state,
  }
}

/** Metres of ground for one of the flat map, eastward and northward. */
interface GroundScale {
  east: Float64Array
  north: Float64Array
}

function groundScale(latitude: Float64Array, frame: LocalFrame): GroundScale {
  const [east, north] = [new Float64Array(latitude.length), new Float64Array(latitude.length)]
  for (let k = 0; k < latitude.length; k++) {
    const here = degreeLengths(latitude[k])
    east[k] = here.eastM / frame.metresPerDegreeEast
    north[k] = here.northM / frame.metresPerDegreeNorth
  }
  return { east, north }
}

/** 0 while standing, NaN in a gap. */
function speedsOnGround(
  paceMps: Float64Array,
  { speedX, speedY }: GridPath,
  state: Uint8Array,
  { east, north }: GroundScale,
): Float64Array {
  const speedMps = new Float64Array(paceMps.length)
  for (let k = 0; k < speedMps.length; k++) {
    const moving = Math.max(0, paceMps[k]) * groundPerMap(speedX[k], speedY[k], east[k], north[k])
    speedMps[k] = state[k] === MOVING ? moving : state[k] === STANDING ? 0 : Number.NaN
  }
  return speedMps
}

/** The last course is kept while the vehicle hardly moves; NaN in a gap. */
function coursesOf({ speedX, speedY }: GridPath, state: Uint8Array, { east, north }: GroundScale): Float64Array {
  const courseDeg = new Float64Array(state.length)
  let course = Number.NaN
  for (let k = 0; k < courseDeg.length; k++) {
    const [x, y] = [speedX[k] * east[k], speedY[k] * north[k]]
    const turns = state[k] === MOVING && x * x + y * y >= SLOWEST_COURSE_MPS * SLOWEST_COURSE_MPS
    if (turns) course = wrapDegrees(degrees(Math.atan2(x, y)))
    courseDeg[k] = state[k] === GAP ? Number.NaN : course
  }
  return courseDeg
}

function distancesOf(latitude: Float64Array, longitude: Float64Array): Float64Array {
  const distanceM = new Float64Array(latitude.length)
  for (let k = 1; k < distanceM.length; k++)
    distanceM[k] = distanceM[k - 1] + stepM(latitude[k - 1], longitude[k - 1], latitude[k], longitude[k])
  return distanceM
}

/** Metres of ground for one of the flat map in the direction of a velocity, given those eastward and northward. */
function groundPerMap(speedX: number, speedY: number, east: number, north: number): number {
  const map = speedX * speedX + speedY * speedY
  if (map === 0) return 1
  return Math.sqrt((speedX * speedX * east * east + speedY * speedY * north * north) / map)
}
