import {
  celsiusFromFahrenheit,
  kelvinFromCelsius,
  LITRES_PER_IMPERIAL_GALLON,
  LITRES_PER_US_GALLON,
  METRES_PER_FOOT,
  METRES_PER_MILE,
  MPS_PER_KMH,
  MPS_PER_KNOT,
  MPS_PER_MPH,
} from '../../../base/units.ts'

export type Convert = (value: number) => number

const times =
  (factor: number): Convert =>
  (value) =>
    value * factor

/** Exact (international avoirdupois pound). @source NIST SP 811 appendix B */
const KILOGRAMS_PER_POUND = 0.45359237

/**
 * The units in which loggers write, without blanks and in lower case, and what makes them the unit in the name of the
 * quantity.
 */
export const LOG_UNITS = {
  angle: { '°': times(1), deg: times(1), degrees: times(1) },
  height: { m: times(1), meters: times(1), metres: times(1), ft: times(METRES_PER_FOOT), feet: times(METRES_PER_FOOT) },
  speed: {
    'm/s': times(1),
    mps: times(1),
    ms: times(1),
    'km/h': times(MPS_PER_KMH),
    kmh: times(MPS_PER_KMH),
    kph: times(MPS_PER_KMH),
    mph: times(MPS_PER_MPH),
    kn: times(MPS_PER_KNOT),
    kt: times(MPS_PER_KNOT),
    kts: times(MPS_PER_KNOT),
    knots: times(MPS_PER_KNOT),
  },
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
  volume: {
    l: times(1),
    liters: times(1),
    litres: times(1),
    ml: times(1e-3),
    gal: times(LITRES_PER_US_GALLON),
    gal_us: times(LITRES_PER_US_GALLON),
    gal_imp: times(LITRES_PER_IMPERIAL_GALLON),
  },
  voltage: { v: times(1), volts: times(1), mv: times(1e-3) },
  current: { a: times(1), amps: times(1), ma: times(1e-3) },
  power: { w: times(1), kw: times(1e3) },
  energy: { wh: times(1), kwh: times(1e3), kj: times(1 / 3.6), mj: times(1e3 / 3.6) },
  share: { '%': times(0.01), pct: times(0.01), percent: times(0.01) },
  temperature: {
    c: kelvinFromCelsius,
    '°c': kelvinFromCelsius,
    degc: kelvinFromCelsius,
    f: (value: number) => kelvinFromCelsius(celsiusFromFahrenheit(value)),
    '°f': (value: number) => kelvinFromCelsius(celsiusFromFahrenheit(value)),
    degf: (value: number) => kelvinFromCelsius(celsiusFromFahrenheit(value)),
    k: times(1),
  },
  distance: { km: times(1e3), m: times(1), mi: times(METRES_PER_MILE), miles: times(METRES_PER_MILE) },
  rotation: { rpm: times(1), '1/min': times(1) },
  duration: { s: times(1), sec: times(1), seconds: times(1), ms: times(1e-3), us: times(1e-6), min: times(60) },
} as const satisfies Record<string, Record<string, Convert>>

export type Dimension = keyof typeof LOG_UNITS

/** What a unit makes of a number; null where the dimension has no such unit. */
export function conversionOf(dimension: Dimension, unit: string): Convert | null {
  const units: Record<string, Convert> = LOG_UNITS[dimension]
  return Object.hasOwn(units, unit) ? units[unit] : null
}
