import { fixed } from '../../../base/figures.ts'
import { figure, joined, listing, name, percentSize, type Sentence, say } from '../../../base/sentence.ts'
import type { ReportRun } from '../../contract.ts'

export type LoggedRecord = NonNullable<ReportRun['logged']>
type Total = LoggedRecord['fuel'][number]

/** The drives whose loggers wrote something beside the positions. */
export const loggedDrives = (runs: readonly ReportRun[]): (ReportRun & { logged: LoggedRecord })[] =>
  runs.flatMap((run) => (run.logged === null ? [] : [{ ...run, logged: run.logged }]))

const WAY_WORDS: Record<Total['by'], string> = {
  'fuel-rate': 'by the fuel rate',
  'fuel-mass-rate': 'by the fuel rate in mass',
  'air-flow': 'by the air flow',
  'fuel-total': 'by the running total',
  'voltage-and-current': 'by voltage and current',
  power: 'by the power',
  'energy-total': 'by the running total',
}

/** What was logged over a drive, a sentence for each amount. */
export function loggedWords({ logged, distance_m }: ReportRun & { logged: LoggedRecord }): Sentence[] {
  const { fuel, energy, charge_start, charge_end, odometer_m, ambient_temperature_c } = logged
  return [
    ...[...fuel, ...energy].map((total) => totalWords(total, distance_m)),
    ...(charge_start === null || charge_end === null
      ? []
      : [
          [
            `Battery from ${percentTenths(charge_start)} to ${percentTenths(charge_end)} of its charge: ${percentTenths(charge_start - charge_end)} used.`,
          ],
        ]),
    ...(odometer_m === null
      ? []
      : [say`Odometer ${figure(odometer_m, 'distance', 1)}, track ${figure(distance_m, 'distance', 1)}.`]),
    ...(ambient_temperature_c === null
      ? []
      : [say`Outside by the vehicle's sensor ${figure(ambient_temperature_c, 'temperature', 1)}.`]),
    say`Columns: ${listing(logged.columns.map((column) => [name(column.name)]))}.`,
  ]
}

const percentTenths = (share: number): string => `${fixed(100 * share, 1)} %`

function totalWords(total: Total, distanceM: number): Sentence {
  const { by, amount, sd, unit, regained, covered_share, used } = total
  const decimals = Math.abs(amount) < 1 ? 3 : 2
  const per100Km = (amount / distanceM) * 1e5
  return joined([
    `${unit === 'l' ? 'Fuel' : 'Energy'} ${WAY_WORDS[by]}: ${fixed(amount, decimals)} ± ${fixed(sd, decimals)} ${unit}, `,
    figure(per100Km, unit === 'l' ? 'litres' : 'kilowattHours', 2),
    regained === null || !(regained > 0) ? null : `; ${fixed(regained, decimals)} ${unit} came back`,
    covered_share >= 0.9995 ? null : `; ${percentSize(100 * covered_share)} of the time was recorded`,
    used ? '.' : '; not counted.',
  ])
}
