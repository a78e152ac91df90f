import type { Problem } from '../../base/problem.ts'
import { nearestWord } from '../table/nearest-word.ts'
import { type QuantityField, quantityOf, unitsFor } from '../table/quantities.ts'
import type { FillRow } from './rows.ts'

type NumberField = { [K in keyof FillRow]: FillRow[K] extends number ? K : never }[keyof FillRow]
export type QuantityOfFill = Exclude<NumberField, 'line' | 'fromTime' | 'toTime'>
type TextField = 'pump' | 'setup' | 'price' | 'note' | 'photo'

/** What a value can be, in the unit of its field; outside it is a slip of unit or decimal point. Common practice, no source. */
export const FILL_RANGES: Record<QuantityOfFill, { min: number; max: number; says: string; usual: string }> = {
  odometerM: { min: 0, max: 4e9, says: '0 to 4000000 km', usual: 'odometer_km' },
  tripM: { min: 10, max: 1e7, says: '0.01 to 10000 km', usual: 'trip_km' },
  fuelLitres: { min: 1e-4, max: 2000, says: '0.0001 to 2000 litres', usual: 'fuel_l' },
  fuelKg: { min: 1e-4, max: 2000, says: '0.0001 to 2000 kg', usual: 'fuel_kg' },
  energyKwh: { min: 1e-5, max: 5000, says: '0.00001 to 5000 kWh', usual: 'energy_kwh' },
  batteryEnergyKwh: { min: 1e-5, max: 5000, says: '0.00001 to 5000 kWh', usual: 'battery_energy_kwh' },
  fuelTemperatureK: { min: 223.15, max: 343.15, says: '-50 to 70 °C', usual: 'fuel_temperature_c' },
  socBefore: { min: 0, max: 1, says: '0 to 100 %', usual: 'soc_before_pct' },
  socAfter: { min: 0, max: 1, says: '0 to 100 %', usual: 'soc_after_pct' },
}
const TEXTS: readonly TextField[] = ['pump', 'setup', 'price', 'note', 'photo']
const TIMES = ['time', 'date', 'date_time', 'datetime', 'timestamp', 'time_utc']
/** `partial` says the opposite of `full`. */
const FLAGS = ['full', 'partial', 'missed'] as const
const AMOUNTS: QuantityField[] = ['fuelLitres', 'fuelKg', 'energyKwh', 'batteryEnergyKwh']

/**
 * Whether a header is that of a fuel log: a time or a date, and an amount or an odometer; no track, no place, no weather.
 * @param names as `headerNames` gives them
 */
export function isFillsHeader(names: readonly string[]): boolean {
  const fields = names.flatMap((name) => quantityOf(name)?.field ?? [])
  const has = (...wanted: string[]): boolean => fields.some((field) => wanted.includes(field))
  if (!names.some((name) => TIMES.includes(name)) || names.includes('track')) return false
  if (has('windSpeedMps', 'windFromDeg', 'relativeHumidity', 'altimeterPa', 'seaLevelPressurePa')) return false
  if (
    has('latitudeDeg') &&
    !names.some((name) => name === 'full' || name === 'partial' || name === 'price' || name === 'pump')
  )
    return false
  return has(...AMOUNTS) || (has('odometerM') && names.length > 2 && !names.includes('speed'))
}

export type TargetOfFill =
  | { kind: 'time' }
  | { kind: 'date' }
  | { kind: 'text'; field: TextField }
  | { kind: 'flag'; field: (typeof FLAGS)[number] }
  | { kind: 'number'; field: QuantityOfFill; convert: (value: number) => number }

export interface FillsColumn {
  name: string
  target: TargetOfFill | null
  problem: Omit<Problem, 'line'> | null
}

/** What a column of a fuel log stands for; of several of one name the first. */
export function fillsColumn(name: string, isFirst: boolean): FillsColumn {
  const as = (target: TargetOfFill): FillsColumn => ({ name, target, problem: null })
  if (!isFirst || name === '') return { name, target: null, problem: null }
  if (name === 'date') return as({ kind: 'date' })
  if (TIMES.includes(name)) return as({ kind: 'time' })
  if ((TEXTS as readonly string[]).includes(name)) return as({ kind: 'text', field: name as TextField })
  const flag = FLAGS.find((known) => known === name)
  if (flag) return as({ kind: 'flag', field: flag })
  const quantity = quantityOf(name)
  if (quantity && Object.hasOwn(FILL_RANGES, quantity.field)) {
    return as({ kind: 'number', field: quantity.field as QuantityOfFill, convert: quantity.convert })
  }
  return { name, target: null, problem: unknownColumn(name) }
}

function unknownColumn(name: string): Omit<Problem, 'line'> {
  if (quantityOf(name) !== null) {
    const message = `the column "${name}" does not belong to a fill, and is not used`
    return { code: 'fills-unknown-column', severity: 'note', message }
  }
  const units = unitsFor(name)
  if (units) {
    const message = `the column "${name}" is not used: found no unit that is known for it, expected one of ${units.join(', ')} at its end`
    return { code: 'fills-unknown-unit', severity: 'warning', message }
  }
  const known = [...TIMES, ...TEXTS, ...FLAGS, ...Object.values(FILL_RANGES).map(({ usual }) => usual)]
  const near = nearestWord(name, known)
  const message = `the column "${name}" is not known and not used`
  const problem = { code: 'fills-unknown-column', severity: near ? ('warning' as const) : ('note' as const), message }
  return near ? { ...problem, hint: `Did you mean ${near}?` } : problem
}
