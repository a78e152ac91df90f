import type { Drawing } from '../base/draws.ts'
import { normalQuantile } from '../base/normal.ts'
import type { Place } from '../base/place.ts'
import type { Uncertain } from './vehicle.ts'

/**
 * What a wet road adds to the logarithm of a demand: water that tyres push away, and spray. Tyres roll some 10 to 30 % harder
 * on it; common practice, no source.
 */
export const WET_EXTRA: Uncertain = { value: 0.05, sd: 0.02 }

/** Roads are wet, or dry, for some hours together. Common practice, no source. */
export const WET_SPELL_S = 21_600

/** Where nobody tells humidity either: about the share of hours with a wet road in a temperate climate. Common practice, no source. */
const USUAL_CHANCE = 0.2

/**
 * Probability that a road is wet of which nobody says: one in fifty in dry air, where roads dry within the hour, one in
 * two in air that is nearly saturated. Common practice, no source.
 * @param relativeHumidity 0 to 1, NaN where nobody tells
 */
export const chanceOfWet = (relativeHumidity: number): number =>
  Number.isNaN(relativeHumidity) ? USUAL_CHANCE : Math.min(0.5, Math.max(0.02, 0.02 + 1.07 * (relativeHumidity - 0.5)))

/** Below this chance a road of which nobody says is as good as said to be dry. */
export const AS_GOOD_AS_DRY = 0.03

/** Names a spell of weather: drives there within these hours met the same road. */
export const wetSpell = ({ latitude, longitude }: Place, timeS: number): string =>
  `${Math.floor(latitude)},${Math.floor(longitude)}/${Math.floor(timeS / WET_SPELL_S)}`

/** K draws of what a road that may be wet adds to the logarithm of a demand: all of it, or nothing. */
export function wetDraws(chance: number, spell: string, draw: Drawing): Float64Array {
  const { value, sd } = WET_EXTRA
  const size = draw('road/wet/size').map((z) => value * Math.exp((sd / value) * z))
  const limit = normalQuantile(chance)
  return draw(`road/wet/${spell}`).map((z, k) => (z < limit ? size[k] : 0))
}
