import { fixed } from '../../../base/figures.ts'
import { inSystem } from '../../../base/quantities.ts'
import { figure, say } from '../../../base/sentence.ts'
import type { ApparentWindMet } from '../../along-data.ts'
import { html, type Markup } from '../../markup.ts'
import { label } from '../sentences.ts'

const WIDTH = 248
const RADIUS = 132
const BASE = 150
/** Yaws are small: angles are drawn at twice their size. */
const STRETCH = 2
const PX_PER_ROOT_SHARE = 20
const LEAST_SHARE = 0.001
/** Three digits. */
const ROOM = 24

const one = (value: number): number => Math.round(value * 10) / 10

/**
 * The air as the vehicle met it: ahead is up, the distance from the foot is the air's speed, the angle its yaw (twice its
 * size); each dot's area is the share of the distance driven in such air.
 */
export function apparentWindPicture(met: ApparentWindMet): Markup {
  const { share, yawStepDeg, yawLimitDeg, speedStepMps } = met
  const fastest = Math.max(10, ...share.map((row) => row.length)) * speedStepMps
  const place = (yawDeg: number, speedMps: number): { x: number; y: number } => {
    const angle = (STRETCH * yawDeg * Math.PI) / 180
    const r = (speedMps / fastest) * RADIUS
    return { x: one(WIDTH / 2 + r * Math.sin(angle)), y: one(BASE - r * Math.cos(angle)) }
  }
  const rings = ringSpeeds(fastest).map((speed) => {
    const [from, to] = [place(-yawLimitDeg, speed), place(yawLimitDeg, speed)]
    const r = one((speed / fastest) * RADIUS)
    return html`<path class="gridline" d="M${from.x} ${from.y}A${r} ${r} 0 0 1 ${to.x} ${to.y}"/><text x="${Math.min(to.x + 4, WIDTH - ROOM)}" y="${to.x + 4 > WIDTH - ROOM ? to.y + 16 : to.y + 4}" data-value="${speed}" data-as="speed 0">${inSystem(speed, 'speed', 0)}</text>`
  })
  const rays = [-20, -10, 0, 10, 20].map((yaw) => {
    const end = place(yaw, fastest)
    const label = place(yaw, fastest * 1.07)
    return html`<path class="gridline" d="M${WIDTH / 2} ${BASE}L${end.x} ${end.y}"/><text x="${label.x}" y="${label.y + 3}" text-anchor="middle">${Math.abs(yaw)}°</text>`
  })
  const dots = share.flatMap((row, yaw) =>
    row.flatMap((part, speed) => {
      if (part < LEAST_SHARE) return []
      const { x, y } = place((yaw + 0.5) * yawStepDeg - yawLimitDeg, (speed + 0.5) * speedStepMps)
      return html`<circle class="met" cx="${x}" cy="${y}" r="${one(Math.max(0.9, PX_PER_ROOT_SHARE * Math.sqrt(part)))}"/>`
    }),
  )
  const words = say`Air as met: mean air speed ${figure(met.meanAirspeedMps, 'speed', 0)}; yaw below ${fixed(met.yawMedianDeg, 1)}° for half of the distance and below ${fixed(met.yawNinetyDeg, 1)}° for nine tenths`
  return html`<svg class="apparent" role="img" ${label(words)} viewBox="0 0 ${WIDTH} ${BASE + 6}" width="${WIDTH}" height="${BASE + 6}">${rings}${rays}${dots}<path class="vehicle" d="M${WIDTH / 2 - 4} ${BASE + 4}v-7l4 -4l4 4v7z"/></svg>`
}

/** Rings at whole tens of m/s. */
function ringSpeeds(fastest: number): number[] {
  return Array.from({ length: Math.floor(fastest / 10) }, (_, i) => (i + 1) * 10)
}
