import { fixed } from '../../../base/figures.ts'
import { figure, listing, name, percentSize, type Sentence, say } from '../../../base/sentence.ts'
import { plural } from '../../words.ts'
import type { Used } from '../used.ts'

/** Something that makes the answer of a campaign worse, in figures; filled by check/. Lengths in m, times in s. */
export type WeaknessFacts =
  | { code: 'no-weather' | 'no-wind' | 'no-temperature'; days: readonly string[] }
  | { code: 'wind-from-afar'; distanceM: number; gapS: number }
  | { code: 'wind-direction-unknown' | 'weather-noted-only' }
  | { code: 'pressure-assumed'; sdPa: number }
  | { code: 'humidity-assumed'; share: number; sd: number }
  | { code: 'temperature-from-afar'; sdK: number }
  | { code: 'road-exposure'; factor: number }
  | { code: 'poor-recording'; sd: number }
  | { code: 'road-wet-unknown' }
  | { code: 'fuel-temperature-unread'; sdK: number }
  | { code: 'alone-on-its-road' }
  | { code: 'no-fuel'; table: string | null; used: Used }
  | CampaignFacts

type CampaignFacts =
  | { code: UnstatedCode; vehicleClass: string; value: number; sd: number }
  | { code: 'fills'; litres: number; isStated: boolean }
  | { code: 'pump-meter' }
  | { code: 'charges' }
  | { code: 'readings'; way: 'trip computer' | 'logged fuel'; sd: number }
  | { code: 'few-repeats' }
  | { code: 'powertrain-unstated'; taken: string }

type UnstatedCode = 'mass-unstated' | 'drag-area-unstated' | 'rolling-resistance-unstated'

/** The drives that a weakness concerns. */
export interface Concerned {
  ids: readonly string[]
  /** Drives of the campaign in all. */
  of: number
}

/** What is wrong or weak, and what to do about it. */
export interface WeaknessWords {
  message: Sentence
  fix: Sentence
}

/** Up to five names, and how many more. */
export const someNames = (names: readonly string[]): Sentence =>
  listing([...names.slice(0, 5).map((one) => [name(one)]), ...(names.length > 5 ? [[`${names.length - 5} more`]] : [])])

const MISSING = {
  'no-weather': ['weather observation', 'temperature_c, relative_humidity_pct, wind_speed_mps, wind_from_deg'],
  'no-wind': ['wind observation', 'wind_speed_mps, wind_from_deg'],
  'no-temperature': ['temperature', 'temperature_c, relative_humidity_pct'],
}

const UNSTATED: Record<UnstatedCode, { what: string; unit: Sentence; key: string; decimals: number }> = {
  'mass-unstated': { what: 'mass', unit: [' kg'], key: 'mass_kg', decimals: 0 },
  'drag-area-unstated': { what: 'drag area', unit: [' m²'], key: 'drag_area_m2', decimals: 2 },
  'rolling-resistance-unstated': { what: 'rolling resistance', unit: [], key: 'rolling_resistance', decimals: 4 },
}

/** The drives as the subject of a sentence. */
interface Subject {
  /** "All drives", "The drive" or "3 drives". */
  subject: string
  isOne: boolean
  isAll: boolean
  count: number
  /** Their names. */
  named: Sentence
}

function subjectOf({ ids, of }: Concerned): Subject {
  const isAll = ids.length === of
  return {
    subject: isAll ? (of === 1 ? 'The drive' : 'All drives') : plural(ids.length, 'drive'),
    isOne: ids.length === 1 && !(isAll && of > 1),
    isAll,
    count: ids.length,
    named: someNames(ids),
  }
}

const has = ({ isOne }: Subject): string => (isOne ? 'has' : 'have')

type Code = WeaknessFacts['code']
type FactsOf<C extends Code, F = WeaknessFacts> = F extends { code: Code } ? (C extends F['code'] ? F : never) : never

/** A weakness in words. */
export function weaknessWords<C extends Code>(facts: FactsOf<C> & { code: C }, concerned: Concerned): WeaknessWords {
  return WORDS[facts.code](facts, subjectOf(concerned))
}

function missing(facts: FactsOf<'no-weather'>, who: Subject): WeaknessWords {
  const [what, columns] = MISSING[facts.code]
  return {
    message: say`${who.subject} ${has(who)} no ${what} within reach (300 km, 3 hours), so no answer: ${who.named}`,
    fix: say`Add the reports of a station near the road for ${someNames(facts.days)} (ceteris weather fetches them), or write your own note into runs.csv (${columns}).`,
  }
}

function unstated(facts: FactsOf<UnstatedCode>): WeaknessWords {
  const { what, unit, key, decimals } = UNSTATED[facts.code]
  return {
    message: say`The vehicle’s ${what} is not stated; that of the class ${facts.vehicleClass} is assumed, ${fixed(facts.value, decimals)} ± ${fixed(facts.sd, decimals)}${unit}`,
    fix: say`Write vehicle: ${key} into campaign.yaml, and ${key}_uncertainty beside it.`,
  }
}

