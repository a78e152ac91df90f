import type { Problem } from '../../base/problem.ts'
import { BATTERY, withElectricityInFuel } from '../../claim/fuel/battery.ts'
import type { FuelRun } from '../../claim/types.ts'
import type { Campaign } from '../../read/campaign/settings.ts'
import { placeOfRow } from '../../read/runs/rows.ts'

/** The runs of a plug-in hybrid with their electricity in the fuel, which is told. */
export function plugInTold(runs: FuelRun[], { battery, vehicle }: Campaign): { runs: FuelRun[]; problems: Problem[] } {
  // Of any other vehicle that is stated fuel and electricity in one row contradict it.
  if (vehicle.powertrain !== null && vehicle.powertrain !== 'hybrid') return { runs, problems: [] }
  const filled = withElectricityInFuel(runs, battery)
  const changed = runs.filter((run, i) => filled[i] !== run)
  if (changed.length === 0) return { runs, problems: [] }
  const litres = (battery.litresPerKwh ?? BATTERY.litresPerKwh).value
  const efficiency = (battery.chargingEfficiency ?? BATTERY.chargingEfficiency).value
  const message = `${changed.length} ${changed.length === 1 ? 'drive has' : 'drives have'} fuel and electricity: taken for those of a plug-in hybrid. A kilowatt hour at the charger's meter counts as ${(efficiency * litres).toFixed(3)} l of fuel (${litres.toFixed(3)} l for one in the battery, of which ${efficiency} arrives there)`
  const hint =
    'State charging_efficiency and fuel_l_per_battery_kwh under vehicle: in campaign.yaml where they are known.'
  return {
    runs: filled,
    problems: [{ code: 'electricity-in-fuel', severity: 'note', message, hint, ...placeOfRow(changed[0].row) }],
  }
}
