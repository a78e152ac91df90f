import { hypotenuse } from '../../base/arithmetic.ts'
import { finiteOrNull } from '../../base/figures.ts'
import { celsiusFromKelvin } from '../../base/units.ts'
import { FUEL_PROPERTIES } from '../../claim/fuel/volume.ts'
import type { Powertrain } from '../../read/campaign/settings.ts'
import type { ReportRun } from '../../report/contract.ts'
import type { LoggedOfDrive, LoggedTotal, LoggedWay } from '../../track/logged.ts'

export type LoggedRun = NonNullable<ReportRun['logged']>
type Told = LoggedRun['fuel'][number]

/** A total with less of the drive in it is no measure of the whole: a fifth of a drive's fuel may go into a twentieth of it. */
export const LEAST_COVERED = 0.95

/**
 * Mass of air to mass of petrol: 14.6 of petrol without alcohol, 14.1 with a tenth of ethanol; and how far engines stray
 * from it when cold, in overrun and at full load. The spread is common practice, no source.
 * @source Heywood, "Internal Combustion Engine Fundamentals", 1988, table D.4 (gasoline 14.6), from memory
 */
const AIR_PER_PETROL = { value: 14.4, relativeSd: 0.04 }

/** The ways to one amount, the most direct first. */
const FUEL_WAYS: readonly LoggedWay[] = ['fuel-rate', 'fuel-mass-rate', 'fuel-total', 'air-flow']
const ENERGY_WAYS: readonly LoggedWay[] = ['voltage-and-current', 'power', 'energy-total']

/** `batteryVoltageV` as `battery_voltage_v`. */
const snakeCase = (name: string): string => name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)

/** What a drive's log says, in litres and kilowatt hours. */
export function loggedRun(logged: LoggedOfDrive | null, kind: Powertrain): LoggedRun | null {
  if (!logged) return null
  const fuel = inOrder(logged.totals, FUEL_WAYS, (total) => inLitres(total, kind))
  const energy = inOrder(logged.totals, ENERGY_WAYS, ({ unit }) => ({
    factor: unit === 'Wh' ? 1e-3 : 0,
    relativeSd: 0,
  }))
  // Beside an engine the battery's energy is a part of what the drive took.
  const isWhole = kind === 'electric' || fuel.length === 0
  return {
    columns: logged.quantities.map(({ quantity, name }) => ({ quantity: snakeCase(quantity), name })),
    fuel,
    energy: isWhole ? energy : energy.map((total) => ({ ...total, used: false })),
    charge_start: finiteOrNull(logged.chargeStart),
    charge_end: finiteOrNull(logged.chargeEnd),
    odometer_m: finiteOrNull(logged.odometerM),
    ambient_temperature_c: finiteOrNull(celsiusFromKelvin(logged.ambientTemperatureK)),
  }
}

/** The amount that counts as evidence: of the most direct way that covers the drive. NaN where there is none. */
export const usedAmount = (totals: readonly Told[] | undefined): number =>
  totals?.find(({ used }) => used)?.amount ?? Number.NaN

function inOrder(
  totals: LoggedTotal[],
  ways: readonly LoggedWay[],
  conversion: (total: LoggedTotal) => { factor: number; relativeSd: number } | null,
): Told[] {
  let isUsed = false
  return ways.flatMap((way) => {
    const total = totals.find(({ by }) => by === way)
    const into = total && conversion(total)
    if (!total || !into || !Number.isFinite(total.amount)) return []
    const amount = total.amount * into.factor
    const used = !isUsed && amount > 0 && total.coveredShare >= LEAST_COVERED && total.resets === 0
    isUsed ||= used
    return [
      {
        by: way,
        columns: total.names,
        unit: total.unit === 'Wh' ? ('kWh' as const) : ('l' as const),
        amount,
        sd: hypotenuse(total.sd * into.factor, amount * into.relativeSd),
        regained: way === 'voltage-and-current' || way === 'power' ? total.regained * into.factor : null,
        covered_share: total.coveredShare,
        used,
      },
    ]
  })
}

/** Litres a unit of a total, at 15 °C where it is a mass; null where nobody can say: a diesel's air is no measure of its fuel. */
function inLitres({ unit }: LoggedTotal, kind: Powertrain): { factor: number; relativeSd: number } | null {
  if (unit === 'l') return { factor: 1, relativeSd: 0 }
  if (kind === 'electric') return null
  const { density15KgM3, densityHalfWidthKgM3 } = FUEL_PROPERTIES[kind === 'diesel' ? 'diesel' : 'petrol']
  const densitySd = densityHalfWidthKgM3 / Math.sqrt(3) / density15KgM3
  if (unit === 'kg') return { factor: 1000 / density15KgM3, relativeSd: densitySd }
  if (unit !== 'kg of air' || kind === 'diesel') return null
  return {
    factor: 1000 / density15KgM3 / AIR_PER_PETROL.value,
    relativeSd: hypotenuse(densitySd, AIR_PER_PETROL.relativeSd),
  }
}
