import { inSystem, type Quantity } from '../../../base/quantities.ts'
import { say, span } from '../../../base/sentence.ts'
import { isoTime } from '../../../base/time.ts'
import type { WeatherMet } from '../../along-data.ts'
import { html, type Markup } from '../../markup.ts'
import { rounded } from '../../round.ts'
import { label } from '../sentences.ts'
import { atMoment, clockName, offsetAt } from '../times.ts'
import { unitOf } from '../units.ts'
import {
  across,
  bandThrough,
  decimalsOf,
  inPlot,
  pathThrough,
  plot,
  type Scale,
  scaleFor,
  ticksOf,
  yOf,
} from './fluid.ts'
import type { PlottedRun } from './plotted-runs.ts'
import { SHAPES } from './station-shapes.ts'

const HEIGHT = 62
const TOP = 6
const AROUND_S = 3600

/** Scales that all runs of one road share, so that their weather can be told apart by eye. */
export interface WeatherScales {
  temperature: Scale
  wind: Scale
}

export function weatherScales(runs: readonly PlottedRun[]): WeatherScales {
  const met = runs.flatMap(({ weather }) => weather ?? [])
  const all = (of: (w: WeatherMet) => ArrayLike<number>[]): number[] =>
    met.flatMap((w) => of(w).flatMap((c) => [...Array.from(c)]))
  return {
    temperature: scaleFor(all((w) => [w.temperatureC, ...w.observations.map((o) => o.temperatureC)])),
    wind: scaleFor(
      all((w) => [w.windMps, ...w.observations.map((o) => o.windMps)]),
      [0, 4],
    ),
  }
}

/** The weather around one run in time: stations' observations as points, the interpolation with its uncertainty. */
export function weatherFigure(
  { weather, number, run }: PlottedRun,
  scales: WeatherScales,
  zone: string | null,
): Markup {
  if (!weather) return html`<p class="nothing">No weather within reach.</p>`
  const times: Scale = { from: weather.startTime - AROUND_S, to: weather.endTime + AROUND_S }
  const line = (
    name: string,
    values: Float64Array,
    sds: Float64Array,
    of: (o: WeatherMet['observations'][number]) => Float64Array,
    scale: Scale,
    quantity: Quantity | null,
  ): Markup => strip({ name, values, sds, of, scale, quantity }, weather, times)
  const stations = weather.observations.map(
    ({ station }, i) =>
      html`<span><svg aria-hidden="true" width="12" height="12"><path class="seen" transform="translate(6 6)" d="${SHAPES[i % SHAPES.length]}"/></svg> ${station}</span> `,
  )
  return html`<div class="weather fluid">${line('Temperature', weather.temperatureC, weather.temperatureSdC, (o) => o.temperatureC, scales.temperature, 'temperature')}${line('Wind at 10 m', weather.windMps, weather.windSdMps, (o) => o.windMps, scales.wind, 'wind')}${line('Wind from', unwrapped(weather.fromDeg), weather.fromSdDeg, (o) => o.fromDeg, { from: 0, to: 360 }, null)}${timeAxis(times, zone)}<p class="map-legend"><span class="hidden">Observed for drive ${number} ${run} by </span>${stations}</p></div>`
}

/** A direction that passes north starts a new stretch instead of crossing the whole scale. */
function unwrapped(deg: Float64Array): Float64Array {
  return deg.map((d, i) => (i > 0 && Math.abs(d - deg[i - 1]) > 180 ? Number.NaN : d))
}

interface Quantities {
  name: string
  values: Float64Array
  sds: Float64Array
  of: (o: WeatherMet['observations'][number]) => Float64Array
  scale: Scale
  quantity: Quantity | null
}

