/**
 * Units: SI inside, other units only at the edges. Every factor is exact by definition unless it says otherwise.
 * @source BIPM, The International System of Units, 9th ed. 2019; NIST SP 811 appendix B (conversion factors).
 */
export const KELVIN_AT_0_C = 273.15
export const METRES_PER_FOOT = 0.3048
export const METRES_PER_MILE = 1609.344
export const MPS_PER_KNOT = 1852 / 3600
export const MPS_PER_MPH = 0.44704
export const MPS_PER_KMH = 1 / 3.6
/** Conventional inch of mercury at 0 °C. */
export const PASCALS_PER_INHG = 3386.388640341
/** Conventional millimetre of mercury. */
export const PASCALS_PER_MMHG = 133.322387415
export const PASCALS_PER_PSI = 6894.757293168
export const LITRES_PER_US_GALLON = 3.785411784
export const LITRES_PER_IMPERIAL_GALLON = 4.54609
/** Standard acceleration of gravity, m/s². */
export const STANDARD_GRAVITY = 9.80665

export const radians = (degrees: number): number => (degrees * Math.PI) / 180
export const degrees = (radians: number): number => (radians * 180) / Math.PI
export const kelvinFromCelsius = (celsius: number): number => celsius + KELVIN_AT_0_C
export const celsiusFromKelvin = (kelvin: number): number => kelvin - KELVIN_AT_0_C
export const celsiusFromFahrenheit = (fahrenheit: number): number => ((fahrenheit - 32) * 5) / 9

/** Brings a direction into [0, 360) degrees. */
export function wrapDegrees(degrees: number): number {
  if (degrees >= 0 && degrees < 360) return degrees
  // Most directions are within one turn, and a remainder costs more than all else here.
  const turned = degrees < 0 ? degrees + 360 : degrees - 360
  return turned >= 0 && turned < 360 ? turned : ((degrees % 360) + 360) % 360
}

/** The smallest signed turn from one direction to another, degrees in [-180, 180). */
export const turnDegrees = (fromDeg: number, toDeg: number): number => wrapDegrees(toDeg - fromDeg + 180) - 180
