import { square } from '../base/arithmetic.ts'
import { quantile } from '../base/statistics.ts'
import { LITRES_PER_IMPERIAL_GALLON, LITRES_PER_US_GALLON, METRES_PER_MILE } from '../base/units.ts'
import { classForDemand, classOf, powertrainOf } from '../demand/vehicle.ts'
import { isHelped } from '../demand/vehicle-classes.ts'
import type { VehicleClass, VehicleSettings } from '../read/campaign/settings.ts'
import { amountIn, campaignUnit, type FuelUnit } from './fuel/measure.ts'
import { FUEL_PROPERTIES, type LiquidFuel } from './fuel/volume.ts'
import type { FuelRun } from './types.ts'

/** What may be wrong with all amounts alike: one of these would make fuel and demand fit. */
export type LevelCause =
  /** What is in the litre column are gallons, or the other way round; pounds in the column of kilograms. */
  | { code: 'us-gallons' | 'imperial-gallons' | 'litres-as-us-gallons' | 'litres-as-imperial-gallons' | 'pounds' }
  /** Consumption per 100 km in the column of amounts. */
  | { code: 'per-100-km' }
  | { code: 'class'; class: VehicleClass }
  | { code: 'powertrain' }

export type LevelFault =
  | {
      code: 'fuel-level'
      unit: FuelUnit
      by: Plausible['by']
      /** Energy that the unchanged vehicle needed over that of the fuel; the middle of the drives. */
      efficiency: number
      low: number
      high: number
      runs: number
      /** Which of them fit, the likeliest first, each with what the amounts are multiplied by and the efficiency then. */
      causes: { cause: LevelCause; factor: number; efficiency: number }[]
    }
  | {
      code: 'fuel-level-of-drive'
      track: string
      unit: FuelUnit
      amount: number
      /** Fuel for its demand over that of the other drives. */
      times: number
    }
  | {
      code: 'trip-computer-level'
      /** Its consumption over that by the fuel, the middle of the drives. */
      ratio: number
      runs: number
      /** What fits; null where nothing does. */
      cause: TripCause | null
    }

/** What the trip computer's column may hold in place of litres per 100 km. */
export type TripCause = 'mpg-us' | 'mpg-imp' | 'km-per-litre'

export type LevelProblem = LevelFault & { severity: 'warning'; line?: number; file?: string }

interface Plausible {
  low: number
  usual: number
  high: number
  /** What took the energy that was given. */
  by: 'engine' | 'battery' | 'rider'
}

/**
 * Of demand at the engine's shaft (friction and idling counted in it) over the fuel's heat: the slope of combustion
 * engines is 0.35 to 0.45, of the small ones of efficiency contests less. Of demand at the battery's terminals over what was
 * charged, to which a rider or the sun may add; of demand at the pedals over what the power meter read. Beyond are a wrong
 * unit, a wrong vehicle, or energy that went elsewhere. Common practice, no source.
 */
const PLAUSIBLE = {
  liquid: { low: 0.2, usual: 0.4, high: 0.55, by: 'engine' },
  smallEngine: { low: 0.05, usual: 0.25, high: 0.5, by: 'engine' },
  electric: { low: 0.5, usual: 0.85, high: 1.3, by: 'battery' },
  helped: { low: 0.3, usual: 1.2, high: 4, by: 'battery' },
  rider: { low: 0.5, usual: 1, high: 1.6, by: 'rider' },
} satisfies Record<string, Plausible>

function plausible(unit: FuelUnit, vehicle: VehicleSettings): Plausible {
  const of = classOf(vehicle)
  if (unit !== 'kWh') return of === 'efficiency_car' ? PLAUSIBLE.smallEngine : PLAUSIBLE.liquid
  if (powertrainOf(vehicle) === 'human') return PLAUSIBLE.rider
  return isHelped(of) ? PLAUSIBLE.helped : PLAUSIBLE.electric
}

/** One drive is held against the others where there are so many. */
const LEAST_FOR_ONE = 3
/** A drive with so many times the fuel for its demand, or so small a part, stands out. Common practice, no source. */
const TIMES_OF_A_SLIP = 1.7

const KILOGRAMS_PER_POUND = 0.45359237

