import { fixed } from '../../../base/figures.ts'
import { figure, say } from '../../../base/sentence.ts'
import { sum } from '../../../base/statistics.ts'
import type { ApparentWindMet } from '../../along-data.ts'
import { html, type Markup } from '../../markup.ts'
import { label } from '../sentences.ts'
import { ticksOf } from './fluid.ts'

const WIDTH = 248
const HEIGHT = 72
const LEFT = 34
const TOP = 8
/** Ends of the scale: the nearest that holds all yaws. */
const LIMITS_DEG = [4, 10, 20, 30]
/** Less than this share of the distance makes no bar, percent. */
const LEAST_PCT = 0.2

const one = (value: number): number => Math.round(value * 10) / 10

/** How the distance is shared out over the yaw of the air that the vehicle met: a histogram; what lies beyond its ends is in the outermost bars. */
export function apparentWindPicture(met: ApparentWindMet): Markup {
  const { yawStepDeg, yawLimitDeg } = met
  const shares = met.share.map((row) => 100 * sum(row)).map((pct) => (pct < LEAST_PCT ? 0 : pct))
  const most = Math.max(...shares)
  const yawOf = (i: number): number => i * yawStepDeg - yawLimitDeg
  const widest = Math.max(...shares.map((pct, i) => (pct > 0 ? Math.max(-yawOf(i), yawOf(i + 1)) : 0)))
  const limit = LIMITS_DEG.find((deg) => deg >= widest) ?? yawLimitDeg
  const x = (yawDeg: number): number => one(LEFT + ((yawDeg + limit) / (2 * limit)) * (WIDTH - LEFT - 8))
  const y = (pct: number): number => one(TOP + HEIGHT * (1 - pct / most))
  const bars = shares.flatMap((pct, i) =>
    pct > 0 ? `M${x(yawOf(i)) + 0.5} ${y(0)}V${y(pct)}H${x(yawOf(i + 1)) - 0.5}V${y(0)}z` : [],
  )
  const heights = ticksOf({ from: 0, to: most }, 2).map(
    (pct) =>
      html`<path class="gridline" d="M${LEFT} ${y(pct)}H${WIDTH - 8}"/><text x="${LEFT - 4}" y="${y(pct) + 4}" text-anchor="end">${fixed(pct, 0)} %</text>`,
  )
  const yaws = [-limit, -limit / 2, 0, limit / 2, limit].map(
    (yaw) =>
      html`<path class="axis" d="M${x(yaw)} ${y(0)}v4"/><text x="${x(yaw)}" y="${y(0) + 16}" text-anchor="middle">${Math.abs(yaw)}°</text>`,
  )
  const words = say`Yaw of the air as met, as shares of the distance: mean air speed ${figure(met.meanAirspeedMps, 'speed', 0)}; yaw below ${fixed(met.yawMedianDeg, 1)}° for half of the distance and below ${fixed(met.yawNinetyDeg, 1)}° for nine tenths`
  return html`<svg class="apparent" role="img" ${label(words)} viewBox="0 0 ${WIDTH} ${TOP + HEIGHT + 34}" width="${WIDTH}" height="${TOP + HEIGHT + 34}">${heights}<path class="met" d="${bars.join('')}"/><path class="zero" d="M${x(0)} ${TOP}V${y(0)}"/><path class="axis" d="M${LEFT} ${y(0)}H${WIDTH - 8}"/>${yaws}<text x="${LEFT}" y="${y(0) + 31}">from the left</text><text x="${WIDTH - 8}" y="${y(0) + 31}" text-anchor="end">from the right</text></svg>`
}
