import { describe, expect, it } from 'vitest'
import { pathOf } from '../../src/road/path.ts'
import { routesOf, shapeOf } from '../../src/road/routes.ts'
import type { Path } from '../../src/road/types.ts'
import { mustDrive, type Point, trackOf } from '../track/tracks.ts'

/** Places east and north of 48° N 9° E, m. */
type Corner = [eastM: number, northM: number]

/** A drive along straight lines between corners at 15 m/s, a fix a second; an error of a few metres per drive. */
function driven(corners: Corner[], offsetM = 0, startTime = 1.7e9): Path {
  const points: Point[] = []
  let time = startTime
  for (let i = 1; i < corners.length; i++) {
    const [[x0, y0], [x1, y1]] = [corners[i - 1], corners[i]]
    const seconds = Math.max(1, Math.round(Math.hypot(x1 - x0, y1 - y0) / 15))
    for (let s = 0; s < seconds; s++) {
      const east = x0 + ((x1 - x0) * s) / seconds + offsetM
      const north = y0 + ((y1 - y0) * s) / seconds + offsetM
      points.push({ time: time++, latitude: 48 + north / 111_200, longitude: 9 + east / 74_600, elevation: 300 })
    }
  }
  return pathOf(mustDrive(trackOf(points)))
}

const square: Corner[] = [
  [0, 0],
  [2000, 0],
  [2000, 2000],
  [0, 2000],
  [0, 0],
]
const line: Corner[] = [
  [0, 0],
  [3000, 0],
  [6000, 1500],
]
const back = (corners: Corner[]): Corner[] => [...corners].reverse()
const relations = (paths: Path[]): string[][] =>
  routesOf(paths).map((r) => r.members.map((m) => `${m.run} ${m.relation}`))

describe('the shape of a road', () => {
  it.each([
    { what: 'a square', corners: square, want: 'loop' },
    { what: 'a line', corners: line, want: 'one-way' },
    { what: 'out and back over one road', corners: [...line, ...back(line).slice(1)], want: 'there-and-back' },
  ])('$what is a $want', ({ corners, want }) => {
    expect(shapeOf(driven(corners))).toBe(want)
  })
})

describe('drives grouped by road', () => {
  it('the same road a few metres aside is the same', () => {
    expect(relations([driven(line), driven(line, 6)])).toEqual([['0 same', '1 same']])
  })

  it('the other direction is another route, its opposite', () => {
    const routes = routesOf([driven(line), driven(back(line))])
    expect(routes.map((r) => r.members.length)).toEqual([1, 1])
    expect(routes[1].oppositeOf).toBe(0)
  })

  it('a loop begun at another corner is the same loop; the other way round it is not', () => {
    const begunElsewhere: Corner[] = [
      [2000, 2000],
      [0, 2000],
      [0, 0],
      [2000, 0],
      [2000, 2000],
    ]
    expect(relations([driven(square), driven(begunElsewhere)])).toEqual([['0 same', '1 same']])
    expect(relations([driven(square), driven(back(square))])).toEqual([['0 same'], ['1 same']])
  })

  it('a drive cut short is a part, whichever comes first', () => {
    const short: Corner[] = [
      [0, 0],
      [3000, 0],
    ]
    expect(relations([driven(line), driven(short)])).toEqual([['0 same', '1 part']])
    expect(relations([driven(short), driven(line)])).toEqual([['0 part', '1 same']])
  })

  it('a drive that leaves the road and comes back has a detour of about that length', () => {
    const astray: Corner[] = [
      [0, 0],
      [1500, 0],
      [1500, 700],
      [2200, 700],
      [2200, 0],
      [3000, 0],
      [6000, 1500],
    ]
    const [route] = routesOf([driven(line), driven(astray), driven(line, 4)])
    const detour = route.members[1]
    expect(detour.match.detours).toHaveLength(1)
    const { fromM, toM } = detour.match.detours[0]
    // 700 m out, 700 m along, 700 m back: 2.1 km, less what lies within the corridor, give or take a point's spacing.
    expect(toM - fromM).toBeGreaterThan(1900)
    expect(toM - fromM).toBeLessThan(2200)
  })

  it('a parallel street 300 m off is another road', () => {
    const parallel = line.map(([x, y]): Corner => [x, y + 300])
    expect(relations([driven(line), driven(parallel)])).toHaveLength(2)
  })

  it('out and back lies on itself once each way', () => {
    const both = [...line, ...back(line).slice(1)]
    const [route] = routesOf([driven(both), driven(both, 5)])
    expect(route.members.map((m) => m.relation)).toEqual(['same', 'same'])
    const { axisM } = route.members[1].match
    // Without holding to the course the way back would be laid on the way out.
    expect(axisM[Math.floor(axisM.length * 0.75)]).toBeGreaterThan(route.lengthM / 2)
  })
})
