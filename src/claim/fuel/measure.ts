import { sum } from '../../base/statistics.ts'
import type { ClaimSettings, FuelRun, LogFuel, NamedError } from '../types.ts'
import { CHARGE, chargeRelativeSd } from './charge.ts'
import { expansionPerK, FUEL_PROPERTIES, type LiquidFuel, volumeCorrectionFactor } from './volume.ts'

/** What a run's fuel or energy is measured in; within one campaign only readings of one unit are compared. */
export type FuelUnit = 'l' | 'kg' | 'kWh'

/** One run's fuel with the errors of its measurement, as additions to the logarithm of the amount. */
export interface FuelReading {
  unit: FuelUnit
  /** As read. */
  read: number
  /** Litres brought to 15 °C where the fuel's temperature is known; otherwise as read. */
  amount: number
  /** Whether `amount` is at 15 °C. */
  at15C: boolean
  errors: NamedError[]
}

/** Standard deviations where nobody states any; all but the pump's are common practice, no source. */
export const MEASUREMENT_SD = {
  /** One fill to the same level at one nozzle: the click-off repeats to ±0.1 to ±0.3 l. */
  fillLitres: 0.15,
  /** One weighing of a can or a tank; a run takes two. */
  weighingKg: 0.02,
  /** One scale for the whole campaign. */
  scaleRelative: 0.002,
  /** A thermometer held into the fuel. */
  fuelTemperatureReadK: 1,
  /** Fuel from an underground tank from day to day, when nobody reads it. */
  fuelTemperatureUnreadK: 2,
  /**
   * Energy of a litre from one delivery to another: it goes with the density, for which EN 590 leaves ±1.5 % to diesel and
   * EN 228 ±3.7 % to petrol (from memory); deliveries of one season differ by less. Of a kilogram it differs by half as much.
   */
  batchEnergyPerLitre: 0.007,
  batchEnergyPerKg: 0.0035,
}

/**
 * Half-width of what a dispenser may be off in service, percent.
 * @source NIST Handbook 44 §3.30 (maintenance tolerance, from memory); EU 2014/32/EU annex VII table 2, class 0.5
 */
export const METER_TOLERANCE_PCT = 0.5

/**
 * A run's own name for its draws: by the clock, so that it does not change with the names of files or the order of rows.
 * Two runs that began at the same instant are told apart by their distance.
 */
export const drawKey = (run: FuelRun): string => `${run.startTime}/${run.distanceM}`

/** The unit in which most runs were measured (the more exact one at a tie); null where no run has any fuel. */
export function campaignUnit(runs: FuelRun[]): FuelUnit | null {
  const units: FuelUnit[] = ['kg', 'l', 'kWh']
  const count = (unit: FuelUnit): number => runs.filter(({ row }) => amountIn(row, unit) > 0).length
  const counts = units.map(count)
  const most = Math.max(...counts)
  return most === 0 ? null : units[counts.indexOf(most)]
}

/** What was measured in the unit; NaN where it was not. */
export function amountIn(row: FuelRun['row'], unit: FuelUnit): number {
  return unit === 'l' ? row.fuelLitres : unit === 'kg' ? row.fuelKg : row.energyKwh
}

/**
 * The fuel of every run that has a reading in `unit`, with its errors. A pump run begins and ends with a fill: a level
 * too high at the end reads as fuel used, one too high at the start as fuel saved; runs of one `fill_group` share the
 * fill between them, with opposite signs. Errors of what all runs share (pump, scale, charge meter) have one name.
 * @returns a reading per run, null where there is none
 */
export function readFuel(runs: FuelRun[], unit: FuelUnit, settings: ClaimSettings): (FuelReading | null)[] {
  const before = fillBefore(runs, unit)
  const temperatureK = usualFuelTemperatureK(runs)
  const pump = pumpNames(runs)
  return runs.map((run, i) => {
    const read = amountIn(run.row, unit)
    if (!(read > 0)) return null
    if (unit === 'kg') return weighed(run, read)
    if (unit === 'kWh') return charged(run, read, settings.battery)
    const fuel: LiquidFuel = settings.powertrain === 'diesel' ? 'diesel' : 'petrol'
    const temperature = fuelTemperature(run, fuel, temperatureK)
    return {
      unit,
      read,
      amount: read * temperature.factor,
      at15C: !Number.isNaN(temperatureK),
      errors: [
        ...fillErrors(run, before[i], read, settings),
        ...(run.log ? logMeterErrors(run.log, settings) : [meterError(pump(run), settings)]),
        temperature.error,
        batchError(run, unit),
        ...(run.batteryErrors ?? []),
      ],
    }
  })
}

/** The run whose last fill is each run's first one, within its fill group; null for the first of a chain. */
function fillBefore(runs: FuelRun[], unit: FuelUnit): (FuelRun | null)[] {
  return runs.map((run) => {
    const group = run.row.fillGroup
    if (group === null) return null
    const earlier = runs.filter(
      (r) => r.row.fillGroup === group && amountIn(r.row, unit) > 0 && r.startTime < run.startTime,
    )
    return earlier.reduce<FuelRun | null>((last, r) => (last && last.startTime >= r.startTime ? last : r), null)
  })
}

