import { LITRES_PER_US_GALLON } from '../../../base/units.ts'
import {
  type Convert,
  conversionOf,
  KILOGRAMS_PER_POUND,
  type Dimension as TableDimension,
  times,
} from '../../table/units.ts'

/**
 * Units that loggers alone write, without blanks and in lower case, and what makes them the unit in the name of the
 * quantity.
 */
const LOG_UNITS = {
  volumeRate: {
    'l/h': times(1 / 3600),
    lph: times(1 / 3600),
    'l/hr': times(1 / 3600),
    'l/s': times(1),
    'ml/s': times(1e-3),
    'ml/min': times(1e-3 / 60),
    'cc/min': times(1e-3 / 60),
    'gal/h': times(LITRES_PER_US_GALLON / 3600),
    'gal/hr': times(LITRES_PER_US_GALLON / 3600),
    gph: times(LITRES_PER_US_GALLON / 3600),
  },
  massRate: {
    'g/s': times(1e-3),
    gps: times(1e-3),
    'kg/h': times(1 / 3600),
    'kg/s': times(1),
    'mg/s': times(1e-6),
    'lb/min': times(KILOGRAMS_PER_POUND / 60),
    'lb/h': times(KILOGRAMS_PER_POUND / 3600),
  },
  volume: { ml: times(1e-3), gal: times(LITRES_PER_US_GALLON) },
  voltage: { v: times(1), volts: times(1), mv: times(1e-3) },
  current: { a: times(1), amps: times(1), ma: times(1e-3) },
  energyWh: { wh: times(1), kwh: times(1e3), kj: times(1 / 3.6), mj: times(1e3 / 3.6) },
  rotation: { rpm: times(1), '1/min': times(1) },
  duration: { s: times(1), sec: times(1), seconds: times(1), ms: times(1e-3), us: times(1e-6), min: times(60) },
} as const satisfies Record<string, Record<string, Convert>>

/** Those of which tables of other kinds have the units. */
type SharedDimension = Extract<
  TableDimension,
  'angle' | 'height' | 'speed' | 'volume' | 'power' | 'share' | 'temperature' | 'distance'
>
export type Dimension = keyof typeof LOG_UNITS | SharedDimension

/** What a unit makes of a number; null where the dimension has no such unit. */
export function logConversion(dimension: Dimension, unit: string): Convert | null {
  const units: Record<string, Convert> = dimension in LOG_UNITS ? LOG_UNITS[dimension as keyof typeof LOG_UNITS] : {}
  if (Object.hasOwn(units, unit)) return units[unit]
  return isShared(dimension) ? conversionOf(dimension, unit) : null
}

const isShared = (dimension: Dimension): dimension is SharedDimension =>
  dimension === 'volume' || !(dimension in LOG_UNITS)
