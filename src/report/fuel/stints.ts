import { figure, type Sentence } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'
import { type Cell, csvText } from '../csv.ts'

export type ReportStint = Report['stints'][number]

const FUEL_QUANTITY = { l: 'litres', kg: 'kilograms', kWh: 'kilowattHours' } as const

/** What a table of stints shows in terminal, page and Markdown. */
export const STINT_COLUMNS: {
  header: string
  align: 'left' | 'right'
  /** The least important goes first where there is no room. */
  rank: number
  cell: (stint: ReportStint, report: Pick<Report, 'runs'>) => Sentence
}[] = [
  { header: 'stint', align: 'left', rank: 0, cell: ({ id }) => [{ name: id }] },
  { header: 'setup', align: 'left', rank: 0, cell: ({ setup }) => (setup === null ? ['–'] : [{ name: setup }]) },
  { header: 'drives', align: 'left', rank: 1, cell: numbersOf },
  { header: 'length', align: 'right', rank: 2, cell: ({ distance_m }) => [figure(distance_m, 'distance', 1)] },
  { header: 'used per 100 km', align: 'right', rank: 0, cell: (stint) => per100Km(stint, 'per_100_km') },
  { header: 'corrected', align: 'right', rank: 1, cell: (stint) => per100Km(stint, 'adjusted_per_100_km') },
]

/** "3 (no. 5–7)": how many drives, and where they stand in the table of drives. */
function numbersOf({ runs: ids }: ReportStint, { runs }: Pick<Report, 'runs'>): Sentence {
  const numbers = ids.map((id) => runs.findIndex((run) => run.id === id) + 1)
  const follow = numbers.every((n, i) => i === 0 || n === numbers[i - 1] + 1)
  return [
    follow
      ? `${ids.length} (no. ${numbers[0]}–${numbers[numbers.length - 1]})`
      : `${ids.length} (no. ${numbers.join(', ')})`,
  ]
}

function per100Km({ consumption }: ReportStint, key: 'per_100_km' | 'adjusted_per_100_km'): Sentence {
  const value = consumption?.[key] ?? null
  return consumption === null || value === null ? ['–'] : [figure(value, FUEL_QUANTITY[consumption.unit], 2)]
}

/** The text of stints.csv: a row per stint, the names and units of report.json. */
export function stintsCsv({ stints }: Pick<Report, 'stints'>): string {
  const rows = stints.map(({ id, setup, runs, distance_m, consumption }): Cell[] => [
    id,
    setup,
    runs.length,
    distance_m,
    consumption?.unit ?? null,
    consumption?.per_100_km ?? null,
    consumption?.adjusted_per_100_km ?? null,
    runs.join('; '),
  ])
  const header = ['id', 'setup', 'runs', 'distance_m', 'unit', 'per_100_km', 'adjusted_per_100_km', 'run_ids']
  return csvText(header, rows)
}
