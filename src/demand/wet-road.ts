import { square } from '../base/arithmetic.ts'
import type { Drawing } from '../base/draws.ts'
import { normalQuantile } from '../base/normal.ts'
import type { Place } from '../base/place.ts'
import type { Uncertain } from './vehicle.ts'

/**
 * What a wet road adds to the logarithm of a demand: tyres roll some 10 to 30 % harder on it, which are 2 to 9 % of the fuel,
 * and spray. Common practice, no source.
 */
export const WET_EXTRA: Uncertain = { value: 0.06, sd: 0.03 }

/**
 * A road that is wet, or dry, stays so for hours: of the hours with rain in the last two, at O'Hare from January to April 2014,
 * 72 % were so three hours later, 58 % after six, 39 % after twelve, and no more than of any others after a day.
 * @source NOAA NCEI, integrated surface data, station 725300
 */
export const WET_SPELL_S = 43_200

/** Where nobody tells humidity either: somewhat above the share of such hours above 0 °C at O'Hare, 0.13. */
const USUAL_CHANCE = 0.15

/** One in two in damp air, one in fifty in dry air, and the middle and width of the step between. */
const CHANCE = { dry: 0.02, damp: 0.5, middle: 0.77, width: 0.04 }

/**
 * Share of the chance's variance that belongs to the land and the season: damp air means rain at one place and fog or dew at
 * another. At a humidity of 80 to 90 % it had rained in the last two hours in 70 of 100 hours at O'Hare, and it rained or
 * had just rained in 14 of 100 reports of the world-wide list of aerodromes: by 0.8 of a standard deviation either way.
 */
const SHARE_OF_LAND = 0.4

/**
 * Probability that a road is wet of which nobody says. Of the hours above 0 °C with rain in the last two, at O'Hare, and
 * of reports with rain in the list of aerodromes (`test/data/weather/metar-raw`): 2 and 0 of 100 below a humidity of 60 %, 20
 * and 5 at 70 to 75, 48 and 10 at 75 to 80, 69 and 14 at 80 to 90; between the two.
 * @param relativeHumidity 0 to 1, NaN where nobody tells
 */
export const chanceOfWet = (relativeHumidity: number): number => {
  const { dry, damp, middle, width } = CHANCE
  return Number.isNaN(relativeHumidity)
    ? USUAL_CHANCE
    : dry + (damp - dry) / (1 + Math.exp((middle - relativeHumidity) / width))
}

/** Below this chance a road of which nobody says is as good as said to be dry. */
export const AS_GOOD_AS_DRY = 0.03

/**
 * Names a spell of weather: drives of one name are taken to have met the same road where a claim's sides are held against
 * each other. Draws (`wetDraws`) pass smoothly from one spell to the next.
 */
export const wetSpell = (place: Place, timeS: number): string => `${landOf(place)}/${Math.floor(timeS / WET_SPELL_S)}`

const landOf = ({ latitude, longitude }: Place): string => `${Math.floor(latitude)},${Math.floor(longitude)}`

/**
 * K draws of what a road that may be wet adds to the logarithm of a demand: all of it, or nothing. Drives within some hours
 * are wet together, and all of one land more likely so.
 */
export function wetDraws(chance: number, place: Place, timeS: number, draw: Drawing): Float64Array {
  const { value, sd } = WET_EXTRA
  const size = draw('road/wet/size').map((z) => value * Math.exp((sd / value) * z))
  const limit = normalQuantile(chance)
  const land = draw(`road/wet/${landOf(place)}`)
  const knot = Math.floor(timeS / WET_SPELL_S)
  const share = timeS / WET_SPELL_S - knot
  const [before, after] = [knot, knot + 1].map((at) => draw(`road/wet/${landOf(place)}/${at}`))
  const spells = Math.sqrt((1 - SHARE_OF_LAND) / (square(1 - share) + square(share)))
  return land.map((z, k) => {
    const wetness = Math.sqrt(SHARE_OF_LAND) * z + spells * ((1 - share) * before[k] + share * after[k])
    return wetness < limit ? size[k] : 0
  })
}
