import { power } from '../base/arithmetic.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { vapourPressurePa } from './humidity.ts'

/**
 * The ICAO standard atmosphere below 11 km. Heights are geopotential; using a road's elevation for them is 1.4 m wrong at
 * 3000 m (0.02 % of pressure).
 * @source ISO 2533:1975; ICAO Doc 7488
 */
export const STANDARD_PRESSURE_PA = 101325
const STANDARD_TEMPERATURE_K = 288.15
/** K/m. */
export const LAPSE_RATE = 0.0065
/** J/(kg K), dry air. */
const GAS_CONSTANT_DRY_AIR = 287.05287
/** Ratio of the gas constants of dry air and water vapour. */
const DRY_TO_VAPOUR = 0.62198
/** 5.25588: pressure goes as this power of temperature. */
const PRESSURE_POWER = STANDARD_GRAVITY / (GAS_CONSTANT_DRY_AIR * LAPSE_RATE)

/**
 * What 1 hPa of vapour adds to the mean virtual temperature in the reduction to sea level, K/Pa.
 * @source WMO-No. 8, Part I, 3.11.1 (from memory): C_h = 0.12 K/hPa
 */
const SEA_LEVEL_VAPOUR_COEFFICIENT = 0.12 / 100

/** Temperature of the standard atmosphere at a height, K. @source ISO 2533:1975 */
export const standardTemperatureK = (elevationM: number): number => STANDARD_TEMPERATURE_K - LAPSE_RATE * elevationM

/**
 * Pressure of the standard atmosphere at a height.
 * @param elevationM above mean sea level, below 11 km
 * @returns Pa; NaN for NaN
 * @source ISO 2533:1975, pressure and height
 */
export function standardPressurePa(elevationM: number): number {
  return STANDARD_PRESSURE_PA * power(1 - (LAPSE_RATE * elevationM) / STANDARD_TEMPERATURE_K, PRESSURE_POWER)
}

/**
 * Height at which the standard atmosphere has this pressure.
 * @returns m; NaN for NaN
 * @source ISO 2533:1975, pressure and height, solved for the height
 */
export function pressureAltitudeM(pressurePa: number): number {
  const temperatureRatio = power(pressurePa / STANDARD_PRESSURE_PA, 1 / PRESSURE_POWER)
  return (STANDARD_TEMPERATURE_K / LAPSE_RATE) * (1 - temperatureRatio)
}

/**
 * Station pressure from an altimeter setting (QNH): the pressure whose height in the standard atmosphere, on an altimeter
 * set to QNH, reads the station's elevation. Exact inversion of the standard atmosphere; other published forms differ by
 * up to 0.4 hPa.
 * @param altimeterPa QNH
 * @param elevationM of the station, above mean sea level
 * @returns Pa; NaN when either is NaN
 * @source ICAO Doc 7488 / ISO 2533; Smithsonian Meteorological Tables, 6th ed. 1951, p. 269, without its +0.3 hPa
 */
export function stationPressureFromAltimeter(altimeterPa: number, elevationM: number): number {
  return standardPressurePa(pressureAltitudeM(altimeterPa) + elevationM)
}

/**
 * Pressure after a climb through a layer of one mean virtual temperature (hypsometric equation).
 * @param climbM positive upwards
 * @returns Pa; NaN when any argument is NaN
 * @source WMO-No. 8, Part I, ch. 3
 */
export function hypsometricPressurePa(pressurePa: number, climbM: number, meanVirtualTemperatureK: number): number {
  return pressurePa * Math.exp((-STANDARD_GRAVITY * climbM) / (GAS_CONSTANT_DRY_AIR * meanVirtualTemperatureK))
}

/**
 * Station pressure from a pressure reduced to sea level by the actual temperature: the reduction undone. The mean virtual
 * temperature of the assumed air column is T + 0.0065 K/m · elevation / 2 + 0.12 K/hPa · vapour pressure. Services differ
 * (some use a 12 h mean temperature or plateau corrections): below 500 m this matters little, 10 K are 0.2 % of pressure.
 * @param seaLevelPressurePa QFF, as in a SLP group; not QNH
 * @param elevationM of the station, above mean sea level
 * @param temperatureK at the station
 * @param vapourPressurePa at the station; left out or NaN: dry air is taken (up to 0.1 % of pressure at 500 m)
 * @returns Pa; NaN when one of the first three is NaN
 * @source WMO-No. 8, Part I, 3.11.1 (definition of the mean virtual temperature from memory)
 */
export function stationPressureFromSeaLevel(
  seaLevelPressurePa: number,
  elevationM: number,
  temperatureK: number,
  vapourPressurePa = 0,
): number {
  const vapour = Number.isNaN(vapourPressurePa) ? 0 : vapourPressurePa
  const meanVirtualK = temperatureK + (LAPSE_RATE * elevationM) / 2 + SEA_LEVEL_VAPOUR_COEFFICIENT * vapour
  return hypsometricPressurePa(seaLevelPressurePa, elevationM, meanVirtualK)
}

/**
 * Pressure brought from one elevation to another near by, as from a station to the road.
 * @param temperatureK at `fromElevationM`; it is taken to fall by 6.5 K/km on the way
 * @param relativeHumidity over water, 0 to 1; NaN: dry air is taken (1e-4 of pressure per 100 m at 30 °C)
 * @returns Pa; NaN when one of the first four is NaN
 * @source WMO-No. 8, Part I, ch. 3 (hypsometric equation)
 */
export function pressureAtElevation(
  pressurePa: number,
  fromElevationM: number,
  toElevationM: number,
  temperatureK: number,
  relativeHumidity: number,
): number {
  const climbM = toElevationM - fromElevationM
  const vapour = Number.isNaN(relativeHumidity) ? 0 : vapourPressurePa(temperatureK, relativeHumidity)
  const meanK = temperatureK - (LAPSE_RATE * climbM) / 2
  return hypsometricPressurePa(pressurePa, climbM, virtualTemperatureK(meanK, pressurePa, vapour))
}

/**
 * Temperature at which dry air would be as light as this moist air.
 * @returns K; NaN when any argument is NaN
 * @source WMO-No. 8, Part I, ch. 4
 */
export function virtualTemperatureK(temperatureK: number, pressurePa: number, vapourPressurePa: number): number {
  return temperatureK / (1 - (vapourPressurePa / pressurePa) * (1 - DRY_TO_VAPOUR))
}
