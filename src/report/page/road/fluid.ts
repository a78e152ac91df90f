import { html, type Markup } from '../../markup.ts'

/**
 * Drawings whose width is that of the page: places across are percentages, heights are pixels, so that lines and texts
 * keep their size on a phone, on a wide screen and on paper. Drawn by hand rather than by a charting library: these
 * scale with their frame, follow the page's light and dark, and cost a report no time to load.
 */
export interface Scale {
  from: number
  to: number
}

/** Place of a value across a drawing, as a percentage held within it. */
export function across({ from, to }: Scale, value: number): string {
  const share = (value - from) / (to - from || 1)
  return `${Math.round(Math.max(0, Math.min(1, share)) * 10_000) / 100}%`
}

/** A scale that holds all values, with a little room, and the anchors given. */
export function scaleFor(values: readonly number[], anchors: readonly number[] = []): Scale {
  const all = [...values, ...anchors].filter((v) => Number.isFinite(v))
  if (all.length === 0) return { from: 0, to: 1 }
  const [low, high] = [Math.min(...all), Math.max(...all)]
  const room = 0.06 * (high - low) || Math.max(0.5, 0.05 * Math.abs(high))
  return { from: low - room, to: high + room }
}

/** About so many round values within a scale: 1, 2 or 5 times a power of ten apart. */
export function ticksOf({ from, to }: Scale, about: number): number[] {
  const rough = (to - from) / about
  if (!(rough > 0)) return []
  const power = 10 ** Math.floor(Math.log10(rough))
  const step = power * ([1, 2, 5].find((s) => s * power >= rough * 0.999) ?? 10)
  const first = Math.ceil(from / step - 1e-9)
  const last = Math.floor(to / step + 1e-9)
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => Number(((first + i) * step).toPrecision(12)))
}

/** Ticks of a strip along the road, and of the distance below all of them, about; in all systems of units. */
export const VALUE_TICKS = 4
export const DISTANCE_TICKS = 7

/** Decimals that tell neighbouring ticks apart. */
export function decimalsOf(ticks: readonly number[]): number {
  const step = ticks.length > 1 ? Math.abs(ticks[1] - ticks[0]) : 1
  return Math.max(0, Math.min(6, -Math.floor(Math.log10(step) + 1e-9)))
}

/** A plot is PLOT_WIDTH units wide, and has so many to a pixel of its height: whole numbers are shorter than decimals. */
const PLOT_WIDTH = 10_000
const UNITS_PER_PX = 10

/** Place of a share (0 to 1) across a plot. */
export const inPlot = (share: number): number => Math.round(share * PLOT_WIDTH)

/** Place of a height, px from the top of a plot. */
export const downPlot = (px: number): number => Math.round(px * UNITS_PER_PX)

/** Places of even cells across a plot. */
const evenly = (count: number): number[] => Array.from({ length: count }, (_, i) => inPlot((i + 0.5) / count))

/** The path of a column over even cells, in a plot `height` px high; broken where values are not known. */
export function pathOver(values: ArrayLike<number>, scale: Scale, height: number): string {
  return pathThrough(evenly(values.length), values, scale, height)
}

/** The same through places given in the plot's own units. */
export function pathThrough(xs: readonly number[], values: ArrayLike<number>, scale: Scale, height: number): string {
  let d = ''
  for (let from = 0; from < values.length; from++) {
    if (!Number.isFinite(values[from])) continue
    const to = endOfKnown(from, (i) => i < values.length && Number.isFinite(values[i]))
    const points = range(from, to).map((i): Point => [xs[i], yInPlot(values[i], scale, height)])
    // A single known cell is a dot of the line's own width.
    d += steps(points) + (to === from ? 'h1' : '')
    from = to
  }
  return d
}

type Point = [x: number, y: number]

/** A line through points, each told by its distance from the one before: half as long as by places. */
function steps(points: readonly Point[]): string {
  const [[x, y], ...others] = points
  const moves = others.map(([toX, toY], i) => `${toX - points[i][0]} ${toY - points[i][1]}`)
  return `M${x} ${y}${moves.length > 0 ? `l${moves.join(' ').replaceAll(' -', '-')}` : ''}`
}

const yInPlot = (value: number, scale: Scale, height: number): number => downPlot(yOf(value, scale, height))

/** The last place of the stretch of known values that begins at one. */
function endOfKnown(from: number, isKnown: (i: number) => boolean): number {
  let to = from
  while (isKnown(to + 1)) to++
  return to
}

/** The closed outline between two columns, for each stretch where both are known. */
export function bandOver(low: ArrayLike<number>, high: ArrayLike<number>, scale: Scale, height: number): string {
  return bandThrough(evenly(low.length), low, high, scale, height)
}

export function bandThrough(
  xs: readonly number[],
  low: ArrayLike<number>,
  high: ArrayLike<number>,
  scale: Scale,
  height: number,
): string {
  let d = ''
  for (let from = 0; from < low.length; from++) {
    if (!Number.isFinite(low[from])) continue
    const to = endOfKnown(from, (i) => i < low.length && Number.isFinite(low[i]))
    const side = (column: ArrayLike<number>): Point[] =>
      range(from, to).map((i) => [xs[i], yInPlot(column[i], scale, height)])
    d += `${steps([...side(high), ...side(low).reverse()])}z`
    from = to
  }
  return d
}

const range = (from: number, to: number): number[] => Array.from({ length: to - from + 1 }, (_, i) => from + i)
const one = (value: number): number => Math.round(value * 10) / 10

/** Height of a value from the top of a plot, px. */
export const yOf = (value: number, { from, to }: Scale, height: number): number =>
  one(height - Math.max(-0.2, Math.min(1.2, (value - from) / (to - from || 1))) * height)

/** A frame for paths in a plot's own units, stretched to the width of the drawing. */
export function plot(top: number, height: number, content: Markup): Markup {
  return html`<svg class="plot" y="${top}" width="100%" height="${height}" viewBox="0 0 ${PLOT_WIDTH} ${downPlot(height)}" preserveAspectRatio="none">${content}</svg>`
}