/**
 * Holds the level of the fuel against the demand of the unchanged vehicle.
 * @param columns names of the tables' columns: they say in which unit the amounts were given
 */
export function levelProblems(
  runs: readonly FuelRun[],
  vehicle: VehicleSettings,
  columns: readonly string[],
): LevelProblem[] {
  const unit = campaignUnit([...runs])
  if (unit === null) return []
  const fuel: LiquidFuel = powertrainOf(vehicle) === 'diesel' ? 'diesel' : 'petrol'
  const levels = runs.filter(isOfVehicle).flatMap((run) => {
    const energyJ = amountIn(run.row, unit) * joulesPer(unit, fuel)
    const efficiency = (run.nominalDemandJPerM * run.distanceM) / energyJ
    return efficiency > 0 && Number.isFinite(efficiency) ? [{ run, efficiency }] : []
  })
  if (levels.length === 0) return []
  const middle = medianOf(levels.map(({ efficiency }) => efficiency))
  const { low, high, by } = plausible(unit, vehicle)
  if (middle < low || middle > high) {
    const causes = causesOf(levels, middle, unit, vehicle, columns)
    const { line, file } = levels[0].run.row
    const place = { line, ...(file === null ? {} : { file }) }
    const figures = { unit, by, efficiency: middle, low, high, runs: levels.length, causes }
    return [{ code: 'fuel-level', severity: 'warning', ...place, ...figures }]
  }
  const single = levels.length < LEAST_FOR_ONE ? [] : levels.flatMap((level) => standsOut(level, levels, unit))
  return [...tripProblems(runs, unit), ...single]
}

/** Consumption by the trip computer over that by the litres of each drive that has both. */
const tripRatios = (runs: readonly FuelRun[], unit: FuelUnit): number[] =>
  runs.filter(isOfVehicle).flatMap(({ row, distanceM }) => {
    const ratio = (row.tripComputerLitresPer100Km * distanceM) / 1e5 / row.fuelLitres
    return unit === 'l' && ratio > 0 && Number.isFinite(ratio) ? [ratio] : []
  })

/** A trip computer is off by some percent, and fills of short roads by more: beyond this factor it is another unit. A choice. */
const TIMES_OF_A_UNIT = 1.7
/** What fits does so within this factor. A choice. */
const FITS_WITHIN = 1.35

const fits = (ratio: number): boolean => ratio > 1 / FITS_WITHIN && ratio < FITS_WITHIN

/** What a reading in another unit is made into litres per 100 km by: this over the reading. */
const PER_READING: Record<TripCause, number> = {
  'mpg-us': (1e5 * LITRES_PER_US_GALLON) / METRES_PER_MILE,
  'mpg-imp': (1e5 * LITRES_PER_IMPERIAL_GALLON) / METRES_PER_MILE,
  'km-per-litre': 100,
}

/** The trip computer's readings against litres that fit the demand. */
function tripProblems(runs: readonly FuelRun[], unit: FuelUnit): LevelProblem[] {
  const ratios = tripRatios(runs, unit)
  if (ratios.length === 0) return []
  const ratio = medianOf(ratios)
  if (ratio > 1 / TIMES_OF_A_UNIT && ratio < TIMES_OF_A_UNIT) return []
  const read = runs.filter(isOfVehicle).filter(({ row }) => row.tripComputerLitresPer100Km > 0 && row.fuelLitres > 0)
  const reading = medianOf(read.map(({ row }) => row.tripComputerLitresPer100Km))
  const away = (cause: TripCause): number => Math.abs(Math.log((ratio * PER_READING[cause]) / square(reading)))
  const [cause] = (Object.keys(PER_READING) as TripCause[]).sort((a, b) => away(a) - away(b))
  const { line, file } = read[0].row
  const place = { line, ...(file === null ? {} : { file }) }
  const found = away(cause) < Math.log(FITS_WITHIN) ? cause : null
  return [{ code: 'trip-computer-level', severity: 'warning', ...place, ratio, runs: ratios.length, cause: found }]
}

/** Left out for another reason than its fuel: it says nothing of the vehicle's level. */
const isOfVehicle = ({ leftOut }: FuelRun): boolean =>
  leftOut === null || (leftOut.code !== 'other-vehicle' && leftOut.code !== 'stated')

