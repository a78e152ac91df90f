import { describe, expect, it } from 'vitest'
import { pathOf } from '../../src/road/path.ts'
import { routesOf } from '../../src/road/routes.ts'
import type { Path } from '../../src/road/types.ts'
import { mustDrive, type Point, trackOf } from '../track/tracks.ts'

type Place = [eastM: number, northM: number]

/** Along straight lines at 15 m/s, a fix a second; without a fix where `dark` says so, m from the begin. */
function driven(corners: Place[], dark: (m: number) => boolean = () => false): Path {
  const points: Point[] = []
  let [time, m] = [1.7e9, 0]
  for (let i = 1; i < corners.length; i++) {
    const [[x0, y0], [x1, y1]] = [corners[i - 1], corners[i]]
    const lengthM = Math.hypot(x1 - x0, y1 - y0)
    for (let at = 0; at < lengthM; at += 15, m += 15, time++) {
      const [east, north] = [x0 + ((x1 - x0) * at) / lengthM, y0 + ((y1 - y0) * at) / lengthM]
      if (dark(m)) continue
      points.push({ time, latitude: 48 + north / 111_200, longitude: 9 + east / 74_600, elevation: 300 })
    }
  }
  return pathOf(mustDrive(trackOf(points)))
}

const road: Place[] = [
  [0, 0],
  [12_000, 0],
  [20_000, 4000],
]
const late: Place[] = [[1500, 0], ...road.slice(1)]
const detour: Place[] = [[0, 0], [5000, 0], [5600, 900], [6400, 900], [7000, 0], ...road.slice(1)]
const square: Place[] = [
  [0, 0],
  [3000, 0],
  [3000, 3000],
  [0, 3000],
  [0, 0],
]

describe('the road of a group', () => {
  it.each([
    { what: 'two drives, the later one begun 1.5 km late', paths: [road, late], axis: 0 },
    { what: 'two drives, the earlier one begun 1.5 km late', paths: [late, road], axis: 1 },
    { what: 'three drives, one with a detour', paths: [detour, road, road], axis: 1 },
    {
      what: 'three drives, one of them going on for 9 km',
      paths: [road, [...road, [29_000, 4000] as Place], road],
      axis: 0,
    },
  ])('is what they agree on: $what', ({ paths, axis }) => {
    const routes = routesOf(paths.map((corners) => driven(corners)))
    const lengthM = driven(paths[axis]).lengthM
    expect(routes[0].lengthM).toBeCloseTo(lengthM, -2)
  })

  it.each([
    { what: 'in the middle of a lap', from: 5000 },
    { what: "over the lap's begin", from: -900 },
    { what: "over the lap's end", from: 11_400 },
  ])('has a tunnel of 90 s counted as driven along it: $what', ({ from }) => {
    const dark = (m: number): boolean => m > from && m < from + 1350
    const { members } = routesOf([driven(square), driven(square, dark)])[0]
    expect(members.map(({ relation }) => relation)).toEqual(['same', 'same'])
  })

  it('counts a tunnel on the straight as driven: all of the road is covered', () => {
    const { members } = routesOf([driven(road), driven(road, (m) => m > 4000 && m < 5800)])[0]
    expect(members[1].match.coveredShare).toBe(1)
  })

  it('names a lap that is entered behind its tunnel and left before it as cut short by no more than that', () => {
    const twice = [...square, ...square.slice(1)] as Place[]
    const { members } = routesOf([driven(square), driven(square), driven(twice, (m) => m > 11_000 && m < 12_900)])[0]
    expect(members.every(({ match }) => match.coveredShare > 0.95)).toBe(true)
  })
})