function strip({ name, values, sds, of, scale, quantity }: Quantities, weather: WeatherMet, times: Scale): Markup {
  const xs = Array.from(weather.time, (t) => inPlot((t - times.from) / (times.to - times.from)))
  const ticks = quantity === null ? [0, 90, 180, 270, 360] : ticksOf(scale, 3)
  const places = decimalsOf(ticks)
  const marks = ticks.map((tick) => {
    const y = TOP + yOf(tick, scale, HEIGHT)
    const text = quantity === null ? `${tick}°` : inSystem(tick, quantity, places)
    return html`<line class="gridline" x1="0" x2="100%" y1="${y}" y2="${y}"/><text x="-6" y="${y + 4}" text-anchor="end">${text}</text>`
  })
  const held = (v: number): number => Math.max(scale.from, Math.min(scale.to, v))
  const low = values.map((v, i) => held(v - sds[i]))
  const high = values.map((v, i) => held(v + sds[i]))
  const points = weather.observations.flatMap((o, station) =>
    Array.from(of(o), (value, i) => {
      if (!Number.isFinite(value) || o.time[i] < times.from || o.time[i] > times.to) return null
      return html`<svg overflow="visible" x="${across(times, o.time[i])}" y="${TOP + yOf(value, scale, HEIGHT)}"><path class="seen" d="${SHAPES[station % SHAPES.length]}"/></svg>`
    }),
  )
  const seen = points.filter((point) => point !== null).length
  const during = html`<rect class="during" x="${across(times, weather.startTime)}" width="${across({ from: 0, to: times.to - times.from }, weather.endTime - weather.startTime)}" y="${TOP}" height="${HEIGHT}"/>`
  const known = values.filter((v) => Number.isFinite(v))
  if (known.length === 0) return html`<p class="nothing">${name}: not known.</p>`
  const [least, most] = [Math.min(...known), Math.max(...known)]
  const range = quantity ? span(least, most, quantity, 1) : `${Math.round(least)} to ${Math.round(most)}°`
  const words = say`${name} over the drive, interpolated from ${range}; ${seen} observations`
  const data =
    quantity === null
      ? null
      : html` data-as="${quantity} 1" data-from="${String(rounded(scale.from))}" data-to="${String(rounded(scale.to))}" data-top="${TOP}" data-height="${HEIGHT}"`
  return html`<p class="strip-name"><span>${name}</span>, ${quantity ? unitOf(quantity) : 'degrees true'}</p><svg class="fluid-svg scaled" role="img" ${label(words)} width="100%" height="${TOP + HEIGHT + 4}"${data}>${during}<g class="ticks">${marks}</g>${plot(TOP, HEIGHT, html`<path class="spread" d="${bandThrough(xs, low, high, scale, HEIGHT)}"/>`)}${points}${plot(TOP, HEIGHT, html`<path class="line road-line" d="${pathThrough(xs, values, scale, HEIGHT)}"/>`)}</svg>`
}

/** Marks at whole hours of the zone's clock. */
function timeAxis(times: Scale, zone: string | null): Markup {
  const hours = (times.to - times.from) / 3600
  const stepH = [0.5, 1, 2, 3, 6, 12, 24].find((step) => hours / step <= 6) ?? 48
  const offsetH = offsetAt(times.from, zone) / 3600
  const first = Math.ceil((times.from / 3600 + offsetH) / stepH) * stepH - offsetH
  const count = Math.max(0, Math.floor((times.to / 3600 - first) / stepH) + 1)
  const marks = Array.from({ length: count }, (_, i) => {
    const seconds = (first + i * stepH) * 3600
    const x = across(times, seconds)
    return html`<line class="axis" x1="${x}" x2="${x}" y1="0" y2="5"/><text x="${x}" y="18" text-anchor="middle"${atMoment(isoTime(seconds), 'time')}</text>`
  })
  return html`<svg class="fluid-svg" aria-hidden="true" width="100%" height="22"><line class="axis" x1="0" x2="100%" y1="0" y2="0"/>${marks}</svg><p class="axis-name" aria-hidden="true">time, ${clockName()}</p>`
}
