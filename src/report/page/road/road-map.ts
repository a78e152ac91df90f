import { fixed } from '../../../base/figures.ts'
import { figure, type Sentence, say, span } from '../../../base/sentence.ts'
import { sum } from '../../../base/statistics.ts'
import type { AlongRoad } from '../../along-data.ts'
import { html, type Markup } from '../../markup.ts'
import { label, lengthInDrawing, marked } from '../sentences.ts'
import { decimalsOf, ticksOf } from './fluid.ts'
import type { PlottedRun } from './plotted-runs.ts'
import { SHAPES } from './station-shapes.ts'

const SIDE = 248
const EDGE = 34
/** Below the road: its longitudes, and the scale bar. */
const FOOT = 38
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
  return html`<svg class="map" role="img" ${label(words)} viewBox="0 0 ${SIDE} ${SIDE + FOOT}" width="${SIDE}" height="${SIDE + FOOT}">${degreeTicks(road, projection)}${stretches}${headings(road, projection)}<circle class="start" cx="${x(road.longitude[0])}" cy="${y(road.latitude[0])}" r="4"/>${run.stoodAt.map((stood) => stand(stood, projection))}${run.windAt.map((wind) => arrow(wind, projection))}${stationMarks(run, projection)}${scaleAndNorth(projection)}<circle class="cursor" cx="0" cy="0" r="6"/></svg>`
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

/** A long head with a notch at its back: it cannot be taken for pointing anywhere else. */
const HEADING = 'M9 0l-18 -5.5l5 5.5l-5 5.5z'
/** Places of the heads, as shares of the road. */
const HEADINGS_AT = [1 / 6, 1 / 2, 5 / 6]

/** Which way the road is driven. */
function headings({ latitude, longitude }: AlongRoad, { x, y }: Projection): Markup[] {
  const last = latitude.length - 1
  return HEADINGS_AT.map((share) => {
    const i = Math.max(1, Math.round(share * last))
    const before = Math.max(0, i - Math.max(1, Math.round(last / 60)))
    const turn = Math.atan2(y(latitude[i]) - y(latitude[before]), x(longitude[i]) - x(longitude[before]))
    return html`<path class="heading" transform="translate(${x(longitude[i])} ${y(latitude[i])}) rotate(${one((turn * 180) / Math.PI)})" d="${HEADING}"/>`
  })
}

/** Two bars where a drive stood still. */
const stand = ({ latitude, longitude, standingS }: PlottedRun['stoodAt'][number], { x, y }: Projection): Markup =>
  html`<path class="stood" transform="translate(${x(longitude)} ${y(latitude)})" d="M-2 -5v10M2 -5v10"><title>stood still for ${Math.round(standingS)} s</title></path>`

/** So many stations are marked, the nearest. */
const MOST_STATIONS = 3
const MARGIN_PX = 9

/** Stations in their places, or on the frame in their direction, with their distance from the road. */
function stationMarks({ weather }: PlottedRun, { x, y }: Projection): Markup[] {
  const placed = (weather?.observations ?? []).filter(({ latitude }) => Number.isFinite(latitude))
  const shapes = new Map(weather?.observations.map(({ station }, i) => [station, SHAPES[i % SHAPES.length]]))
  const nearest = placed.toSorted((a, b) => a.distanceM - b.distanceM).slice(0, MOST_STATIONS)
  return nearest.map(({ station, latitude, longitude, distanceM }) => {
    const [east, south] = [x(longitude) - SIDE / 2, y(latitude) - SIDE / 2]
    const reach = Math.min(1, (SIDE / 2 - MARGIN_PX) / Math.max(Math.abs(east), Math.abs(south), 1))
    const [px, py] = [one(SIDE / 2 + reach * east), one(SIDE / 2 + reach * south)]
    const turn = one((Math.atan2(south, east) * 180) / Math.PI)
    const away =
      reach < 1
        ? html`<path class="axis" transform="translate(${px} ${py}) rotate(${turn})" d="M4 -4l5 4l-5 4"/>`
        : null
    const anchor = px > SIDE / 2 ? html`text-anchor="end" x="${px - 8}"` : html`x="${px + 8}"`
    return html`${away}<path class="seen" transform="translate(${px} ${py})" d="${shapes.get(station) ?? SHAPES[0]}"/><text class="tag" ${anchor} y="${Math.max(12, py + 4)}">${lengthInDrawing(Math.round(distanceM / 100) * 100)}</text>`
  })
}

