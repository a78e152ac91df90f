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
  PASCALS_PER_INHG,
  PASCALS_PER_MMHG,
  PASCALS_PER_PSI,
} from '../../base/units.ts'
import { unitOf } from './unit-words.ts'

export type Convert = (value: number) => number
export const times =
  (factor: number): Convert =>
  (value) =>
    value * factor
const asIs: Convert = (value) => value

/** Exact (international avoirdupois pound). @source NIST SP 811 appendix B */
export const KILOGRAMS_PER_POUND = 0.45359237
const MILLIMETRES_PER_INCH = 25.4

/** Litres per 100 km from distance per volume: a reciprocal, not a factor. */
const litresPer100KmFrom =
  (litresPerVolume: number, metresPerDistance: number): Convert =>
  (distancePerVolume) =>
    (litresPerVolume / (distancePerVolume * metresPerDistance)) * 100_000

/** Unit as written after the name → conversion to the unit in the field's name. */
export const UNITS = {
  temperature: { k: asIs, c: kelvinFromCelsius, f: (value: number) => kelvinFromCelsius(celsiusFromFahrenheit(value)) },
  share: { pct: times(0.01), percent: times(0.01), 1: asIs },
  pressure: {
    pa: asIs,
    hpa: times(100),
    mbar: times(100),
    mb: times(100),
    kpa: times(1000),
    bar: times(100_000),
    inhg: times(PASCALS_PER_INHG),
    mmhg: times(PASCALS_PER_MMHG),
    psi: times(PASCALS_PER_PSI),
  },
  speed: {
    mps: asIs,
    ms: asIs,
    kmh: times(MPS_PER_KMH),
    kph: times(MPS_PER_KMH),
    mph: times(MPS_PER_MPH),
    kt: times(MPS_PER_KNOT),
    kts: times(MPS_PER_KNOT),
    kn: times(MPS_PER_KNOT),
  },
  angle: { deg: asIs },
  height: { m: asIs, ft: times(METRES_PER_FOOT) },
  distance: { m: asIs, km: times(1000), mi: times(METRES_PER_MILE) },
  depth: { mm: asIs, in: times(MILLIMETRES_PER_INCH) },
  volume: { l: asIs, gal_us: times(LITRES_PER_US_GALLON), gal_imp: times(LITRES_PER_IMPERIAL_GALLON) },
  mass: { kg: asIs, lb: times(KILOGRAMS_PER_POUND) },
  energy: { kwh: asIs, wh: times(1e-3), mj: times(1 / 3.6), kj: times(1 / 3600) },
  power: { w: asIs, kw: times(1000) },
  consumption: {
    l_per_100km: asIs,
    mpg_us: litresPer100KmFrom(LITRES_PER_US_GALLON, METRES_PER_MILE),
    mpg_imp: litresPer100KmFrom(LITRES_PER_IMPERIAL_GALLON, METRES_PER_MILE),
    km_per_l: litresPer100KmFrom(1, 1000),
  },
} as const satisfies Record<string, Record<string, Convert>>

export type Dimension = keyof typeof UNITS

/** What makes SI of a number in a unit as ours or as people write it; null where the dimension has no such unit. */
export function conversionOf(dimension: Dimension, written: string): Convert | null {
  const units: Record<string, Convert> = UNITS[dimension]
  const unit = Object.hasOwn(units, written) ? written : unitOf(written)
  return unit !== null && Object.hasOwn(units, unit) ? units[unit] : null
}
