import type { TerrainClass } from '../read/campaign/settings.ts'

/**
 * Roughness lengths of the Davenport classes, m.
 * @source Davenport, Grimmond, Oke, Wieringa, "Estimating the roughness of cities and sheltered country", 12th AMS Conf.
 * Applied Climatology (2000); WMO code table SurfaceRoughnessDavenport
 */
export const roughnessLengthM: Record<TerrainClass, number> = {
  sea: 0.0002,
  smooth: 0.005,
  open: 0.03,
  roughly_open: 0.1,
  rough: 0.25,
  very_rough: 0.5,
  closed: 1,
  chaotic: 2,
}

/**
 * Wind speed at a height as a share of the speed at the anemometer's height, by the logarithmic law in neutral air over
 * even ground. Below 2 m it is not better than about 20 %: carry that as an uncertainty.
 * @param heightM above ground, of the vehicle
 * @param anemometerHeightM above ground
 * @param roughnessM of the terrain, one value for both places
 * @returns 1 at the anemometer, 0 at the roughness length; NaN below it, where the law says nothing (among obstacles of
 * that size the wind is not a profile), when the anemometer is not above it, and when any argument is NaN
 * @source WMO-No. 8, Part I, ch. 5, Annex (logarithmic profile)
 */
export function windProfileFactor(heightM: number, anemometerHeightM: number, roughnessM: number): number {
  if (!(heightM >= roughnessM && anemometerHeightM > roughnessM)) return Number.NaN
  return Math.log(heightM / roughnessM) / Math.log(anemometerHeightM / roughnessM)
}

/** So far up the wind is the same over open and over rougher land near by, m. */
const BLENDING_HEIGHT_M = 60

/**
 * Wind speed at a height over land of some roughness as a share of the 10 m wind over the open land of a weather station
 * near by: up to where both are alike, and down again.
 * @returns NaN where the logarithmic law says nothing, see `windProfileFactor`
 * @source WMO-No. 8, Part I, ch. 5, Annex (correction for exposure, by way of the wind at 60 m)
 */
export function windOverLand(heightM: number, roughnessM: number): number {
  const { open } = roughnessLengthM
  return windProfileFactor(BLENDING_HEIGHT_M, 10, open) * windProfileFactor(heightM, BLENDING_HEIGHT_M, roughnessM)
}
