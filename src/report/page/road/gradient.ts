import { figure, say, span } from '../../../base/sentence.ts'
import type { AlongRoad } from '../../along-data.ts'
import { html, type Markup } from '../../markup.ts'
import { marked } from '../sentences.ts'
import { bandOver, pathOver, plot, scaleFor } from './fluid.ts'
import type { PlottedRoad } from './plotted-runs.ts'
import { describe, frame, HEIGHT, type StripWords, TOP } from './strip-frame.ts'

/** Heights of a road are known to a metre or two: over less than this the gradient would be noise, m. */
const LEAST_WINDOW_M = 200
/** What the scale holds in any case, percent. */
const ANCHORS_PCT = [-1, 1]

/** Cells on either side of a place over which its gradient is taken. */
const reachOf = ({ lengthM, cells }: AlongRoad): number =>
  Math.max(1, Math.round((LEAST_WINDOW_M * cells) / lengthM / 2))

/**
 * The road's mean gradient about each of its cells, percent, positive uphill in the direction of travel; NaN where no
 * height is known. Near the ends it is that of the part which lies on the road.
 */
export function gradientPct(road: AlongRoad): Float64Array {
  const heights = road.elevation?.heightM ?? new Float64Array(road.cells).fill(Number.NaN)
  const reach = reachOf(road)
  const last = heights.length - 1
  const cellM = road.lengthM / road.cells
  return heights.map((_, i) => {
    const [from, to] = [Math.max(0, i - reach), Math.min(last, i + reach)]
    return (100 * (heights[to] - heights[from])) / ((to - from) * cellM)
  })
}

/** The gradient along a road, over its profile as a shade; null where nobody knows heights. */
export function gradientStrip({ road, number }: PlottedRoad): Markup | null {
  const drawn = drawingOf(road)
  if (drawn === null) return null
  const { scale, gradients, heights, shade } = drawn
  const content = html`<path id="${profileId(number)}" class="profile" d="${shade}"/><path id="${gradientId(number)}" class="line road-line" vector-effect="non-scaling-stroke" d="${pathOver(gradients, scale, HEIGHT)}"/>`
  return html`${frame(WORDS, scale, plot(TOP, HEIGHT, content), 'gradient', describe(WORDS, known(gradients)))}${noteOf(road, heights)}`
}

/** The same once more for a drawing of a pair, from what the road's own strip holds. */
export function gradientAgain({ road, number }: PlottedRoad): Markup | null {
  const drawn = drawingOf(road)
  if (drawn === null) return null
  const { scale, gradients, heights } = drawn
  const content = html`<use href="#${profileId(number)}"/><use href="#${gradientId(number)}"/>`
  const strip = frame(WORDS, scale, plot(TOP, HEIGHT, content), 'gradient', describe(WORDS, known(gradients)))
  return html`${strip}${noteOf(road, heights)}`
}

function drawingOf(road: AlongRoad) {
  const gradients = gradientPct(road)
  if (road.elevation === null || known(gradients).length === 0) return null
  const heights = known(road.elevation.heightM)
  return { gradients, heights, scale: scaleFor(known(gradients), ANCHORS_PCT), shade: shadeOf(road.elevation.heightM) }
}

/** The profile as a shape that stands on the foot of the strip. */
function shadeOf(heightM: Float64Array): string {
  const heights = known(heightM)
  const [low, high] = [Math.min(...heights), Math.max(...heights)]
  const room = high - low || 1
  const scale = { from: low - 0.15 * room, to: high + 0.1 * room }
  return bandOver(
    heightM.map(() => scale.from),
    heightM.map((height) => (Number.isFinite(height) ? height : low)),
    scale,
    HEIGHT,
  )
}

const known = (values: Float64Array): number[] => [...values].filter((value) => Number.isFinite(value))
const profileId = (road: number): string => `profile-${road}`
const gradientId = (road: number): string => `gradient-${road}`

const WORDS: StripWords = {
  name: 'Gradient of the road',
  quantity: 'gradient',
  decimals: 1,
  sign: true,
  anchors: ANCHORS_PCT,
}

function noteOf(road: AlongRoad, heights: readonly number[]): Markup {
  const windowM = 10 * Math.round((2 * reachOf(road) * road.lengthM) / road.cells / 10)
  const words = say`Gradient: mean over ${figure(windowM, 'height', 0)}. Shade: profile from ${span(Math.min(...heights), Math.max(...heights), 'height', 0)}.`
  return html`<p class="small">${marked(words)}</p>`
}
