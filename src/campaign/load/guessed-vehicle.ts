import type { Problem } from '../../base/problem.ts'
import { median, sum } from '../../base/statistics.ts'
import { FUEL_PROPERTIES } from '../../claim/fuel/volume.ts'
import type { ClassEvidence } from '../../demand/class-evidence.ts'
import { isUnstated, powertrainOf } from '../../demand/vehicle.ts'
import type { Powertrain, VehicleSettings } from '../../read/campaign/settings.ts'
import type { RunRow } from '../../read/runs/rows.ts'
import type { MannerKind } from '../../track/manner.ts'
import type { Run } from './runs.ts'

/** A vehicle that takes less than this is no car, kWh/100 km: electric cars take 10 to 25, bicycles 0.5 to 2. Common practice, no source. */
const LIGHT_BELOW_KWH_PER_100_KM = 3

interface DrivesOfRow {
  row: RunRow | null
  distanceM: number
}

/**
 * The vehicle as its drives tell where nothing is stated of it: one that takes as little energy as no car does, or whose
 * drives move like those of a bicycle, is taken for a light one whose class is drawn.
 * @param kind what most drives move like; null: nothing out of the ordinary
 */
export function guessedVehicle(
  settings: VehicleSettings,
  drives: readonly DrivesOfRow[],
  kind: MannerKind | null,
  campaignFile: string | null,
): { vehicle: VehicleSettings; problems: Problem[] } {
  if (!isUnstated(settings)) return { vehicle: settings, problems: [] }
  const { powertrain } = settings
  const told = (found: string): Problem[] => [
    {
      code: 'vehicle-guessed',
      severity: 'warning',
      ...(campaignFile ? { file: campaignFile } : {}),
      message: `nothing is stated of the vehicle, and ${found}: it is taken for a light vehicle of an unknown class`,
      hint: 'State the class under vehicle: in campaign.yaml, such as electric_bicycle, velomobile or solar_car, or car if it is one: intervals become narrower.',
    },
  ]
  const per100Km = energyPer100Km(drives)
  if (per100Km < LIGHT_BELOW_KWH_PER_100_KM && (powertrain ?? 'electric') === 'electric') {
    const found = `its drives take ${per100Km.toFixed(1)} kWh/100 km, which is no car's`
    return { vehicle: { ...settings, class: 'electric_bicycle', isClassGuessed: true }, problems: told(found) }
  }
  if (kind === 'bicycle' && Number.isNaN(per100Km) && powertrain === null && !drives.some(hasFuel)) {
    const found = 'most drives move like a bicycle'
    return { vehicle: { ...settings, class: 'bicycle', isClassGuessed: true }, problems: told(found) }
  }
  return { vehicle: settings, problems: [] }
}

const hasFuel = ({ row }: DrivesOfRow): boolean => row !== null && (row.fuelLitres > 0 || row.fuelKg > 0)

/** Of the drives with energy the middle one; NaN where there is none, or fuel as well. */
function energyPer100Km(drives: readonly DrivesOfRow[]): number {
  if (drives.some(hasFuel)) return Number.NaN
  const all = drives.flatMap(({ row, distanceM }) =>
    row && row.energyKwh > 0 && distanceM > 0 ? [(1e5 * row.energyKwh) / distanceM] : [],
  )
  return all.length === 0 ? Number.NaN : median(all)
}

/** Each row of the table with the distance of all its drives. */
export function drivesOfRows(
  runs: readonly { id: string; row: RunRow | null; summary: { distanceM: number } }[],
  stints: readonly { row: RunRow; runs: readonly string[] }[],
): DrivesOfRow[] {
  const lengths = new Map(runs.map(({ id, summary }) => [id, summary.distanceM]))
  return [
    ...runs.map(({ row, summary }) => ({ row, distanceM: summary.distanceM })),
    ...stints.map(({ row, runs: laps }) => ({ row, distanceM: sum(laps.map((id) => lengths.get(id) ?? Number.NaN)) })),
  ]
}

/** Coarser and noisier recordings, and shorter drives, do not show how a vehicle pulls away. */
const SOUND = { mostIntervalS: 3, mostNoiseM: 3, leastM: 3000 }

/** What the drives and their fuel show of the vehicle's class; NaN where they do not. */
export function classEvidence(
  settings: VehicleSettings,
  runs: readonly Pick<Run, 'drive' | 'summary'>[],
  drives: readonly DrivesOfRow[],
): ClassEvidence {
  const manners = runs.filter(isSound).map(({ drive }) => drive.manner)
  const powertrain = powertrainOf(settings)
  const used = drives.map((one) => usedJPerM(one, powertrain)).filter((one) => one > 0)
  const middle = (values: number[]): number => (values.length === 0 ? Number.NaN : median(values))
  return {
    topMps: middle(manners.map(({ topMps }) => topMps)),
    pullMps2: middle(manners.map(({ pullMps2 }) => pullMps2)),
    usualMps: middle(runs.map(({ drive }) => drive.manner.usualMps).filter(Number.isFinite)),
    usedJPerM: middle(used),
    powertrain,
  }
}

const isSound = ({ drive, summary }: Pick<Run, 'drive' | 'summary'>): boolean =>
  drive.medianFixIntervalS <= SOUND.mostIntervalS &&
  drive.positionNoiseM <= SOUND.mostNoiseM &&
  summary.distanceM >= SOUND.leastM

/** Heat of the fuel on a metre, or the electricity of a vehicle that takes no fuel; NaN where neither is written down. */
function usedJPerM({ row, distanceM }: DrivesOfRow, powertrain: Powertrain): number {
  if (row === null || !(distanceM > 0)) return Number.NaN
  if (powertrain === 'electric') return (3.6e6 * row.energyKwh) / distanceM
  const { energyJPerLitre, density15KgM3 } = FUEL_PROPERTIES[powertrain === 'diesel' ? 'diesel' : 'petrol']
  const litres = row.fuelLitres > 0 ? row.fuelLitres : (1000 * row.fuelKg) / density15KgM3
  const litresPerM = litres > 0 ? litres / distanceM : row.consumptionLitresPer100Km / 1e5
  return energyJPerLitre * litresPerM
}
