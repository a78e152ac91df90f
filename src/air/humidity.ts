import { celsiusFromKelvin, kelvinFromCelsius } from '../base/units.ts'

/** Coefficients of the CIPM-2007 saturation vapour pressure: K⁻², K⁻¹, 1, K. */
const CIPM_SATURATION = { a: 1.2378847e-5, b: -1.9121316e-2, c: 33.93711047, d: -6.3431645e3 }

/** Magnus coefficients over water: Pa, 1, °C. Valid -45 to 60 °C. */
const WMO_SATURATION = { scalePa: 611.2, slope: 17.62, offsetC: 243.12 }

/**
 * Saturation vapour pressure of pure water vapour over liquid water, as the CIPM-2007 density formula wants it.
 * Meant for 15 to 27 °C, within 0.1 % of IAPWS from 0 to 50 °C; below 0 °C it is over supercooled water.
 * @returns Pa; NaN for NaN
 * @source Picard, Davis, Gläser, Fujii, "Revised formula for the density of moist air (CIPM-2007)", Metrologia 45 (2008) 149, appendix A1
 */
export function saturationPressureCipmPa(temperatureK: number): number {
  const { a, b, c, d } = CIPM_SATURATION
  return Math.exp((a * temperatureK + b) * temperatureK + c + d / temperatureK)
}

/**
 * Saturation vapour pressure over liquid water (also below 0 °C: station humidities refer to water), Magnus form.
 * Within 0.35 % of IAPWS from 0 to 50 °C.
 * @returns Pa; NaN for NaN
 * @source WMO-No. 8, Guide to Instruments and Methods of Observation, Part I, Annex 4.B
 */
export function saturationPressurePa(temperatureK: number): number {
  const { scalePa, slope, offsetC } = WMO_SATURATION
  const t = celsiusFromKelvin(temperatureK)
  return scalePa * Math.exp((slope * t) / (offsetC + t))
}

/**
 * The temperature at which water vapour of this pressure is saturated: the exact inverse of `saturationPressurePa`.
 * @returns K; NaN for NaN and for a pressure that is not above 0
 * @source WMO-No. 8, Part I, Annex 4.B (inverse of the Magnus form)
 */
export function saturationTemperatureK(vapourPressurePa: number): number {
  const { scalePa, slope, offsetC } = WMO_SATURATION
  const x = Math.log(vapourPressurePa / scalePa)
  return kelvinFromCelsius((offsetC * x) / (slope - x))
}

/**
 * Pressure of the water vapour in moist air.
 * @param relativeHumidity over water, 0 to 1
 * @returns Pa; NaN when either is NaN
 */
export function vapourPressurePa(temperatureK: number, relativeHumidity: number): number {
  return relativeHumidity * saturationPressurePa(temperatureK)
}

/**
 * Dew point over water.
 * @param relativeHumidity over water, 0 to 1
 * @returns K; NaN when either is NaN and for a humidity that is not above 0 (dry air has no dew point)
 * @source WMO-No. 8, Part I, Annex 4.B
 */
export function dewPointK(temperatureK: number, relativeHumidity: number): number {
  return saturationTemperatureK(vapourPressurePa(temperatureK, relativeHumidity))
}

/**
 * Relative humidity over water from temperature and dew point.
 * @returns 0 to 1, and above 1 where the dew point is written above the temperature (rounded reports): nothing is clipped
 * here; NaN when either is NaN
 * @source WMO-No. 8, Part I, Annex 4.B
 */
export function relativeHumidityFrom(temperatureK: number, dewPointK: number): number {
  return saturationPressurePa(dewPointK) / saturationPressurePa(temperatureK)
}
