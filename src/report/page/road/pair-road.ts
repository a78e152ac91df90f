import { signed } from '../../../base/figures.ts'
import { type AlongPair, type Strip, SUMMED } from '../../along-data.ts'
import { html, type Markup } from '../../markup.ts'
import { FACTOR_WORDS } from '../../words.ts'
import { decimalsOf, inPlot, pathThrough, plot, scaleFor, ticksOf, VALUE_TICKS, yOf } from './fluid.ts'
import { gradientAgain } from './gradient.ts'
import type { PlottedRoad, PlottedRun } from './plotted-runs.ts'
import { distanceAxis, lineId, stripFrame, stripScale } from './strips.ts'

const TOP = 6
const HEIGHT = 110

/** What both drives are shown with, above the sum. */
const SHOWN: Strip[] = ['speedMps', 'headwindMps']
const WORDS: Record<(typeof SUMMED)[number], string> = {
  airDensity: FACTOR_WORDS.air_density,
  wind: FACTOR_WORDS.wind,
  rollingTemperature: FACTOR_WORDS.rolling_temperature,
  speed: FACTOR_WORDS.speed,
}

/** Both drives of a pair on one axis, and how their difference comes about along the road, by cause; null where it is not drawn. */
export type PairRoad = (a: string, b: string) => Markup | null

export function pairRoads(roads: readonly PlottedRoad[], pairs: readonly AlongPair[]): PairRoad {
  const drawn = new Map(pairs.map((pair) => [`${pair.a}\n${pair.b}`, pair]))
  return (a, b) => {
    const pair = drawn.get(`${a}\n${b}`)
    const plotted = roads.find(({ runs }) => [a, b].every((id) => runs.some(({ run }) => run === id)))
    if (!pair || !plotted) return null
    const [first, second] = [a, b].map((id) => plotted.runs.find(({ run }) => run === id))
    return first && second ? pairRoad(pair, plotted, [second, first]) : null
  }
}

function pairRoad(pair: AlongPair, plotted: PlottedRoad, runs: readonly PlottedRun[]): Markup {
  const key = runs.map(
    ({ number, run, stroke }) =>
      html`<span><svg aria-hidden="true" width="30" height="12"><path class="line s${stroke}" d="M1 6H29"/></svg> <span class="number">${number}</span> ${run}</span> `,
  )
  const strips = SHOWN.map((strip) => {
    const scale = stripScale(plotted, strip)
    if (scale === null) return null
    // The lines stand in the drawings of the road already.
    const lines = runs.map((run) => html`<use href="#${lineId(strip, run)}"/>`)
    return stripFrame(strip, scale, lines, runs)
  })
  return html`<div class="pair-road fluid"><p class="pair-key">${key}</p>${gradientAgain(plotted)}${strips}${sumStrip(pair, plotted.road.lengthM)}</div>`
}

/** What each condition has made of the difference by each place of the road, and all of them together. */
function sumStrip({ sharesPct }: AlongPair, roadM: number): Markup {
  const parts = sharesPct.wind.length
  const xs = Array.from({ length: parts + 1 }, (_, i) => inPlot(i / parts))
  const fromStart = (column: ArrayLike<number>): number[] => [0, ...Array.from(column)]
  const columns = SUMMED.map((factor) => fromStart(sharesPct[factor]))
  const together = xs.map((_, i) => columns.reduce((sum, column) => sum + column[i], 0))
  const scale = scaleFor([...columns.flat(), ...together], [-0.5, 0.5])
  const ticks = ticksOf(scale, VALUE_TICKS)
  const places = decimalsOf(ticks)
  const marks = ticks.map((tick) => {
    const y = TOP + yOf(tick, scale, HEIGHT)
    return html`<line class="${tick === 0 ? 'zero' : 'gridline'}" x1="0" x2="100%" y1="${y}" y2="${y}"/><text x="-6" y="${y + 4}" text-anchor="end">${signed(tick, places)}</text>`
  })
  const lines = columns.map(
    (column, i) => html`<path class="line s${i + 1}" d="${pathThrough(xs, column, scale, HEIGHT)}"/>`,
  )
  const whole = html`<path class="line together" d="${pathThrough(xs, together, scale, HEIGHT)}"/>`
  const last = (column: readonly number[]): string => signed(column[column.length - 1], 1)
  const key = SUMMED.map(
    (factor, i) =>
      html`<span><svg aria-hidden="true" width="30" height="12"><path class="line s${i + 1}" d="M1 6H29"/></svg> ${WORDS[factor]} ${last(columns[i])}</span> `,
  )
  const label = `Difference summed up along the road, at its end: ${SUMMED.map((factor, i) => `${WORDS[factor]} ${last(columns[i])}`).join(', ')}, together ${last(together)} percent`
  return html`<p class="strip-name pair-sum"><span>Difference summed up from the start</span>, %</p><svg class="fluid-svg" role="img" aria-label="${label}" width="100%" height="${TOP + HEIGHT + 4}">${marks}${plot(TOP, HEIGHT, html`${lines}${whole}`)}</svg>${distanceAxis(roadM)}<p class="pair-key">${key}<span><svg aria-hidden="true" width="30" height="12"><path class="line together" d="M1 6H29"/></svg> together ${last(together)}</span></p><p class="small">By the best estimates, in ${parts} parts of the road; the table’s figures also hold the doubt about the wind, the judged motion and the path.</p>`
}
