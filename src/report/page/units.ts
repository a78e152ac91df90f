import { inSystem, QUANTITIES, type Quantity } from '../../base/quantities.ts'
import { html, type Markup } from '../markup.ts'

/**
 * A value in SI which the page's script can show in other units.
 *
 * @param difference true for standard deviations and differences, which have no zero point
 */
export function amount(
  value: number | null,
  quantity: Quantity,
  decimals: number,
  { sign = false, difference = false } = {},
): Markup {
  if (value === null || !Number.isFinite(value)) return html`–`
  const text = inSystem(value, quantity, decimals, 'si', { sign, difference })
  const how = `${quantity} ${decimals}${sign ? ' sign' : ''}${difference ? ' difference' : ''}`
  return html`<data value="${String(Number(value.toPrecision(7)))}" data-as="${how}">${text}</data>`
}

/** The name of a quantity's unit, which changes with the system. */
export const unitOf = (quantity: Quantity): Markup =>
  html`<span data-unit="${quantity}">${QUANTITIES[quantity].si.unit}</span>`
