import { cleaned } from '../../base/names.ts'
import type { Report } from '../contract.ts'
import { fitted } from './label.ts'
import type { Mark, TextMark, Typefaces } from './marks.ts'

/** The vehicle's name, where it has one. */
export function vehicleMark(at: TextMark, { settings }: Report, width: number, typefaces: Typefaces): Mark[] {
  const name = settings.vehicle_name
  return name === null ? [] : [fitted({ ...at, text: cleaned(name) }, width, typefaces)]
}
