import { fixed } from '../../../base/figures.ts'
import { figure, joined, name, percentSize, type Sentence, say } from '../../../base/sentence.ts'
import { plural } from '../../words.ts'

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
  | { code: 'fuel-temperature-unread'; sdK: number }
  | { code: 'alone-on-its-road' }
  | { code: 'no-fuel'; table: string | null }
  | CampaignFacts

type CampaignFacts =
  | { code: UnstatedCode; vehicleClass: string; value: number; sd: number }
  | { code: 'fills'; litres: number; isStated: boolean }
  | { code: 'pump-meter' }
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
export function someNames(names: readonly string[]): Sentence {
  const shown = names.length > 5 ? names.slice(0, 5) : names
  const left = names.length - shown.length
  return joined(
    shown
      .flatMap((text, i) => {
        const before = i === 0 ? '' : i === shown.length - 1 && left === 0 ? ' and ' : ', '
        return [before, name(text)]
      })
      .concat(left > 0 ? [` and ${left} more`] : []),
  )
}

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

/** A weakness in words. */
export function weaknessWords(facts: WeaknessFacts, concerned: Concerned): WeaknessWords {
  const { ids, of } = concerned
  const all = ids.length === of
  const subject = all ? (of === 1 ? 'The drive' : 'All drives') : plural(ids.length, 'drive')
  const one = ids.length === 1 && !(all && of > 1)
  const has = one ? 'has' : 'have'
  const named = someNames(ids)
  switch (facts.code) {
    case 'no-weather':
    case 'no-wind':
    case 'no-temperature': {
      const [what, columns] = MISSING[facts.code]
      return {
        message: say`${subject} ${has} no ${what} within reach (300 km, 3 hours), so no answer: ${named}`,
        fix: say`Add the reports of a station near the road for ${someNames(facts.days)} (ceteris weather fetches them), or write your own note into runs.csv (${columns}).`,
      }
    }
    case 'wind-from-afar':
      return {
        message: say`The wind on the road is not that at the station (nearest station up to ${figure(facts.distanceM, 'distance', 0)} away, reports up to ${fixed(facts.gapS / 60, 0)} min from the drive)`,
        fix: say`Log the wind beside the road, or add nearer stations and reports at shorter intervals. Drive loops: there an error of the wind mostly cancels.`,
      }
    case 'wind-direction-unknown':
      return {
        message: say`${subject} ${has} a wind without direction; any direction is taken as possible: ${named}`,
        fix: say`Add the direction (wind_from_deg) to the weather table or to runs.csv.`,
      }
    case 'pressure-assumed':
      return {
        message: say`${subject} ${has} no air pressure; the standard atmosphere ± ${figure(facts.sdPa / 100, 'pressure', 0, { difference: true })} is assumed`,
        fix: say`Add a station’s pressure (station_pressure_hpa, altimeter_hpa or sea_level_pressure_hpa); an aerodrome’s report has it.`,
      }
    case 'humidity-assumed':
      return {
        message: say`${subject} ${has} no humidity; ${fixed(100 * facts.share, 0)} ± ${percentSize(100 * facts.sd)} is assumed`,
        fix: say`Add relative_humidity_pct or dew_point_c.`,
      }
    case 'temperature-from-afar':
      return {
        message: say`The temperature on the road is not that at the station: standard deviation up to ${figure(facts.sdK, 'temperature', 1, { difference: true })}`,
        fix: say`Log the temperature with a thermometer in the shade outside the car, or note temperature_c in runs.csv.`,
      }
    case 'weather-noted-only':
      return {
        message: say`${subject} ${one ? 'rests' : 'rest'} on the driver’s own note of the weather, which counts with a wide uncertainty`,
        fix: say`Add the reports of a station, or log with instruments.`,
      }
    case 'road-exposure':
      return {
        message: say`How much of the wind at 10 m reaches the vehicle is known only to a factor of ${fixed(facts.factor, 2)}`,
        fix: say`Drive in light wind, and state the terrain in campaign.yaml if it is not roughly_open.`,
      }
    case 'poor-recording':
      return {
        message: say`${subject} ${one ? 'was' : 'were'} recorded sparsely, with gaps or with coarse positions; the demand is uncertain by up to ${percentSize(100 * facts.sd, 1)}: ${named}`,
        fix: say`Give the receiver a free view of the sky and full power, at a position every second, from before the start to after the end.`,
      }
    case 'fuel-temperature-unread':
      return {
        message: say`${subject} with litres ${has} no fuel temperature; ± ${figure(facts.sdK, 'temperature', 0, { difference: true })} from day to day is assumed`,
        fix: say`Measure the fuel’s temperature at each fill and write fuel_temperature_c into runs.csv.`,
      }
    case 'no-fuel':
      return {
        message: all
          ? say`No drive has fuel${facts.table === null ? ' (there is no runs.csv)' : ''}: drives can be compared, but no change can be claimed`
          : say`${plural(ids.length, 'drive')} ${has} no fuel and ${one ? 'counts' : 'count'} in no claim: ${named}`,
        fix: say`Write setup and fuel_l (or fuel_kg, energy_kwh) into ${facts.table === null ? 'runs.csv; ceteris init writes a first one' : name(facts.table)}.`,
      }
    case 'alone-on-its-road':
      return {
        message: say`${plural(ids.length, 'drive is', 'drives are')} alone on ${one || ids.length === 1 ? 'its road' : 'their roads'}, so there is nothing to compare with: ${named}`,
        fix: say`Drive the same road in the same direction again.`,
      }
    default:
      return campaignWords(facts)
  }
}

/** What concerns the campaign and no single drive. */
function campaignWords(facts: CampaignFacts): WeaknessWords {
  switch (facts.code) {
    case 'fills':
      return {
        message: say`Two fills to the same level differ by ± ${figure(facts.litres, 'volume', 2, { difference: true })}${facts.isStated ? '' : ' (default; campaign.yaml does not state it)'}`,
        fix: say`Weigh the fuel, drive a longer road, or fill at one pump in one chain and name it in fill_group${facts.isStated ? '' : '; fill five times in a row to find your own figure (fuel: fill_repeatability_l)'}.`,
      }
    case 'pump-meter':
      return {
        message: say`The pump’s meter may be off by its tolerance, which cancels only between fills at one pump`,
        fix: say`Fill at one pump and say so with fill_group, or weigh the fuel.`,
      }
    case 'few-repeats':
      return {
        message: say`Drives of one setup scatter, and there are few of them; the figure is for one more drive of each setup`,
        fix: say`Repeat each setup, the baseline among them, in the order A-B-B-A.`,
      }
    case 'powertrain-unstated':
      return {
        message: say`The powertrain is not stated; ${facts.taken} is assumed`,
        fix: say`Write vehicle: powertrain into campaign.yaml (ceteris init writes a first one).`,
      }
    default: {
      const { what, unit, key, decimals } = UNSTATED[facts.code]
      return {
        message: say`The vehicle’s ${what} is not stated; that of the class ${facts.vehicleClass} is assumed, ${fixed(facts.value, decimals)} ± ${fixed(facts.sd, decimals)}${unit}`,
        fix: say`Write vehicle: ${key} into campaign.yaml, and ${key}_uncertainty beside it.`,
      }
    }
  }
}
