import { READING_SD } from '../claim/evidence/ways.ts'
import { CHARGE } from '../claim/fuel/charge.ts'
import { GPS_DISTANCE_SD } from '../claim/fuel/consumption.ts'
import { MEASUREMENT_SD, METER_TOLERANCE_PCT } from '../claim/fuel/measure.ts'
import { expansionPerK, FUEL_PROPERTIES } from '../claim/fuel/volume.ts'
import type { MeasuringWay, ReadAsWell } from './choices.ts'

export interface Measuring {
  way: MeasuringWay
  fuel: 'petrol' | 'diesel'
  /** Litres per 100 km, or kWh per 100 km for `battery`. */
  per100Km: number
  /** Standard deviation of one reading: litres of one fill, kg of one weighing, a share of what is logged or charged; null: the claims' own default. */
  error: number | null
  /** Whether the fuel's temperature is read at each fill. */
  temperatureRead: boolean
  /** Half-width of what a pump may be off, percent; null: the claims' own default. */
  meterTolerancePct: number | null
  /** What is read of each drive as well; null: nothing. */
  also: ReadAsWell | null
}

/** Consumption where nobody states any: a small car's; an electric one's in kWh. Common practice, no source. */
export const USUAL_PER_100_KM = { liquid: 7, electric: 18 }

/** Standard deviations of one run's errors in ln(fuel per distance), known beforehand. */
export interface RunErrors {
  /** Of one fill to the level, or one weighing: a run has one before and one after. 0 where there is none. */
  level: number
  /** All others that belong to one run alone, by source. */
  own: {
    fills: number
    pump_meter: number
    fuel_temperature: number
    /** As if every drive burnt another day's fuel; that of one day cancels between its drives. */
    fuel_batch: number
    distance: number
    conditions: number
  }
  /** Of what is read as well; infinite where nothing is. */
  readAsWell: number
}

const READ_AS = { 'trip-computer': 'trip computer', logged: 'logged fuel' } as const

/** What is known of one run's errors on a route of this length; what all runs share (one pump, one scale) cancels. */
export function runErrorsOf(measuring: Measuring, routeM: number, conditionsSd: number): RunErrors {
  const amount = (measuring.per100Km / 1e5) * routeM
  const { way, error, fuel, also } = measuring
  const own = {
    fills: 0,
    pump_meter: 0,
    fuel_temperature: 0,
    fuel_batch:
      way === 'battery' ? 0 : way === 'scale' ? MEASUREMENT_SD.batchEnergyPerKg : MEASUREMENT_SD.batchEnergyPerLitre,
    distance: GPS_DISTANCE_SD,
    conditions: conditionsSd,
  }
  const readAsWell = also === null ? Number.POSITIVE_INFINITY : READING_SD[READ_AS[also]]
  if (way === 'scale') {
    const kg = (amount * FUEL_PROPERTIES[fuel].density15KgM3) / 1000
    return { level: (error ?? MEASUREMENT_SD.weighingKg) / kg, own, readAsWell }
  }
  if (way === 'battery') return { level: 0, own: { ...own, fills: error ?? CHARGE.relativeSd }, readAsWell }
  if (way === 'logged') return { level: 0, own: { ...own, fills: error ?? READING_SD['logged fuel'] }, readAsWell }
  const tolerance = (measuring.meterTolerancePct ?? METER_TOLERANCE_PCT) / 100
  const temperatureK = measuring.temperatureRead
    ? MEASUREMENT_SD.fuelTemperatureReadK
    : MEASUREMENT_SD.fuelTemperatureUnreadK
  return {
    level: (error ?? MEASUREMENT_SD.fillLitres) / amount,
    readAsWell,
    own: {
      ...own,
      // Anywhere within the tolerance with equal probability.
      pump_meter: way === 'any-pump' ? tolerance / Math.sqrt(3) : 0,
      fuel_temperature: expansionPerK(FUEL_PROPERTIES[fuel].density15KgM3) * temperatureK,
    },
  }
}
