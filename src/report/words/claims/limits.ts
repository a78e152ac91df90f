import { figure, plainText, type Sentence, say } from '../../../base/sentence.ts'
import { celsiusFromKelvin } from '../../../base/units.ts'
import type { LimitResult, Measured } from '../../../compare/limits.ts'
import type { ReportRun } from '../../contract.ts'

type Limit = ReportRun['limits'][number]
type Reading = NonNullable<Limit['reading']>

const CONDITION: Record<Measured, Reading['condition']> = {
  meanWindMps: 'mean-wind',
  gustMps: 'gusts',
  meanCrosswindMps: 'mean-crosswind',
  temperatureK: 'temperature',
  densityKgM3: 'air-density',
  precipitationMm: 'precipitation',
  roadWet: 'road-wet',
  highestElevationM: 'highest-elevation',
}

/** A line of a procedure as the report holds it. */
export function limitLine({ procedure, quantity, limit, reading, ok }: LimitResult): Limit {
  if (reading === null) return { procedure, quantity, limit, value: null, reading: null, ok }
  const { condition, value, heightM, brought, heightUnknown } = reading
  const facts: Reading = {
    condition: CONDITION[condition],
    value: condition === 'temperatureK' ? celsiusFromKelvin(value) : value,
    height_m: heightM,
    brought: brought && { value: brought.value, height_m: brought.heightM },
    height_unknown: heightUnknown,
  }
  return { procedure, quantity, limit, value: plainText(limitWords(facts)), reading: facts, ok }
}

/** A value as it was held against a limit: "2.17 m/s at 0.7 m, from 4.00 m/s at 10 m". */
export function limitWords({ condition, value, height_m, brought, height_unknown }: Reading): Sentence {
  // Heights of anemometers are those of a standard, the same in any country.
  const at = (heightM: number | null): string => (heightM === null ? '' : ` at ${heightM} m`)
  const stated = say`${valueWords(condition, value)}${at(height_m)}`
  if (brought !== null) return say`${valueWords(condition, brought.value)}${at(brought.height_m)}, from ${stated}`
  return height_unknown ? say`${stated}, height not known` : stated
}

function valueWords(condition: Reading['condition'], value: number): Sentence {
  switch (condition) {
    case 'temperature':
      return [figure(value, 'temperature', 1)]
    case 'air-density':
      return [figure(value, 'density', 3)]
    case 'precipitation':
      return [figure(value, 'rain', 1)]
    case 'highest-elevation':
      return [figure(value, 'height', 0)]
    case 'road-wet':
      return [value > 0 ? 'wet' : 'dry']
    default:
      return [figure(value, 'wind', 2)]
  }
}
