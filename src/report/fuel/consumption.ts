import { figure, name, type Sentence, say } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'
import { type Cell, csvText } from '../csv.ts'
import { plural } from '../words.ts'

export type ReportSpan = Report['consumption'][number]

const PER_100_KM = { l: 'litres', kg: 'kilograms', kWh: 'kilowattHours' } as const

interface ConsumptionColumn {
  header: string
  align: 'left' | 'right'
  /** The least important goes first where there is no room. */
  rank: number
  cell: (span: ReportSpan) => Sentence
}

type Log = Pick<Report, 'consumption'>

const isCharged = ({ consumption }: Log): boolean => consumption.every(({ unit }) => unit === 'kWh')

/** The heading of the log, and what it tells. */
export const logWords = (report: Log): { heading: string; tells: string } =>
  isCharged(report)
    ? { heading: 'Charging log', tells: 'What was used from full charge to full charge by the charging log' }
    : { heading: 'Fuel log', tells: 'What was used from full fill to full fill by the fuel log' }

/** What a table of the fuel log shows, from full fill to full fill, in terminal, page and Markdown. */
export function consumptionColumns(report: Log & Pick<Report, 'runs'>): ConsumptionColumn[] {
  const columns: ConsumptionColumn[] = [
    {
      header: isCharged(report) ? 'charged' : 'filled',
      align: 'left',
      rank: 0,
      cell: ({ to_time }) => [to_time.slice(0, 10)],
    },
    ...COLUMNS,
  ]
  if (report.runs.length > 0) columns.push({ header: 'held against', align: 'left', rank: 1, cell: useOf })
  return columns
}

const COLUMNS: ConsumptionColumn[] = [
  { header: 'setup', align: 'left', rank: 0, cell: ({ setup }) => (setup === null ? ['–'] : [{ name: setup }]) },
  { header: 'amount', align: 'right', rank: 2, cell: amountOf },
  {
    header: 'distance',
    align: 'right',
    rank: 1,
    cell: ({ odometer_distance_m: m }) => (m === null ? ['–'] : [figure(m, 'distance', 0)]),
  },
  { header: 'used per 100 km', align: 'right', rank: 0, cell: per100Km },
  { header: 'air', align: 'right', rank: 3, cell: airOf },
]

function amountOf({ amount, unit }: ReportSpan): Sentence {
  if (unit === 'l') return [figure(amount, 'volume', 2)]
  return [`${amount.toFixed(2)} ${unit}`]
}

function per100Km({ per_100_km, unit }: ReportSpan): Sentence {
  return per_100_km === null ? ['–'] : [figure(per_100_km, PER_100_KM[unit], 2)]
}

function airOf({ weather }: ReportSpan): Sentence {
  if (weather === null || weather.temperature_c === null) return ['–']
  return [figure(weather.temperature_c, 'temperature', 0)]
}

/** "2 drives, 71 % of it", or why it is not held against any. */
function useOf({ runs, share, reason }: ReportSpan): Sentence {
  if (share === null) return reason === null ? ['–'] : [name(reason)]
  const part = share < 0.995 ? `, ${(100 * share).toFixed(0)} % of it` : null
  return say`${runs.length === 1 ? name(runs[0]) : plural(runs.length, 'drive')}${part}`
}

/** The text of consumption.csv: a row from full fill to full fill, the names and units of report.json. */
export function consumptionCsv({ consumption }: Pick<Report, 'consumption'>): string {
  const header = [
    'id',
    'from_time',
    'to_time',
    'setup',
    'unit',
    'amount',
    'odometer_distance_m',
    'per_100_km',
    'share',
    'run_ids',
    'reason_code',
    'temperature_c',
    'wind_speed_mps',
    'precipitation_mm',
  ]
  const rows = consumption.map((span): Cell[] => [
    span.id,
    span.from_time,
    span.to_time,
    span.setup,
    span.unit,
    span.amount,
    span.odometer_distance_m,
    span.per_100_km,
    span.share,
    span.runs.join('; '),
    span.reason_code,
    span.weather?.temperature_c ?? null,
    span.weather?.wind_speed_mps ?? null,
    span.weather?.precipitation_mm ?? null,
  ])
  return csvText(header, rows)
}
