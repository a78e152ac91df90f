import { fixed, signed } from '../../../base/figures.ts'
import { QUANTITIES, type System } from '../../../base/quantities.ts'
import { DISTANCE_TICKS, decimalsOf, ticksOf, VALUE_TICKS } from '../road/fluid.ts'
import { writingOf } from './script-values.ts'

/** Draws the ticks of all strips and distance axes anew, at round values of the system. */
export function rewriteAxes(system: System): void {
  for (const strip of document.querySelectorAll<SVGElement>('svg[data-from]')) rewriteValues(strip, system)
  for (const axis of document.querySelectorAll<SVGElement>('svg[data-length]')) rewriteDistances(axis, system)
}

function rewriteValues(strip: SVGElement, system: System): void {
  const { as, from, to, top, height } = strip.dataset
  if (!as) return
  const { quantity, sign } = writingOf(as)
  const { factor, offset } = QUANTITIES[quantity][system]
  const [low, high] = [from, to].map((v) => Number(v) * factor + offset)
  const ticks = ticksOf({ from: low, to: high }, VALUE_TICKS)
  const places = decimalsOf(ticks)
  const marks = ticks.flatMap((tick) => {
    const y = Number(top) + Number(height) * (1 - (tick - low) / (high - low))
    return [
      drawn('line', { x1: 0, x2: '100%', y1: y, y2: y, class: tick === 0 && sign ? 'zero' : 'gridline' }),
      drawn('text', { x: -6, y: y + 4, 'text-anchor': 'end' }, (sign ? signed : fixed)(tick, places)),
    ]
  })
  strip.querySelector('.ticks')?.replaceChildren(...marks)
}

function rewriteDistances(axis: SVGElement, system: System): void {
  const length = Number(axis.dataset.length) * QUANTITIES.distance[system].factor
  const ticks = ticksOf({ from: 0, to: length }, DISTANCE_TICKS)
  const places = decimalsOf(ticks)
  const marks = ticks.flatMap((tick) => {
    const x = `${(100 * tick) / length}%`
    return [
      drawn('line', { x1: x, x2: x, y1: 0, y2: 5, class: 'axis' }),
      drawn('text', { x, y: 18, 'text-anchor': 'middle' }, fixed(tick, places)),
    ]
  })
  axis.querySelector('.ticks')?.replaceChildren(...marks)
}

function drawn(name: 'line' | 'text', attributes: Record<string, string | number>, text = ''): SVGElement {
  const element = document.createElementNS('http://www.w3.org/2000/svg', name)
  for (const [attribute, value] of Object.entries(attributes)) element.setAttribute(attribute, String(value))
  element.textContent = text
  return element
}
