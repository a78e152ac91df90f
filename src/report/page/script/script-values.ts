import { inSystem, type Quantity, SYSTEMS, type System } from '../../../base/quantities.ts'

/** "speed 0 sign difference", as it stands in `data-as`: the quantity, its decimals in SI, and how it is written. */
export interface Writing {
  quantity: Quantity
  decimals: number
  sign: boolean
  difference: boolean
}

/** What `data-as` of an element says. */
export function writingOf(as: string): Writing {
  const [quantity, decimals, ...how] = as.split(' ')
  return {
    quantity: quantity as Quantity,
    decimals: Number(decimals),
    sign: how.includes('sign'),
    difference: how.includes('difference'),
  }
}

/** A value in SI as the page writes it in a system of units. */
export function written(value: number, as: string, system: System): string {
  const { quantity, decimals, sign, difference } = writingOf(as)
  return inSystem(value, quantity, decimals, system, { sign, difference })
}

/** The system that the page is shown in now. */
export const systemOfPage = (): System =>
  SYSTEMS.find((system) => system === document.documentElement.dataset.units) ?? SYSTEMS[0]
