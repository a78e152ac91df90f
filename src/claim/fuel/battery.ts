import { hypotenuse } from '../../base/arithmetic.ts'
import type { BatterySettings } from '../../read/campaign/settings.ts'
import type { FuelRun, NamedError } from '../types.ts'
import { CHARGE, chargeRelativeSd } from './charge.ts'
import { drawKey } from './measure.ts'

/** What is taken of a battery where campaign.yaml does not say. */
export const BATTERY = {
  /** Relative standard deviation of a stated capacity: what is usable is not what is sold. Common practice, no source. */
  capacityRelativeSd: 0.05,
  /** Into the battery over out of the socket, with alternating current. Common practice, no source. */
  chargingEfficiency: { value: 0.88, sd: 0.04 },
  /**
   * Litres of petrol that an engine burns to put a kilowatt hour into the battery, or is spared by one out of it: the
   * Willans factor of 0.0745 l/MJ over 0.80 for generator, inverter and battery, known to 15 %.
   * @source UN GTR 15, Annex 6, Appendix 2 (Willans factors; from memory); the 0.80 and the doubt: common practice, no source
   */
  litresPerKwh: { value: (0.0745 * 3.6) / 0.8, sd: 0.15 * ((0.0745 * 3.6) / 0.8) },
}

/** Readings in whole percent, or finer ones: the step, as a share. */
const stepOf = (...soc: number[]): number =>
  soc.every((value) => Math.abs(100 * value - Math.round(100 * value)) < 1e-6) ? 0.01 : 0.001

/** A reading in steps may be anywhere in its step. @source JCGM 100:2008, 4.3.7 (rectangular distribution) */
const stepSd = (step: number): number => step / Math.sqrt(12)

const relative = ({ value, sd }: { value: number; sd: number }): number => sd / value

/** Whether a row says how full the battery was at both ends. */
export const knowsCharge = ({ row }: FuelRun): boolean =>
  Number.isFinite(row.socBefore) && Number.isFinite(row.socAfter)

const capacitySd = ({ capacityKwh, capacitySdKwh }: BatterySettings): number =>
  (capacitySdKwh ?? BATTERY.capacityRelativeSd * (capacityKwh ?? Number.NaN)) / (capacityKwh ?? Number.NaN)

/**
 * Drives of an electric vehicle without an amount have what left the battery as their energy: the capacity times the
 * change of its charge. Where other drives have energy at the charger's meter, it is brought there by the charging loss.
 */
export function withBatteryEnergy(runs: readonly FuelRun[], battery: BatterySettings): FuelRun[] {
  const { capacityKwh } = battery
  if (capacityKwh === null) return [...runs]
  const atMeter = runs.some(({ row }) => row.energyKwh > 0)
  const efficiency = battery.chargingEfficiency ?? BATTERY.chargingEfficiency
  return runs.map((run) => {
    const { row } = run
    const used = row.socBefore - row.socAfter
    if (row.energyKwh > 0 || row.fuelLitres > 0 || row.fuelKg > 0 || !(used > 0)) return run
    const ends = Math.SQRT2 * stepSd(stepOf(row.socBefore, row.socAfter))
    const batteryErrors: NamedError[] = [
      { source: 'fills', name: `charge-read/${run.startTime}`, sd: ends / used },
      { source: 'pump_meter', name: 'battery-capacity', sd: capacitySd(battery) },
      ...(atMeter ? [{ source: 'pump_meter' as const, name: 'charging-efficiency', sd: relative(efficiency) }] : []),
    ]
    const energyKwh = (capacityKwh * used) / (atMeter ? efficiency.value : 1)
    return { ...run, row: { ...row, energyKwh }, batteryErrors }
  })
}

/**
 * Drives of a hybrid: what the battery gave is what the engine was spared, and what it took was burnt for it. The fuel is
 * brought to a battery that ends as it began. In SAE J1711 a change below 1 % of the fuel's energy needs no correction; here
 * every change is corrected, with its doubt.
 * @source SAE J1711 (net energy change, from memory); UN R101 and UN GTR 15 correct by a measured factor (from memory)
 */
export function withBatteryInFuel(runs: readonly FuelRun[], battery: BatterySettings): FuelRun[] {
  const { capacityKwh } = battery
  if (capacityKwh === null) return [...runs]
  const litres = battery.litresPerKwh ?? BATTERY.litresPerKwh
  return runs.map((run) => {
    const { row } = run
    if (!(row.fuelLitres > 0) || !knowsCharge(run)) return run
    const gave = capacityKwh * (row.socBefore - row.socAfter)
    const fuelLitres = row.fuelLitres + gave * litres.value
    if (!(fuelLitres > 0)) return run
    const ends = capacityKwh * Math.SQRT2 * stepSd(stepOf(row.socBefore, row.socAfter)) * litres.value
    const own = gave / fuelLitres
    const doubt = hypotenuse(relative(litres), capacitySd(battery)) * litres.value
    const batteryErrors: NamedError[] = [
      { source: 'fills', name: `charge-read/${run.startTime}`, sd: ends / fuelLitres },
      { source: 'fills', name: 'battery-to-fuel', sd: own * doubt },
    ]
    return { ...run, row: { ...row, fuelLitres }, batteryErrors }
  })
}

