import { inSystem, QUANTITIES, type Quantity } from '../../base/quantities.ts'
import { html, type Markup } from '../markup.ts'

interface How {
  sign?: boolean
  /** True for standard deviations and differences, which have no zero point. */
  difference?: boolean
}

/** How the page's script shows a value: "speed 0 sign difference". */
export const asOf = ({
  quantity,
  decimals,
  sign,
  difference,
}: How & { quantity: Quantity; decimals: number }): string =>
  `${quantity} ${decimals}${sign ? ' sign' : ''}${difference ? ' difference' : ''}`

/** A value in SI which the page's script can show in other units. */
export function amount(value: number | null, quantity: Quantity, decimals: number, how: How = {}): Markup {
  if (value === null || !Number.isFinite(value)) return html`–`
  const text = inSystem(value, quantity, decimals, 'si', how)
  return html`<data value="${String(Number(value.toPrecision(7)))}" data-as="${asOf({ ...how, quantity, decimals })}">${text}</data>`
}

/** The name of a quantity's unit, which changes with the system. */
export const unitOf = (quantity: Quantity): Markup =>
  html`<span data-unit="${quantity}">${QUANTITIES[quantity].si.unit}</span>`
