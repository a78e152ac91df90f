import { celsiusFromKelvin } from '../base/units.ts'
import { saturationPressureCipmPa } from './humidity.ts'

/** J/(mol K), as fixed in CIPM-2007. */
const GAS_CONSTANT = 8.314472
/** kg/mol. */
const MOLAR_MASS_WATER = 0.01801528
/** kg/mol, dry air with 400 µmol/mol of carbon dioxide. */
const MOLAR_MASS_DRY_AIR = 28.96546e-3

const ENHANCEMENT = { alpha: 1.00062, beta: 3.14e-8, gamma: 5.6e-7 }

const COMPRESSIBILITY = {
  a0: 1.58123e-6,
  a1: -2.9331e-8,
  a2: 1.1043e-10,
  b0: 5.707e-6,
  b1: -2.051e-8,
  c0: 1.9898e-4,
  c1: -2.376e-6,
  d: 1.83e-11,
  e: -0.765e-8,
}

/**
 * Density of moist air with 400 µmol/mol of carbon dioxide (100 µmol/mol more adds 4e-5).
 * The formula is stated for 600 to 1100 hPa and 15 to 27 °C with a relative standard uncertainty of 22e-6; from -10 to
 * 40 °C it stays within 1e-3 of a mixture of two ideal gases.
 * @param pressurePa at the place itself (station pressure), not reduced to sea level
 * @param relativeHumidity over water, 0 to 1
 * @returns kg/m³; NaN when any argument is NaN
 * @source Picard, Davis, Gläser, Fujii, "Revised formula for the density of moist air (CIPM-2007)", Metrologia 45 (2008) 149
 */
export function airDensityKgM3(temperatureK: number, pressurePa: number, relativeHumidity: number): number {
  const xv = vapourMoleFraction(temperatureK, pressurePa, relativeHumidity)
  const z = compressibilityFactor(temperatureK, pressurePa, xv)
  const dry = (pressurePa * MOLAR_MASS_DRY_AIR) / (z * GAS_CONSTANT * temperatureK)
  return dry * (1 - xv * (1 - MOLAR_MASS_WATER / MOLAR_MASS_DRY_AIR))
}

/**
 * Share of water molecules in moist air.
 * @param relativeHumidity over water, 0 to 1
 * @source CIPM-2007, appendix A1
 */
export function vapourMoleFraction(temperatureK: number, pressurePa: number, relativeHumidity: number): number {
  const enhanced = enhancementFactor(temperatureK, pressurePa) * saturationPressureCipmPa(temperatureK)
  return (relativeHumidity * enhanced) / pressurePa
}

/**
 * How much more vapour saturated air holds than empty space does, about 1.004.
 * @source CIPM-2007, appendix A1
 */
export function enhancementFactor(temperatureK: number, pressurePa: number): number {
  const t = celsiusFromKelvin(temperatureK)
  return ENHANCEMENT.alpha + ENHANCEMENT.beta * pressurePa + ENHANCEMENT.gamma * t * t
}

/**
 * Compressibility of moist air, about 0.9996.
 * @param xv mole fraction of water vapour
 * @source CIPM-2007, appendix A1
 */
export function compressibilityFactor(temperatureK: number, pressurePa: number, xv: number): number {
  const { a0, a1, a2, b0, b1, c0, c1, d, e } = COMPRESSIBILITY
  const t = celsiusFromKelvin(temperatureK)
  const ratio = pressurePa / temperatureK
  const first = a0 + (a1 + a2 * t) * t + (b0 + b1 * t) * xv + (c0 + c1 * t) * xv * xv
  return 1 - ratio * first + ratio * ratio * (d + e * xv * xv)
}