function fillErrors(run: FuelRun, before: FuelRun | null, litres: number, settings: ClaimSettings): NamedError[] {
  const { log } = run
  const sd = (settings.fillRepeatabilityLitres ?? MEASUREMENT_SD.fillLitres) / (log ? log.whole : litres)
  const first = before ? `fill/after/${drawKey(before)}` : `fill/before/${drawKey(run)}`
  return [
    { source: 'fills', name: log ? `fill/log/${log.openingFill}` : first, sd },
    { source: 'fills', name: log ? `fill/log/${log.closingFill}` : `fill/after/${drawKey(run)}`, sd: -sd },
  ]
}

/** Fills of one group are at one pump; fills without a group are all at the one pump of the campaign. */
function pumpNames(runs: FuelRun[]): (run: FuelRun) => string {
  return ({ row }) => {
    if (row.fillGroup === null) return 'pump'
    const group = runs.filter((r) => r.row.fillGroup === row.fillGroup)
    return `pump/${Math.min(...group.map((r) => r.startTime))}`
  }
}

/** Anywhere within the tolerance with equal probability: by its standard deviation. @source JCGM 100:2008, 4.3.7 */
const meterError = (pump: string, settings: ClaimSettings): NamedError => ({
  source: 'pump_meter',
  name: pump,
  sd: (settings.meterTolerancePct ?? METER_TOLERANCE_PCT) / 100 / Math.sqrt(3),
})

const logMeterErrors = ({ pumps }: LogFuel, settings: ClaimSettings): NamedError[] =>
  pumps.map(({ name, share }) => {
    const error = meterError(`pump/${name}`, settings)
    return { ...error, sd: share * error.sd }
  })

function usualFuelTemperatureK(runs: FuelRun[]): number {
  const known = runs.map(({ row }) => row.fuelTemperatureK).filter(Number.isFinite)
  return known.length === 0 ? Number.NaN : sum(known) / known.length
}

/** The day on which a run began, by the campaign's own clock. */
const dayOf = ({ startTime, utcOffsetS = 0 }: FuelRun): number => Math.floor((startTime + utcOffsetS) / 86_400)

/** A run without a reading of the temperature is taken at the campaign's usual one, with more doubt. */
function fuelTemperature(run: FuelRun, fuel: LiquidFuel, usualK: number): { factor: number; error: NamedError } {
  const { row, startTime } = run
  const wasRead = Number.isFinite(row.fuelTemperatureK)
  const temperatureK = wasRead ? row.fuelTemperatureK : usualK
  const perK = expansionPerK(FUEL_PROPERTIES[fuel].density15KgM3)
  const name = wasRead ? `fuel-temperature/${startTime}` : `fuel-temperature/day-${dayOf(run)}`
  const sdK = wasRead ? MEASUREMENT_SD.fuelTemperatureReadK : MEASUREMENT_SD.fuelTemperatureUnreadK
  return {
    factor: Number.isNaN(temperatureK) ? 1 : volumeCorrectionFactor(fuel, temperatureK),
    error: { source: 'fuel_temperature', name, sd: perK * sdK },
  }
}

/** Drives of one day burn one fuel: what it has more or less of energy is one error to all of them. Electric energy has none. */
export const batchError = (run: FuelRun, unit: 'l' | 'kg'): NamedError => ({
  source: 'fuel_batch',
  name: `fuel-batch/day-${dayOf(run)}`,
  sd: unit === 'l' ? MEASUREMENT_SD.batchEnergyPerLitre : MEASUREMENT_SD.batchEnergyPerKg,
})

function weighed(run: FuelRun, kg: number): FuelReading {
  const sd = (Math.SQRT2 * MEASUREMENT_SD.weighingKg) / kg
  return {
    unit: 'kg',
    read: kg,
    amount: kg,
    at15C: false,
    errors: [
      { source: 'fills', name: `weighing/${drawKey(run)}`, sd },
      { source: 'pump_meter', name: 'scale', sd: MEASUREMENT_SD.scaleRelative },
      batchError(run, 'kg'),
    ],
  }
}

function charged(run: FuelRun, kwh: number, battery: ClaimSettings['battery']): FuelReading {
  if (run.batteryErrors) return { unit: 'kWh', read: kwh, amount: kwh, at15C: false, errors: [...run.batteryErrors] }
  return {
    unit: 'kWh',
    read: kwh,
    amount: kwh,
    at15C: false,
    errors: [
      { source: 'fills', name: `charge/${drawKey(run)}`, sd: chargeRelativeSd(kwh, battery) },
      { source: 'pump_meter', name: 'charge-meter', sd: CHARGE.meterRelativeSd },
    ],
  }
}
