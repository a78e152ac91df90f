import { numeric, type RunQuantity, worded } from './run-quantity.ts'
import { list, words } from './run-tellings.ts'

/** Of all ways to one amount, the one that counts. */
const usedOf = (totals: { used: boolean; amount: number }[] | undefined): number | null =>
  totals?.find(({ used }) => used)?.amount ?? null

/** What the vehicle logged beside the positions. */
export const LOGGED_QUANTITIES: readonly RunQuantity[] = [
  worded(
    'logged.columns',
    'Columns of the log',
    (r) => words(list((r.logged?.columns ?? []).map(({ name }) => name))),
    {
      column: null,
    },
  ),
  numeric('logged.fuel', 'Logged fuel', 'volume', (r) => usedOf(r.logged?.fuel), {
    column: 'logged_fuel_l',
    decimals: 3,
  }),
  numeric('logged.energy', 'Logged energy, kWh', '', (r) => usedOf(r.logged?.energy), {
    column: 'logged_energy_kwh',
    decimals: 3,
  }),
  numeric('logged.charge_start', 'Battery charge at the start, share', '', (r) => r.logged?.charge_start ?? null, {
    column: null,
    decimals: 3,
  }),
  numeric('logged.charge_end', 'Battery charge at the end, share', '', (r) => r.logged?.charge_end ?? null, {
    column: null,
    decimals: 3,
  }),
  numeric('logged.odometer_m', 'Distance by the odometer', 'distance', (r) => r.logged?.odometer_m ?? null, {
    column: 'odometer_m',
    decimals: 1,
  }),
  numeric(
    'logged.ambient_temperature_c',
    'Temperature by the vehicle’s sensor',
    'temperature',
    (r) => r.logged?.ambient_temperature_c ?? null,
    { column: 'vehicle_temperature_c', decimals: 1 },
  ),
]
