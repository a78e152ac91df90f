import type { BatterySettings } from '../../read/campaign/settings.ts'

/** Of a charge, where nobody states any; common practice, no source. */
export const CHARGE = {
  /** From charge to charge: the battery's level and the charging losses. */
  relativeSd: 0.01,
  /** One charge meter for the whole campaign. */
  meterRelativeSd: 0.01,
}

/** Relative standard deviation of one charge: as stated in kilowatt hours, or the usual share. */
export const chargeRelativeSd = (kwh: number, battery?: BatterySettings): number =>
  battery?.chargeSdKwh == null ? CHARGE.relativeSd : battery.chargeSdKwh / kwh