/**
 * Drives of a plug-in hybrid with fuel and electricity: the electricity counts as the fuel that a kilowatt hour in the
 * battery stands for, with its doubt. `energyKwh` is at the charger's meter, and stands over states of charge.
 */
export function withElectricityInFuel(runs: readonly FuelRun[], battery: BatterySettings): FuelRun[] {
  const litres = battery.litresPerKwh ?? BATTERY.litresPerKwh
  const efficiency = battery.chargingEfficiency ?? BATTERY.chargingEfficiency
  return runs.map((run) => {
    const { row, log } = run
    const byBattery = row.energyKwh * efficiency.value * litres.value
    const fuelLitres = row.fuelLitres + byBattery
    if (!(row.fuelLitres > 0) || !(fuelLitres > 0)) return run
    const part = byBattery / fuelLitres
    const batteryErrors: NamedError[] = [
      ...(run.batteryErrors ?? []),
      { source: 'fills', name: 'battery-to-fuel', sd: part * relative(litres) },
      { source: 'pump_meter', name: 'charging-efficiency', sd: part * relative(efficiency) },
      { source: 'fills', name: `charge/${drawKey(run)}`, sd: part * chargeRelativeSd(row.energyKwh, battery) },
    ]
    return {
      ...run,
      row: { ...row, fuelLitres, energyKwh: Number.NaN, socBefore: Number.NaN, socAfter: Number.NaN },
      batteryErrors,
      ...(log && { log: { ...log, whole: (log.whole * fuelLitres) / row.fuelLitres } }),
    }
  })
}

/** Nobody read it: anything from empty to full. @source JCGM 100:2008, 4.3.7 (rectangular distribution) */
const ANY_CHARGE_SD = 1 / Math.sqrt(12)

/**
 * Electricity that went into the driving between two fills of fuel, kWh at the charger's meter: what was charged, and what
 * the battery had more at the first fill than at the second. Where nobody read that, it is the errors' part.
 * @param span states of charge at its fills, 0 to 1 or NaN
 * @param largestKwh the largest charge, which stands for a capacity that is not stated (common practice, no source)
 */
export function electricityBetweenFills(
  span: {
    litres: number
    chargedKwh: number
    openingSoc: number
    closingSoc: number
    openingName: string
    closingName: string
  },
  largestKwh: number,
  battery: BatterySettings,
): { energyKwh: number; errors: NamedError[] } {
  const { litres: filled, chargedKwh, openingSoc, closingSoc, openingName, closingName } = span
  const litres = (battery.litresPerKwh ?? BATTERY.litresPerKwh).value
  const efficiency = (battery.chargingEfficiency ?? BATTERY.chargingEfficiency).value
  const capacityKwh = battery.capacityKwh ?? largestKwh * efficiency
  const gaveKwh = battery.capacityKwh === null ? 0 : capacityKwh * (openingSoc - closingSoc)
  const energyKwh = chargedKwh + (Number.isFinite(gaveKwh) ? gaveKwh / efficiency : 0)
  const isRead = battery.capacityKwh !== null && Number.isFinite(gaveKwh)
  const perShare = (capacityKwh * litres) / (filled + energyKwh * efficiency * litres)
  const sdAt = (soc: number): number => perShare * (isRead ? stepSd(stepOf(soc)) : ANY_CHARGE_SD)
  return {
    energyKwh,
    errors: [
      { source: 'fills', name: `charge-at/${openingName}`, sd: sdAt(openingSoc) },
      { source: 'fills', name: `charge-at/${closingName}`, sd: -sdAt(closingSoc) },
    ],
  }
}

/** Errors of the energy between two charges of which the state of charge was read. */
export function chargeErrors(
  span: { amount: number; openingSoc: number; closingSoc: number; openingName: string; closingName: string },
  battery: BatterySettings,
): NamedError[] {
  const { amount, openingSoc, closingSoc, openingName, closingName } = span
  const efficiency = (battery.chargingEfficiency ?? BATTERY.chargingEfficiency).value
  const perShare = (battery.capacityKwh ?? 0) / efficiency / amount
  const read = (soc: number): number => perShare * stepSd(stepOf(soc))
  return [
    { source: 'fills', name: `charge/log/${openingName}`, sd: read(openingSoc) },
    { source: 'fills', name: `charge/log/${closingName}`, sd: -read(closingSoc) },
    { source: 'pump_meter', name: 'battery-capacity', sd: (openingSoc - closingSoc) * perShare * capacitySd(battery) },
    { source: 'fills', name: `charge/${closingName}`, sd: chargeRelativeSd(amount, battery) },
    { source: 'pump_meter', name: 'charge-meter', sd: CHARGE.meterRelativeSd },
  ]
}
