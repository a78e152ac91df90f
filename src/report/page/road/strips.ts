import { inSystem } from '../../../base/quantities.ts'
import { STRIPS, type Strip } from '../../along-data.ts'
import { html, type Markup } from '../../markup.ts'
import { unitOf } from '../units.ts'
import {
  across,
  bandOver,
  DISTANCE_TICKS,
  decimalsOf,
  pathOver,
  plot,
  type Scale,
  scaleFor,
  ticksOf,
  yOf,
} from './fluid.ts'
import { gradientStrip } from './gradient.ts'
import type { PlottedRoad, PlottedRun } from './plotted-runs.ts'
import { describe, frame, HEIGHT, type StripWords, TOP } from './strip-frame.ts'

const WORDS: Record<Strip, StripWords> = {
  speedMps: { name: 'Speed', quantity: 'speed', decimals: 0, sign: false, anchors: [] },
  headwindMps: { name: 'Headwind at the vehicle', quantity: 'wind', decimals: 1, sign: true, anchors: [-1, 1] },
  crosswindMps: { name: 'Crosswind, + from the right', quantity: 'wind', decimals: 1, sign: true, anchors: [-1, 1] },
  densityKgM3: { name: 'Air density', quantity: 'density', decimals: 3, sign: false, anchors: [] },
  demandJPerM: {
    name: 'Predicted energy demand (vehicle unchanged)',
    quantity: 'demand',
    decimals: 0,
    sign: false,
    anchors: [],
  },
}
const ELEVATION: StripWords = { name: 'Elevation', quantity: 'height', decimals: 0, sign: false, anchors: [] }

/** Aligned strips over the road's axis, one line a run, the range of all plotted runs shaded. */
export function roadStrips(plotted: PlottedRoad): Markup {
  const [speed, ...others] = STRIPS
  return html`<div class="strips fluid">${runsStrip(plotted, speed)}${elevationStrip(plotted)}${gradientStrip(plotted)}${others.map((strip) => runsStrip(plotted, strip))}${distanceAxis(plotted.road.lengthM)}</div>\n`
}

/** A drive's line in a strip, which drawings of a pair show again. */
export const lineId = (strip: Strip, { number }: Pick<PlottedRun, 'number'>): string => `line-${strip}-${number}`

const knownOf = ({ runs }: PlottedRoad, strip: Strip): number[] =>
  runs.flatMap(({ strips }) => [...strips[strip]]).filter((v) => Number.isFinite(v))

/** The scale that all drives of a road share in a strip; null where nothing is known. */
export function stripScale(plotted: PlottedRoad, strip: Strip): Scale | null {
  const known = knownOf(plotted, strip)
  return known.length === 0 ? null : scaleFor(known, WORDS[strip].anchors)
}

/** A strip with some of the road's lines. */
export function stripFrame(
  strip: Strip,
  scale: Scale,
  lines: readonly Markup[],
  runs: readonly Pick<PlottedRun, 'strips'>[],
): Markup {
  const known = runs.flatMap(({ strips }) => [...strips[strip]]).filter((v) => Number.isFinite(v))
  return frame(WORDS[strip], scale, plot(TOP, HEIGHT, html`${lines}`), strip, describe(WORDS[strip], known))
}

function runsStrip(plotted: PlottedRoad, strip: Strip): Markup | null {
  const { road, runs } = plotted
  const columns = runs.map((run) => run.strips[strip])
  const words = WORDS[strip]
  const scale = stripScale(plotted, strip)
  if (scale === null) return html`<p class="nothing">${words.name}: not known for any drive.</p>`
  const ends = (of: (values: number[]) => number): number[] =>
    Array.from({ length: road.cells }, (_, i) => {
      const values = columns.map((column) => column[i]).filter((v) => Number.isFinite(v))
      return values.length > 0 ? of(values) : Number.NaN
    })
  const range =
    runs.length > 2
      ? html`<path class="range" d="${bandOver(
          ends((v) => Math.min(...v)),
          ends((v) => Math.max(...v)),
          scale,
          HEIGHT,
        )}"/>`
      : null
  const lines = runs.map(
    ({ number, place, stroke, strips }) =>
      html`<path id="${lineId(strip, { number })}" class="line s${stroke} run${place}" vector-effect="non-scaling-stroke" d="${pathOver(strips[strip], scale, HEIGHT)}"/>`,
  )
  const tags = runs.map(({ place, number, strips }) => tagOf(strips[strip], place, number, scale))
  return frame(
    words,
    scale,
    html`${plot(TOP, HEIGHT, html`${range}${lines}`)}${tags}`,
    strip,
    describe(words, knownOf(plotted, strip)),
  )
}

function elevationStrip({ road: { elevation } }: PlottedRoad): Markup {
  if (!elevation)
    return html`<p class="nothing">Elevation: not recorded on this road, and no terrain tile covers it.</p>`
  const { heightM, spreadM, witnesses, terrain } = elevation
  const half = spreadM.map((s) => (Number.isFinite(s) ? s : 0))
  const low = heightM.map((h, i) => h - half[i])
  const high = heightM.map((h, i) => h + half[i])
  const scale = scaleFor([...low, ...high])
  const known = spreadM.some((s) => Number.isFinite(s))
  const content = html`${known ? html`<path class="spread" d="${bandOver(low, high, scale, HEIGHT)}"/>` : null}<path class="line road-line" d="${pathOver(heightM, scale, HEIGHT)}"/>`
  const from = `of ${witnesses} ${witnesses === 1 ? 'drive' : 'drives'}${terrain ? ' and the terrain' : ''}`
  const words = {
    ...ELEVATION,
    name: known ? `Elevation ${from}; shaded: their median deviation` : `Elevation ${from}`,
  }
  return frame(words, scale, plot(TOP, HEIGHT, content), 'elevation', describe(ELEVATION, [...heightM]))
}

/** The run's number on its own line, each at another place so that they do not hide each other. */
function tagOf(column: Float64Array, place: number, number: number, scale: Scale): Markup | null {
  const share = (0.07 + place * 0.381966) % 1
  const cell = Math.min(column.length - 1, Math.floor(share * column.length))
  if (!Number.isFinite(column[cell])) return null
  const x = across({ from: 0, to: 1 }, (cell + 0.5) / column.length)
  return html`<text class="tag run${place}" x="${x}" y="${TOP + yOf(column[cell], scale, HEIGHT) + 4}" text-anchor="middle">${number}</text>`
}

/** The distance below strips of a road. */
export function distanceAxis(lengthM: number): Markup {
  const km = lengthM / 1000
  const ticks = ticksOf({ from: 0, to: km }, DISTANCE_TICKS)
  const places = decimalsOf(ticks)
  const marks = ticks.map((tick) => {
    const x = across({ from: 0, to: km }, tick)
    return html`<line class="axis" x1="${x}" x2="${x}" y1="0" y2="5"/><text x="${x}" y="18" text-anchor="middle">${inSystem(tick * 1000, 'distance', places)}</text>`
  })
  return html`<svg class="fluid-svg distance-axis" aria-hidden="true" width="100%" height="22" data-length="${String(lengthM)}"><line class="axis" x1="0" x2="100%" y1="0" y2="0"/><g class="ticks">${marks}</g></svg><p class="axis-name" aria-hidden="true">distance along the road, ${unitOf('distance')}</p>`
}