/** Latitudes on the left edge and longitudes below, at round values. */
function degreeTicks({ latitude, longitude }: AlongRoad, projection: Projection): Markup {
  const ticks = (of: Float64Array): number[] => ticksOf({ from: Math.min(...of), to: Math.max(...of) }, 2).slice(0, 3)
  const [norths, easts] = [ticks(latitude), ticks(longitude)]
  const told = (degrees: number, all: readonly number[], [plus, minus]: string): string =>
    `${fixed(Math.abs(degrees), Math.max(2, decimalsOf(all)))}° ${degrees < 0 ? minus : plus}`
  const up = norths.map((degrees) => {
    const at = projection.y(degrees)
    return html`<path class="axis" d="M0 ${at}h6"/><text class="degrees" x="2" y="${at - 3}">${told(degrees, norths, 'NS')}</text>`
  })
  const along = easts.map((degrees) => {
    const at = projection.x(degrees)
    return html`<path class="axis" d="M${at} ${SIDE}v-6"/><text class="degrees" x="${at}" y="${SIDE + 12}" text-anchor="middle">${told(degrees, easts, 'EW')}</text>`
  })
  return html`${up}${along}`
}

function scaleAndNorth({ pxPerM }: Projection): Markup {
  const widthM = (SIDE - 2 * EDGE) / pxPerM
  const power = 10 ** Math.floor(Math.log10(widthM / 4))
  const barM = power * ([5, 2].find((step) => step * power <= widthM / 4) ?? 1)
  const barPx = one(barM * pxPerM)
  return html`<path class="axis" d="M6 ${SIDE + 24}v6h${barPx}v-6"/><text x="${barPx + 12}" y="${SIDE + 31}">${lengthInDrawing(barM)}</text><path class="axis" d="M${SIDE - 12} 26v-18l-4 7m4-7l4 7"/><text x="${SIDE - 12}" y="40" text-anchor="middle">N</text>`
}

/** What the widths and the arrows mean. */
export function mapLegend(): Markup {
  const classes = CLASS_WORDS.map(
    (words, kind) =>
      html`<span><svg aria-hidden="true" width="34" height="12"><path class="head-${kind}" d="M1 6H33"/></svg> ${marked(words)}</span> `,
  )
  return html`<p class="map-legend">Headwind at the vehicle, the broader the more: ${classes}<span><svg aria-hidden="true" width="40" height="12"><path class="wind-arrow" d="M${36 - 5 * PX_PER_MPS} 6H36M36 6l-6 -4.5M36 6l-6 4.5"/></svg> ${marked(say`wind at 10 m, this long at ${figure(5, 'wind', 0)}`)}</span> <span><svg aria-hidden="true" width="22" height="14"><path class="heading" transform="translate(11 7)" d="${HEADING}"/></svg> way driven</span> <span><svg aria-hidden="true" width="12" height="14"><path class="stood" d="M4 2v10M8 2v10"/></svg> stood still</span> <span class="long"><svg aria-hidden="true" width="12" height="12"><path class="seen" transform="translate(6 6)" d="${SHAPES[0]}"/></svg> weather station, with its distance from the road; on the edge where it lies beyond</span> <span><svg aria-hidden="true" width="14" height="12"><circle class="start" cx="6" cy="6" r="4"/></svg> start</span></p>\n`
}
