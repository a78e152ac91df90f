import type { Course } from '../compute/compute.ts'
import type { ShownDrive } from '../state/drives.ts'

const WIDTH = 320
const HEIGHT = 240
const EDGE = 14
/** So many points of a course are drawn at most. */
const MOST_POINTS = 800
const METRES_PER_DEGREE = 111_200

interface Props {
  courses: readonly Course[]
  drives: readonly ShownDrive[]
  selected: ShownDrive
  /** A moment to mark, seconds since 1970 UTC. */
  markTime: number | null
}

/** Where a recording went, north up: its drives, the chosen one among them, and the place of one moment. */
export function CourseMap({ courses, drives, selected, markTime }: Props) {
  const projected = projection(courses)
  if (projected === null) return null
  const path = (from: number, to: number): string =>
    courses.map((course) => pathBetween(course, from, to, projected)).join('')
  const mark = markTime === null ? null : placeAt(courses, markTime)
  const start = placeAt(courses, selected.startTime)
  const { barM, barPx } = scale(projected.perDegree)
  return (
    <svg
      class="course-map"
      role="img"
      aria-label={`Where drive ${selected.number} went, north up`}
      viewBox={`0 0 ${WIDTH} ${HEIGHT + 22}`}
    >
      <path class="course" d={path(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)} />
      {drives.map(({ id, startTime, endTime }) => (
        <path key={id} class="course driven" d={path(startTime, endTime)} />
      ))}
      <path class="course chosen" d={path(selected.startTime, selected.endTime)} />
      {start && <circle class="start" cx={projected.x(start.lon)} cy={projected.y(start.lat)} r="5" />}
      {mark && <circle class="mark" cx={projected.x(mark.lon)} cy={projected.y(mark.lat)} r="7" />}
      <path class="axis" d={`M${EDGE} ${HEIGHT + 6}v6h${barPx}v-6`} />
      <text x={EDGE + barPx + 6} y={HEIGHT + 14}>
        {barM >= 1000 ? `${barM / 1000} km` : `${barM} m`}
      </text>
    </svg>
  )
}

interface Projection {
  x: (lon: number) => number
  y: (lat: number) => number
  perDegree: number
}

function projection(courses: readonly Course[]): Projection | null {
  let [south, north, west, east] = [90, -90, 180, -180]
  for (const { latitude, longitude } of courses) {
    for (let i = 0; i < latitude.length; i++) {
      south = Math.min(south, latitude[i])
      north = Math.max(north, latitude[i])
      west = Math.min(west, longitude[i])
      east = Math.max(east, longitude[i])
    }
  }
  if (south > north) return null
  const squeeze = Math.cos((((south + north) / 2) * Math.PI) / 180)
  const perDegree = Math.min(
    (WIDTH - 2 * EDGE) / Math.max((east - west) * squeeze, 1e-4),
    (HEIGHT - 2 * EDGE) / Math.max(north - south, 1e-4),
  )
  const one = (value: number): number => Math.round(value * 10) / 10
  return {
    x: (lon) => one(WIDTH / 2 + (lon - (west + east) / 2) * squeeze * perDegree),
    y: (lat) => one(HEIGHT / 2 - (lat - (south + north) / 2) * perDegree),
    perDegree,
  }
}

function pathBetween({ time, latitude, longitude }: Course, from: number, to: number, { x, y }: Projection): string {
  const step = Math.max(1, Math.ceil(time.length / MOST_POINTS))
  const points: string[] = []
  for (let i = 0; i < time.length; i += step) {
    if (time[i] >= from && time[i] <= to) points.push(`${x(longitude[i])} ${y(latitude[i])}`)
  }
  return points.length > 1 ? `M${points.join('L')}` : ''
}

function placeAt(courses: readonly Course[], seconds: number): { lat: number; lon: number } | null {
  let best: { lat: number; lon: number; off: number } | null = null
  for (const { time, latitude, longitude } of courses) {
    for (let i = 0; i < time.length; i++) {
      const off = Math.abs(time[i] - seconds)
      if (best === null || off < best.off) best = { lat: latitude[i], lon: longitude[i], off }
    }
  }
  return best
}

/** A round length of about a quarter of the drawing. */
function scale(perDegree: number): { barM: number; barPx: number } {
  const wholeM = ((WIDTH - 2 * EDGE) / perDegree) * METRES_PER_DEGREE
  const power = 10 ** Math.floor(Math.log10(wholeM / 4))
  const barM = power * ([5, 2].find((step) => step * power <= wholeM / 4) ?? 1)
  return { barM, barPx: (barM / METRES_PER_DEGREE) * perDegree }
}