const WORDS: { [C in Code]: (facts: FactsOf<C>, who: Subject) => WeaknessWords } = {
  'no-weather': missing,
  'no-wind': missing,
  'no-temperature': missing,
  'wind-from-afar': (facts) => ({
    message: say`The wind on the road is not that at the station (nearest station up to ${figure(facts.distanceM, 'distance', 0)} away, reports up to ${fixed(facts.gapS / 60, 0)} min from the drive)`,
    fix: say`Log the wind beside the road, or add nearer stations and reports at shorter intervals. Drive loops: there an error of the wind mostly cancels.`,
  }),
  'wind-direction-unknown': (_, who) => ({
    message: say`${who.subject} ${has(who)} a wind without direction; any direction is taken as possible: ${who.named}`,
    fix: say`Add the direction (wind_from_deg) to the weather table or to runs.csv.`,
  }),
  'pressure-assumed': (facts, who) => ({
    message: say`${who.subject} ${has(who)} no air pressure; the standard atmosphere ± ${figure(facts.sdPa / 100, 'pressure', 0, { difference: true })} is assumed`,
    fix: say`Add a station’s pressure (station_pressure_hpa, altimeter_hpa or sea_level_pressure_hpa); an aerodrome’s report has it.`,
  }),
  'humidity-assumed': (facts, who) => ({
    message: say`${who.subject} ${has(who)} no humidity; ${fixed(100 * facts.share, 0)} ± ${percentSize(100 * facts.sd)} is assumed`,
    fix: say`Add relative_humidity_pct or dew_point_c.`,
  }),
  'temperature-from-afar': (facts) => ({
    message: say`The temperature on the road is not that at the station: standard deviation up to ${figure(facts.sdK, 'temperature', 1, { difference: true })}`,
    fix: say`Log the temperature with a thermometer in the shade outside the car, or note temperature_c in runs.csv.`,
  }),
  'weather-noted-only': (_, who) => ({
    message: say`${who.subject} ${who.isOne ? 'rests' : 'rest'} on the driver’s own note of the weather, which counts with a wide uncertainty`,
    fix: say`Add the reports of a station, or log with instruments.`,
  }),
  'road-exposure': (facts) => ({
    message: say`How much of the wind at 10 m reaches the vehicle is known only to a factor of ${fixed(facts.factor, 2)}`,
    fix: say`Drive in light wind, and state the terrain in campaign.yaml if it is not roughly_open.`,
  }),
  'poor-recording': (facts, who) => ({
    message: say`${who.subject} ${who.isOne ? 'was' : 'were'} recorded sparsely, with gaps or with coarse positions; the demand is uncertain by up to ${percentSize(100 * facts.sd, 1)}: ${who.named}`,
    fix: say`Give the receiver a free view of the sky and full power, at a position every second, from before the start to after the end.`,
  }),
  'road-wet-unknown': (_, who) => ({
    message: say`Nobody says whether the road was dry or wet in ${plural(who.count, 'drive')} in damp air: ${who.named}`,
    fix: say`Write road_wet (dry or wet) into runs.csv, as you saw it, or add a station that reports rain.`,
  }),
  'fuel-temperature-unread': (facts, who) => ({
    message: say`${who.subject} with litres ${has(who)} no fuel temperature; ± ${figure(facts.sdK, 'temperature', 0, { difference: true })} from day to day is assumed`,
    fix: say`Measure the fuel’s temperature at each fill and write fuel_temperature_c into runs.csv.`,
  }),
  'no-fuel': (facts, who) => ({
    message: who.isAll
      ? say`No ${facts.used} is given for any drive${facts.table === null ? ' (there is no runs.csv)' : ''}: drives can be compared, but no change can be claimed`
      : say`${plural(who.count, 'drive')} ${has(who)} no ${facts.used} and ${who.isOne ? 'counts' : 'count'} in no claim: ${who.named}`,
    fix: say`Write setup and ${facts.used === 'energy' ? 'energy_kwh' : 'fuel_l (or fuel_kg, energy_kwh)'} into ${facts.table === null ? 'runs.csv; ceteris init writes a first one' : name(facts.table)}.`,
  }),
  'alone-on-its-road': (_, who) => ({
    message: say`${plural(who.count, 'drive is', 'drives are')} alone on ${who.count === 1 ? 'its road' : 'their roads'}, so there is nothing to compare with: ${who.named}`,
    fix: say`Drive the same road in the same direction again.`,
  }),
  fills: (facts) => ({
    message: say`Two fills to the same level differ by ± ${figure(facts.litres, 'volume', 2, { difference: true })}${facts.isStated ? '' : ' (default; campaign.yaml does not state it)'}`,
    fix: say`Weigh the fuel, drive a longer road, or fill at one pump in one chain and name it in fill_group${facts.isStated ? '' : '; fill five times in a row to find your own figure (fuel: fill_repeatability_l)'}.`,
  }),
  'pump-meter': () => ({
    message: say`The pump’s meter may be off by its tolerance, which cancels only between fills at one pump`,
    fix: say`Fill at one pump and say so with fill_group, or weigh the fuel.`,
  }),
  charges: () => ({
    message: say`A charge, and the battery’s level as it was read, stand only roughly for the energy that was driven with`,
    fix: say`Charge to full each time, read the battery’s level to a tenth of a percent where the vehicle shows it, or drive longer between two charges.`,
  }),
  readings: (facts) => ({
    message: say`The ${facts.way}, which counts beside the fuel, is taken to scatter by ± ${percentSize(100 * facts.sd)} from drive to drive`,
    fix: say`Drive each setup more often: a longer road does not help. Or read ${facts.way === 'trip computer' ? 'the fuel from the engine’s own log (obd_fuel_l)' : 'the trip computer (trip_computer_l_per_100km)'} as well.`,
  }),
  'few-repeats': () => ({
    message: say`Drives of one setup scatter, and there are few of them; the figure is for one more drive of each setup`,
    fix: say`Repeat each setup, the baseline among them, in the order A-B-B-A.`,
  }),
  'powertrain-unstated': (facts) => ({
    message: say`The powertrain is not stated; ${facts.taken} is assumed`,
    fix: say`Write vehicle: powertrain into campaign.yaml (ceteris init writes a first one).`,
  }),
  'mass-unstated': unstated,
  'drag-area-unstated': unstated,
  'rolling-resistance-unstated': unstated,
}
