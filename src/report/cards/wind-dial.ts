import type { ReportRoute, ReportRun } from '../contract.ts'
import { circle, INK, line, RULE, SOFT, text, WIND } from './label.ts'
import { type Mark, tenth } from './marks.ts'

const RADIANS = Math.PI / 180

/** North up: the road within a circle, and the wind as an arrow that flies the way the air moves. */
export function windDial(x: number, y: number, r: number, run: ReportRun, route: ReportRoute | null): Mark[] {
  const at = (bearingDeg: number, radius: number): string =>
    `${tenth(x + radius * Math.sin(bearingDeg * RADIANS))} ${tenth(y - radius * Math.cos(bearingDeg * RADIANS))}`
  const ticks = [45, 90, 135, 180, 225, 270, 315].map((bearing) => `M${at(bearing, r)}L${at(bearing, 0.93 * r)}`)
  const marks: Mark[] = [
    line(circle(x, y, r), { stroke: INK, width: 3 }),
    line(ticks.join(''), { stroke: INK }),
    line(`M${at(0, r)}L${at(0, 0.82 * r)}`, { stroke: INK, width: 5 }),
    text(x, y - r - 0.06 * r, 'N', 0.22 * r, { anchor: 'middle', weight: 600 }),
    ...road(x, y, 0.6 * r, route),
  ]
  const { from_deg: from, speed_mps: speed } = run.wind
  if (from === null) {
    const words = speed === null ? 'wind not known' : 'direction not known'
    return [...marks, text(x, y + r + 0.24 * r, words, 0.19 * r, { anchor: 'middle', color: SOFT })]
  }
  const [head, wing] = [0.3 * r, 14]
  const shaft = `M${at(from, 0.97 * r)}L${at(from + 180, 0.97 * r - 0.7 * head)}`
  const tip = `M${at(from + 180, 0.97 * r)}L${at(from + 180 - wing, 0.97 * r - head)}L${at(from + 180 + wing, 0.97 * r - head)}z`
  return [...marks, line(shaft, { stroke: WIND, width: 0.06 * r }), line(tip, { fill: WIND, stroke: null })]
}

/** The course of the road, its start a dot; nothing where it is not known. */
function road(x: number, y: number, r: number, route: ReportRoute | null): Mark[] {
  if (route === null || route.outline.length < 2) return []
  const norths = route.outline.map(([, north]) => north)
  const middleNorth = (Math.min(...norths) + Math.max(...norths)) / 2
  const squeeze = Math.cos(middleNorth * RADIANS)
  const easts = route.outline.map(([east]) => east * squeeze)
  const middleEast = (Math.min(...easts) + Math.max(...easts)) / 2
  const reach = Math.max(1e-5, ...norths.map((north, i) => Math.hypot(north - middleNorth, easts[i] - middleEast)))
  const points = norths.map((north, i) => [
    tenth(x + ((easts[i] - middleEast) / reach) * r),
    tenth(y - ((north - middleNorth) / reach) * r),
  ])
  const path = points.map(([px, py], i) => `${i === 0 ? 'M' : 'L'}${px} ${py}`).join('')
  return [
    line(path, { stroke: RULE, width: 5 }),
    line(circle(points[0][0], points[0][1], 7), { fill: SOFT, stroke: null }),
  ]
}
