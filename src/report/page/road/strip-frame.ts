import { inSystem, type Quantity } from '../../../base/quantities.ts'
import { type Sentence, say, span } from '../../../base/sentence.ts'
import { html, type Markup } from '../../markup.ts'
import { rounded } from '../../round.ts'
import { label } from '../sentences.ts'
import { unitOf } from '../units.ts'
import { decimalsOf, type Scale, ticksOf, VALUE_TICKS, yOf } from './fluid.ts'

export const TOP = 20
export const HEIGHT = 84

export interface StripWords {
  name: string
  quantity: Quantity
  /** Decimals of the reading under the cursor. */
  decimals: number
  sign: boolean
  /** Values that the scale holds in any case. */
  anchors: readonly number[]
}

/** In one sentence what the strip spans, for those who do not see it. */
export function describe({ name, quantity, decimals, sign }: StripWords, known: readonly number[]): Sentence {
  return say`${name} along the road, from ${span(Math.min(...known), Math.max(...known), quantity, decimals, { sign })}`
}

/** A strip along the road: its name and unit, its scale at round values, what is drawn, and the place that is pointed at. */
export function frame(
  { name, quantity, decimals, sign }: StripWords,
  scale: Scale,
  content: Markup,
  strip: string,
  words: Sentence,
): Markup {
  const shown = quantity === 'speed' ? 3.6 : 1
  const shownTicks = ticksOf({ from: scale.from * shown, to: scale.to * shown }, VALUE_TICKS)
  const places = decimalsOf(shownTicks)
  const ticks = shownTicks.map((tick) => {
    const y = TOP + yOf(tick / shown, scale, HEIGHT)
    return html`<line class="${tick === 0 && sign ? 'zero' : 'gridline'}" x1="0" x2="100%" y1="${y}" y2="${y}"/><text x="-6" y="${y + 4}" text-anchor="end">${inSystem(tick / shown, quantity, places, 'si', { sign })}</text>`
  })
  const data = html`data-strip="${strip}" data-as="${quantity} ${decimals}${sign ? ' sign' : ''}" data-from="${String(rounded(scale.from))}" data-to="${String(rounded(scale.to))}" data-top="${TOP}" data-height="${HEIGHT}"`
  return html`<div class="strip-block"><p class="strip-name"><span>${name}</span>, ${unitOf(quantity)}</p><svg class="fluid-svg strip" role="img" ${label(words)} width="100%" height="${TOP + HEIGHT + 4}" ${data}><g class="ticks">${ticks}</g>${content}<line class="cursor" x1="0" x2="0" y1="${TOP}" y2="${TOP + HEIGHT}"/></svg></div>`
}
