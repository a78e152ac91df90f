import { figure, name, say } from '../base/sentence.ts'
import type { ReportRoute } from './contract.ts'
import { html, type Markup } from './markup.ts'
import { label, lengthInDrawing } from './page/sentences.ts'

const SIDE = 220
const EDGE = 16
const METRES_PER_DEGREE = 111_200

/** A road drawn from its own coordinates, north up, with its start, a scale and an arrow in the direction of travel. */
export function roadSketch({ id, shape, length_m, outline }: ReportRoute): Markup | null {
  if (outline.length < 2) return null
  const norths = outline.map(([, north]) => north)
  const squeeze = Math.cos((((Math.min(...norths) + Math.max(...norths)) / 2) * Math.PI) / 180)
  const easts = outline.map(([east]) => east * squeeze)
  const span = Math.max(Math.max(...easts) - Math.min(...easts), Math.max(...norths) - Math.min(...norths), 1e-4)
  const perDegree = (SIDE - 2 * EDGE) / span
  const centre = {
    east: (Math.min(...easts) + Math.max(...easts)) / 2,
    north: (Math.min(...norths) + Math.max(...norths)) / 2,
  }
  const points = outline.map(([, north], i) => ({
    x: round(SIDE / 2 + (easts[i] - centre.east) * perDegree),
    y: round(SIDE / 2 - (north - centre.north) * perDegree),
  }))
  const barM = scaleLength(((SIDE - 2 * EDGE) / perDegree) * METRES_PER_DEGREE)
  const barPx = round((barM / METRES_PER_DEGREE) * perDegree)
  const words = say`Course of ${name(id)}, ${shape.replaceAll('-', ' ')}, ${figure(length_m, 'distance', 1)}, north up`
  const path = points.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${x} ${y}`).join('')
  return html`<figure class="sketch"><svg role="img" ${label(words)} viewBox="0 0 ${SIDE} ${SIDE + 22}" width="${SIDE}" height="${SIDE + 22}">
<path class="road" d="${path}"/>${heading(points)}<circle class="start" cx="${points[0].x}" cy="${points[0].y}" r="4"/>
<path class="axis" d="M${EDGE} ${SIDE + 8}v6h${barPx}v-6"/><text x="${EDGE + barPx + 6}" y="${SIDE + 14}">${lengthInDrawing(barM)}</text>
<path class="axis" d="M${SIDE - EDGE} ${EDGE + 18}v-18l-4 7m4-7l4 7"/><text x="${SIDE - EDGE - 4}" y="${EDGE + 32}">N</text>
</svg><figcaption>${id}: the dot is the start</figcaption></figure>\n`
}

const round = (value: number): number => Math.round(value * 10) / 10

/** A round length of about a quarter of the drawing's width, m. */
function scaleLength(widthM: number): number {
  const power = 10 ** Math.floor(Math.log10(widthM / 4))
  return power * ([5, 2].find((step) => step * power <= widthM / 4) ?? 1)
}

/** An arrow head a sixth of the way along. */
function heading(points: { x: number; y: number }[]): Markup {
  const i = Math.max(1, Math.floor(points.length / 6))
  const [from, to] = [points[i - 1], points[i]]
  const turn = round((Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI)
  return html`<path class="heading" transform="translate(${to.x} ${to.y}) rotate(${turn})" d="M0 0l-9 -4v8z"/>`
}
