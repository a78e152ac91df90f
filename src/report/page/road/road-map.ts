import { figure, type Sentence, say, span } from '../../../base/sentence.ts'
import { sum } from '../../../base/statistics.ts'
import type { AlongRoad } from '../../along-data.ts'
import { html, type Markup } from '../../markup.ts'
import { label, lengthInDrawing, marked } from '../sentences.ts'
import type { PlottedRun } from './plotted-runs.ts'

const SIDE = 248
const EDGE = 26
const METRES_PER_DEGREE = 111_200
const PX_PER_MPS = 6
const LONGEST_ARROW_PX = 60

/** Headwind at the vehicle, m/s: the lower ends of the classes after the first. The broader, the more headwind. */
const CLASS_ENDS = [-2, -0.5, 0.5, 2]
const CLASS_WORDS: Sentence[] = [
  say`tailwind over ${figure(2, 'wind', 1)}`,
  say`tailwind ${span(0.5, 2, 'wind', 1)}`,
  say`within ± ${figure(0.5, 'wind', 1)}`,
  say`headwind ${span(0.5, 2, 'wind', 1)}`,
  say`headwind over ${figure(2, 'wind', 1)}`,
]

/** A road on paper: east and north to px. */
export interface Projection {
  x: (longitude: number) => number
  y: (latitude: number) => number
  pxPerM: number
}

const one = (value: number): number => Math.round(value * 10) / 10

export function projectionOf({ latitude, longitude }: AlongRoad): Projection {
  const [south, north] = [Math.min(...latitude), Math.max(...latitude)]
  const [west, east] = [Math.min(...longitude), Math.max(...longitude)]
  const squeeze = Math.cos((((south + north) / 2) * Math.PI) / 180)
  const perDegree = (SIDE - 2 * EDGE) / Math.max((east - west) * squeeze, north - south, 1e-4)
  return {
    x: (lon) => one(SIDE / 2 + (lon - (west + east) / 2) * squeeze * perDegree),
    y: (lat) => one(SIDE / 2 - (lat - (south + north) / 2) * perDegree),
    pxPerM: perDegree / METRES_PER_DEGREE,
  }
}

/** One run's road from its own coordinates, north up, by its headwind, with the wind's arrows, scale and direction. */
export function runMap(road: AlongRoad, run: PlottedRun, projection: Projection): Markup {
  const head = run.strips.headwindMps
  const { x, y } = projection
  const point = (i: number): string => `${x(road.longitude[i])} ${y(road.latitude[i])}`
  const byClass = new Map<number, string>()
  for (let from = 0; from < head.length; ) {
    const kind = classOf(head[from])
    let to = from
    while (to + 1 < head.length && classOf(head[to + 1]) === kind) to++
    const points = Array.from({ length: to - from + 2 }, (_, k) => point(from + k))
    byClass.set(kind, `${byClass.get(kind) ?? ''}M${points.join('L')}`)
    from = to + 1
  }
  const stretches = [...byClass].map(([kind, d]) => html`<path class="head-${kind < 0 ? 'unknown' : kind}" d="${d}"/>`)
  const known = head.filter((v) => Number.isFinite(v))
  const mean = sum(known) / known.length
  const words =
    known.length > 0
      ? say`Map of the road, north up: mean headwind ${figure(mean, 'wind', 1, { sign: true })}, from ${span(Math.min(...known), Math.max(...known), 'wind', 1, { sign: true })}`
      : ['Map of the road, north up; the wind is not known']
  return html`<svg class="map" role="img" ${label(words)} viewBox="0 0 ${SIDE} ${SIDE + 20}" width="${SIDE}" height="${SIDE + 20}">${stretches}${heading(road, projection)}<circle class="start" cx="${x(road.longitude[0])}" cy="${y(road.latitude[0])}" r="4"/>${run.windAt.map((wind) => arrow(wind, projection))}${scaleAndNorth(projection)}<circle class="cursor" cx="0" cy="0" r="6"/></svg>`
}

function classOf(headwindMps: number): number {
  if (!Number.isFinite(headwindMps)) return -1
  return CLASS_ENDS.filter((end) => headwindMps >= end).length
}

/** The arrow flies with the wind, its head at the place where it was met, or as near to it as the frame allows. */
function arrow({ latitude, longitude, eastMps, northMps }: PlottedRun['windAt'][number], { x, y }: Projection): Markup {
  const speed = Math.hypot(eastMps, northMps)
  const length = one(Math.min(LONGEST_ARROW_PX, Math.max(3, speed * PX_PER_MPS)))
  const angle = Math.atan2(-northMps, eastMps)
  const within = (head: number, along: number): number => {
    const tail = head - (6 + length) * along
    return one(head + Math.max(0, 2 - tail) - Math.max(0, tail - (SIDE - 2)))
  }
  const place = `${within(x(longitude), Math.cos(angle))} ${within(y(latitude), Math.sin(angle))}`
  return html`<path class="wind-arrow" transform="translate(${place}) rotate(${one((angle * 180) / Math.PI)})" d="M-6 0H${-6 - length}M-6 0l-6 -4.5M-6 0l-6 4.5"/>`
}

/** Which way the road is driven: an arrow head a sixth of the way along. */
function heading({ latitude, longitude }: AlongRoad, { x, y }: Projection): Markup {
  const i = Math.max(1, Math.floor(latitude.length / 6))
  const turn = Math.atan2(y(latitude[i]) - y(latitude[i - 1]), x(longitude[i]) - x(longitude[i - 1]))
  return html`<path class="heading" transform="translate(${x(longitude[i])} ${y(latitude[i])}) rotate(${one((turn * 180) / Math.PI)})" d="M2 0l-10 -6v12z"/>`
}

function scaleAndNorth({ pxPerM }: Projection): Markup {
  const widthM = (SIDE - 2 * EDGE) / pxPerM
  const power = 10 ** Math.floor(Math.log10(widthM / 4))
  const barM = power * ([5, 2].find((step) => step * power <= widthM / 4) ?? 1)
  const barPx = one(barM * pxPerM)
  return html`<path class="axis" d="M6 ${SIDE + 6}v6h${barPx}v-6"/><text x="${barPx + 12}" y="${SIDE + 13}">${lengthInDrawing(barM)}</text><path class="axis" d="M${SIDE - 12} 26v-18l-4 7m4-7l4 7"/><text x="${SIDE - 12}" y="40" text-anchor="middle">N</text>`
}

/** What the widths and the arrows mean. */
export function mapLegend(): Markup {
  const classes = CLASS_WORDS.map(
    (words, kind) =>
      html`<span><svg aria-hidden="true" width="34" height="12"><path class="head-${kind}" d="M1 6H33"/></svg> ${marked(words)}</span> `,
  )
  return html`<p class="map-legend">Headwind at the vehicle, the broader the more: ${classes}<span><svg aria-hidden="true" width="40" height="12"><path class="wind-arrow" d="M${36 - 5 * PX_PER_MPS} 6H36M36 6l-6 -4.5M36 6l-6 4.5"/></svg> ${marked(say`wind at 10 m, this long at ${figure(5, 'wind', 0)}`)}</span> <span><svg aria-hidden="true" width="16" height="14"><path class="heading" d="M14 7l-11 -6v12z"/></svg> way driven</span> <span><svg aria-hidden="true" width="14" height="12"><circle class="start" cx="6" cy="6" r="4"/></svg> start</span></p>\n`
}
