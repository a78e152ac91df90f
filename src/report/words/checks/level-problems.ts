import { fixed } from '../../../base/figures.ts'
import type { Problem } from '../../../base/problem.ts'
import { name, plainText, type Sentence, say } from '../../../base/sentence.ts'
import type { FuelUnit } from '../../../claim/fuel/measure.ts'
import type { LevelCause, LevelProblem, TripCause } from '../../../claim/level.ts'
import { capital, plural } from '../../words.ts'

const BY_WORDS = {
  engine: 'an engine delivers',
  battery: 'a battery delivers',
  rider: 'a rider delivers',
} as const

const UNIT_WORDS = { l: 'litres', kg: 'kilograms', kWh: 'kilowatt-hours' } as const

/** What the level of the fuel says, as a problem of the report: what was found, what would fit, and the line to write. */
export function levelProblem(fault: LevelProblem): Problem {
  const { code, severity, line, file } = fault
  const place = { ...(line === undefined ? {} : { line }), ...(file === undefined ? {} : { file }) }
  if (fault.code === 'fuel-level-of-drive') {
    return { code, severity, ...place, message: plainText(ofDriveWords(fault)), hint: ofDriveHint(fault.times) }
  }
  if (fault.code === 'trip-computer-level') return { code, severity, ...place, ...tripWords(fault) }
  const { efficiency, low, high, runs, causes, unit, by } = fault
  const needed = efficiency > 1 ? `${fixed(efficiency, 1)} times` : `${fixed(100 * efficiency, 0)} % of`
  const found = `by their demand the drives needed ${needed} the energy in the ${UNIT_WORDS[unit]} given (middle of ${plural(runs, 'drive')}), where ${BY_WORDS[by]} ${fixed(100 * low, 0)} to ${fixed(100 * high, 0)} %`
  const told = causes.map(({ cause, factor, efficiency: then }) => causeWords(cause, factor, then))
  const message = told.length === 0 ? found : `${found}: probably ${told.join('; or ')}`
  const hint =
    causes.length === 0
      ? NO_CAUSE
      : `${capital(causes.map(({ cause }) => lineFor(cause, unit)).join(', or '))}. Nothing was changed.`
  return { code, severity, ...place, message, hint }
}

const TRIP_WORDS: Record<TripCause, { what: string; column: string }> = {
  'mpg-us': { what: 'miles per US gallon', column: 'trip_computer_mpg_us' },
  'mpg-imp': { what: 'miles per imperial gallon', column: 'trip_computer_mpg_imp' },
  'km-per-litre': { what: 'kilometres per litre', column: 'trip_computer_km_per_l' },
}

function tripWords({ ratio, runs, cause }: Extract<LevelProblem, { code: 'trip-computer-level' }>) {
  const found = `the trip computer shows ${fixed(ratio, ratio < 1 ? 2 : 1)} times the consumption by the litres given (middle of ${plural(runs, 'drive')})`
  if (cause === null)
    return {
      message: found,
      hint: 'Were both read over the same drives, and in the units that the columns name? Nothing was changed.',
    }
  const { what, column } = TRIP_WORDS[cause]
  return { message: `${found}: probably these are ${what}`, hint: `Name the column ${column}. Nothing was changed.` }
}

const NO_CAUSE =
  'Are the amounts, the vehicle in campaign.yaml and the tracks of one vehicle? Is a fill missing? Nothing was changed.'

function causeWords(cause: LevelCause, factor: number, then: number): string {
  const fits = `, which makes it ${fixed(100 * then, 0)} %`
  const times = `times ${fixed(factor, 3)}${fits}`
  switch (cause.code) {
    case 'us-gallons':
      return `these are US gallons (${times})`
    case 'imperial-gallons':
      return `these are imperial gallons (${times})`
    case 'litres-as-us-gallons':
    case 'litres-as-imperial-gallons':
      return `these are litres in the column of gallons (${times})`
    case 'pounds':
      return `these are pounds (${times})`
    case 'per-100-km':
      return `this is consumption per 100 km and not an amount (times the length of each drive, about ${fixed(factor, 3)}${fits})`
    case 'class':
      return `the vehicle is of another class, such as ${cause.class}${fits}`
    case 'powertrain':
      return 'the vehicle is electric'
  }
}

/** What to do where that is the cause: a part of a sentence. */
function lineFor(cause: LevelCause, unit: FuelUnit): string {
  switch (cause.code) {
    case 'us-gallons':
      return 'name the column fuel_gal_us'
    case 'imperial-gallons':
      return 'name the column fuel_gal_imp'
    case 'litres-as-us-gallons':
    case 'litres-as-imperial-gallons':
      return 'name the column fuel_l'
    case 'pounds':
      return 'name the column fuel_lb'
    case 'per-100-km':
      return unit === 'l'
        ? 'name the column trip_computer_l_per_100km'
        : 'write what each drive used in all, and not what it used per 100 km'
    case 'class':
      return `write class: ${cause.class} under vehicle: in campaign.yaml`
    case 'powertrain':
      return 'write powertrain: electric under vehicle: in campaign.yaml'
  }
}

function ofDriveWords({
  track,
  unit,
  amount,
  times,
}: Extract<LevelProblem, { code: 'fuel-level-of-drive' }>): Sentence {
  return say`${name(track)}: ${fixed(amount, 2)} ${unit} is ${fixed(times, 1)} times what the other drives used for the same demand`
}

const ofDriveHint = (times: number): string =>
  times > 1
    ? 'Does it hold that of other driving, because a fill before it is missing? Then write a reason into exclude, or missed: yes into the row of the fuel log.'
    : 'Was it filled to a lower level, or is a part of it in another row? Then write a reason into exclude, or full: no into the row of the fuel log (missed: yes where a fill is not in it).'
