import type { Report, ReportClaim } from '../contract.ts'

/** What a vehicle is said to use: energy where it is counted in kilowatt-hours, fuel elsewhere. */
export type Used = 'fuel' | 'energy'

/** What a claim is about. */
export const usedInClaim = ({
  measured_per_100_km: measured,
  measured_by: ways,
}: Pick<ReportClaim, 'measured_per_100_km' | 'measured_by'>): Used =>
  measured?.unit === 'kWh' || ways.includes('kWh') || ways.includes('logged energy') ? 'energy' : 'fuel'

/** What a report is about: by what was measured, and before anything was, by the vehicle's powertrain. */
export function usedIn({ runs, stints, consumption, settings }: Report): Used {
  const measured = [...runs, ...stints].flatMap((one) => one.consumption?.unit ?? [])
  const units = [...measured, ...consumption.map(({ unit }) => unit)]
  if (units.length > 0) return units.every((unit) => unit === 'kWh') ? 'energy' : 'fuel'
  return settings.powertrain === 'electric' || settings.powertrain === 'human' ? 'energy' : 'fuel'
}