/** Heat of a litre or a kilogram, or a kilowatt hour. */
function joulesPer(unit: FuelUnit, fuel: LiquidFuel): number {
  const { energyJPerLitre, density15KgM3 } = FUEL_PROPERTIES[fuel]
  return unit === 'kWh' ? 3.6e6 : unit === 'l' ? energyJPerLitre : (1000 * energyJPerLitre) / density15KgM3
}

const medianOf = (values: number[]): number => quantile(Float64Array.from(values), 0.5)

interface Level {
  run: FuelRun
  efficiency: number
}

function causesOf(
  levels: Level[],
  middle: number,
  unit: FuelUnit,
  vehicle: VehicleSettings,
  columns: readonly string[],
): Extract<LevelFault, { code: 'fuel-level' }>['causes'] {
  const { low, usual, high } = plausible(unit, vehicle)
  const has = (pattern: RegExp): boolean => columns.some((name) => pattern.test(name))
  const scaled = (cause: LevelCause, factor: number) => ({ cause, factor, efficiency: middle / factor })
  const inGallons = has(/gal|us_?gal|imp/)
  const candidates =
    unit === 'l' && !inGallons
      ? [
          scaled({ code: 'us-gallons' }, LITRES_PER_US_GALLON),
          scaled({ code: 'imperial-gallons' }, LITRES_PER_IMPERIAL_GALLON),
        ]
      : unit === 'l'
        ? [
            scaled(
              { code: has(/imp/) ? 'litres-as-imperial-gallons' : 'litres-as-us-gallons' },
              1 / (has(/imp/) ? LITRES_PER_IMPERIAL_GALLON : LITRES_PER_US_GALLON),
            ),
          ]
        : unit === 'kg'
          ? [scaled({ code: 'pounds' }, KILOGRAMS_PER_POUND)]
          : []
  const per100 = medianOf(levels.map(({ run, efficiency }) => efficiency / (run.distanceM / 1e5)))
  const lengths = levels.map(({ run }) => run.distanceM)
  const isPer100 = { cause: { code: 'per-100-km' as const }, factor: medianOf(lengths) / 1e5, efficiency: per100 }
  const other = classForDemand(vehicle, usual / middle)
  const ofClass = other
    ? [{ cause: { code: 'class' as const, class: other.class }, factor: 1, efficiency: middle * other.times }]
    : []
  const kind = powertrainOf(vehicle)
  const electric =
    unit === 'kWh' && (kind === 'petrol' || kind === 'diesel')
      ? [{ cause: { code: 'powertrain' as const }, factor: 1, efficiency: usual }]
      : []
  const away = ({ efficiency }: { efficiency: number }): number => Math.abs(Math.log(efficiency / usual))
  // A trip computer that was read tells of which unit the amounts are.
  const ratios = tripRatios(
    levels.map(({ run }) => run),
    unit,
  )
  const told = ratios.length > 0 ? medianOf(ratios) : null
  const awayFromTold = ({ factor }: { factor: number }): number =>
    told === null ? 0 : Math.abs(Math.log(told / factor))
  return [...electric, ...candidates, isPer100, ...ofClass]
    .filter(({ efficiency }) => efficiency >= low && efficiency <= high)
    .filter(({ factor }) => told === null || fits(told / factor))
    .sort((a, b) => awayFromTold(a) - awayFromTold(b) || away(a) - away(b))
    .slice(0, 3)
}

function standsOut({ run, efficiency }: Level, levels: Level[], unit: FuelUnit): LevelProblem[] {
  const others = levels.filter((level) => level.run !== run).map((level) => Math.log(level.efficiency))
  const middle = medianOf(others)
  const spread = medianOf(others.map((value) => Math.abs(value - middle)))
  const log = middle - Math.log(efficiency)
  if (Math.abs(log) < Math.max(Math.log(TIMES_OF_A_SLIP), 6 * spread) || run.leftOut !== null) return []
  const { line, file, track } = run.row
  const place = { line, ...(file === null ? {} : { file }) }
  const amount = amountIn(run.row, unit)
  return [{ code: 'fuel-level-of-drive', severity: 'warning', ...place, track, unit, amount, times: Math.exp(log) }]
}
