/**
 * Height at which the standard atmosphere has a density, m: ISO 2533:1975, 288.15 K, 1013.25 hPa, 6.5 K/km, solved for
 * the height. It turns the density that the program computes into what a handheld meter shows.
 */
export function densityAltitudeM(densityKgM3: number): number {
  const standardKgM3 = 101325 / (287.05287 * 288.15)
  const temperaturePower = 9.80665 / (287.05287 * 0.0065)
  return (288.15 / 0.0065) * (1 - (densityKgM3 / standardKgM3) ** (1 / (temperaturePower - 1)))
}
