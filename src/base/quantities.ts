import { square } from './arithmetic.ts'
import { fixed, signed } from './figures.ts'
import {
  LITRES_PER_IMPERIAL_GALLON,
  LITRES_PER_US_GALLON,
  METRES_PER_FOOT,
  METRES_PER_MILE,
  MPS_PER_KMH,
  MPS_PER_MPH,
  PASCALS_PER_INHG,
} from './units.ts'

/** The systems of units that a reader can choose; the page is written in the first. */
export const SYSTEMS = ['si', 'us', 'imperial'] as const
export type System = (typeof SYSTEMS)[number]
export const SYSTEM_WORDS: Record<System, string> = { si: 'SI', us: 'US', imperial: 'Imperial' }

/** How a value is shown: shown = value × factor + offset, with so many decimals more than a cell asks for in SI. */
export interface Shown {
  unit: string
  factor: number
  offset: number
  moreDecimals: number
}

const shown = (unit: string, factor = 1, moreDecimals = 0, offset = 0): Shown => ({
  unit,
  factor,
  offset,
  moreDecimals,
})
const MILLIMETRES_PER_INCH = (1000 * METRES_PER_FOOT) / 12
const perHundredMiles = METRES_PER_MILE / 1000
const JOULES_PER_KWH = 3.6e6
/** Avoirdupois pound, exact. */
const KG_PER_POUND = 0.45359237
const KGM3_PER_POUND_PER_CUBIC_FOOT = KG_PER_POUND / (METRES_PER_FOOT * METRES_PER_FOOT * METRES_PER_FOOT)
const inHg = shown('inHg', 100 / PASCALS_PER_INHG, 1)
const poundsPerCubicFoot = shown('lb/ft³', 1 / KGM3_PER_POUND_PER_CUBIC_FOOT, 1)
const kwhPerHundredMiles = shown('kWh/100 mi', (100 * METRES_PER_MILE) / JOULES_PER_KWH, 1)
const mph = shown('mph', 1 / MPS_PER_MPH)
const miles = shown('mi', 1 / METRES_PER_MILE)
const feet = shown('ft', 1 / METRES_PER_FOOT)
const squareFeet = shown('ft²', 1 / square(METRES_PER_FOOT), -1)
const pounds = shown('lb', 1 / KG_PER_POUND)

/** For each quantity as the report holds it, how each system shows it. */
export const QUANTITIES = {
  /** m/s */
  speed: { si: shown('km/h', 1 / MPS_PER_KMH), us: mph, imperial: mph },
  /** m/s */
  wind: { si: shown('m/s'), us: mph, imperial: mph },
  /** m */
  distance: { si: shown('km', 1e-3), us: miles, imperial: miles },
  /** m */
  height: { si: shown('m'), us: feet, imperial: feet },
  /** Percent, the same in all systems. */
  gradient: { si: shown('%'), us: shown('%'), imperial: shown('%') },
  /** °C */
  temperature: {
    si: shown('°C'),
    us: shown('°F', 9 / 5, 0, 32),
    imperial: shown('°C'),
  },
  /** hPa */
  pressure: { si: shown('hPa'), us: inHg, imperial: shown('mbar') },
  /** kg/m³ */
  density: { si: shown('kg/m³'), us: poundsPerCubicFoot, imperial: poundsPerCubicFoot },
  /** mm */
  rain: {
    si: shown('mm'),
    us: shown('in', 1 / MILLIMETRES_PER_INCH, 1),
    imperial: shown('in', 1 / MILLIMETRES_PER_INCH, 1),
  },
  /** J/m, which is kJ/km */
  demand: { si: shown('kJ/km'), us: kwhPerHundredMiles, imperial: kwhPerHundredMiles },
  /** kg */
  mass: { si: shown('kg'), us: pounds, imperial: pounds },
  /** m² */
  area: { si: shown('m²'), us: squareFeet, imperial: squareFeet },
  /** l */
  volume: {
    si: shown('l'),
    us: shown('US gal', 1 / LITRES_PER_US_GALLON, 1),
    imperial: shown('gal', 1 / LITRES_PER_IMPERIAL_GALLON, 1),
  },
  /** l/100 km */
  litres: {
    si: shown('l/100 km'),
    us: shown('US gal/100 mi', perHundredMiles / LITRES_PER_US_GALLON),
    imperial: shown('gal/100 mi', perHundredMiles / LITRES_PER_IMPERIAL_GALLON),
  },
  /** kg/100 km */
  kilograms: {
    si: shown('kg/100 km'),
    us: shown('lb/100 mi', perHundredMiles / KG_PER_POUND),
    imperial: shown('lb/100 mi', perHundredMiles / KG_PER_POUND),
  },
  /** kWh/100 km */
  kilowattHours: {
    si: shown('kWh/100 km'),
    us: shown('kWh/100 mi', perHundredMiles),
    imperial: shown('kWh/100 mi', perHundredMiles),
  },
} as const satisfies Record<string, Record<System, Shown>>

export type Quantity = keyof typeof QUANTITIES

/** A value as text in a system; a dash where there is none. */
export function inSystem(
  value: number | null,
  quantity: Quantity,
  decimals: number,
  system: System = 'si',
  { sign = false, difference = false } = {},
): string {
  if (value === null || !Number.isFinite(value)) return '–'
  const { factor, offset, moreDecimals } = QUANTITIES[quantity][system]
  const places = Math.max(0, decimals + moreDecimals)
  const out = value * factor + (difference ? 0 : offset)
  return sign ? signed(out, places) : fixed(out, places)
}
