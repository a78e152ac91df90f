import { square } from '../../base/arithmetic.ts'
import { kelvinFromCelsius } from '../../base/units.ts'

/** The liquid fuels that a pump sells by volume. */
export type LiquidFuel = 'petrol' | 'diesel'

/** What a litre of a fuel is, at 15 °C. */
export interface FuelProperties {
  /** kg/m³ at 15 °C. */
  density15KgM3: number
  /** Half-width of the range that the standard allows, kg/m³: the density of one delivery is not known better. */
  densityHalfWidthKgM3: number
  /** Lower heating value, J per litre at 15 °C. */
  energyJPerLitre: number
}

/** Volumes of fuel are brought to this temperature, 15 °C. */
export const VOLUME_REFERENCE_K = kelvinFromCelsius(15)

/**
 * Middle of the range of density at 15 °C that the standards allow, and the energy of a litre.
 * @source density: EN 228 (petrol, 720 to 775 kg/m³), EN 590 (diesel, 820 to 845 kg/m³), both from memory
 * @source energy: GREET as given by afdc.energy.gov/fuels/equivalency_methodology.html: gasoline 116 090 Btu per US gallon
 * (32.356 MJ/l), low-sulfur diesel 128 488 (35.812 MJ/l); blends with 10 % of ethanol have down to 112 114 (31.248 MJ/l)
 */
export const FUEL_PROPERTIES: Record<LiquidFuel, FuelProperties> = {
  petrol: { density15KgM3: 747.5, densityHalfWidthKgM3: 27.5, energyJPerLitre: 32.356e6 },
  diesel: { density15KgM3: 832.5, densityHalfWidthKgM3: 12.5, energyJPerLitre: 35.812e6 },
}

/**
 * Coefficients of expansion of the products, by density at 15 °C, kg/m³: α = k0/ρ² + k1/ρ + k2, per kelvin. A density in
 * the gap of half a unit between two rows of the table belongs to the upper row.
 * @source API MPMS 11.1 (1980), table 54B; ASTM D1250
 */
const EXPANSION = [
  { below: 770.25, k0: 346.4228, k1: 0.4388, k2: 0 },
  { below: 787.25, k0: 2680.3206, k1: 0, k2: -0.00336312 },
  { below: 838.75, k0: 594.5418, k1: 0, k2: 0 },
  { below: Number.POSITIVE_INFINITY, k0: 186.9696, k1: 0.4862, k2: 0 },
]

/** The table's range of density, kg/m³. */
const DENSITY_RANGE = { low: 653, high: 1075 }

/** The table's range is -18 to 95 °C (from memory); colder fuel, as runs.csv accepts it, is taken by the same formula. */
const TEMPERATURE_RANGE = { low: kelvinFromCelsius(-50), high: kelvinFromCelsius(95) }

/**
 * Expansion of a fuel with temperature at 15 °C, per kelvin.
 * @param density15KgM3 density at 15 °C, 653 to 1075 kg/m³
 * @returns NaN outside that range
 * @source API MPMS 11.1 (1980), table 54B; ASTM D1250
 */
export function expansionPerK(density15KgM3: number): number {
  if (!(density15KgM3 >= DENSITY_RANGE.low && density15KgM3 <= DENSITY_RANGE.high)) return Number.NaN
  const row = EXPANSION.find(({ below }) => density15KgM3 < below) as (typeof EXPANSION)[number]
  return row.k0 / square(density15KgM3) + row.k1 / density15KgM3 + row.k2
}

/**
 * What a volume of fuel is multiplied by to get its volume at 15 °C: below 1 for warm fuel.
 * VCF = exp(-α ΔT (1 + 0.8 α ΔT)).
 * @param temperatureK of the fuel as it was measured, -50 to 95 °C
 * @param density15KgM3 at 15 °C, 653 to 1075 kg/m³; the middle of the fuel's standard where not known
 * @returns NaN where the temperature is not known, or outside the ranges
 * @source API MPMS 11.1 (1980), table 54B; ASTM D1250; ISO 91
 */
export function volumeCorrectionFactor(
  fuel: LiquidFuel,
  temperatureK: number,
  density15KgM3: number = FUEL_PROPERTIES[fuel].density15KgM3,
): number {
  if (!(temperatureK >= TEMPERATURE_RANGE.low && temperatureK <= TEMPERATURE_RANGE.high)) return Number.NaN
  const rise = expansionPerK(density15KgM3) * (temperatureK - VOLUME_REFERENCE_K)
  return Math.exp(-rise * (1 + 0.8 * rise))
}
