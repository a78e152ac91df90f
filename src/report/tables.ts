import type { Report, ReportClaim, ReportPair, ReportRun } from './contract.ts'
import { type Cell, csvRows, csvText } from './csv.ts'
import { RUN_QUANTITIES } from './quantities/run-quantities.ts'
import type { Interval95 } from './words/claims/changes.ts'

type Column<T> = [header: string, cell: (row: T) => Cell]

const list = (items: readonly string[]): string | null => (items.length > 0 ? items.join('; ') : null)

/** A quantity's columns: its own, and that of its standard deviation. */
const RUN_COLUMNS: Column<ReportRun>[] = RUN_QUANTITIES.flatMap(({ column, cell, sd }): Column<ReportRun>[] => {
  if (column === null) return []
  return [[column, cell], ...(sd ? [[`${column}_sd`, sd] as Column<ReportRun>] : [])]
})

const SHARES_OF_PAIR = ['air_density', 'wind', 'rolling_temperature', 'speed', 'route'] as const

/** Three columns, the mean and both ends of the 90 % interval. */
function shareColumns(factor: (typeof SHARES_OF_PAIR)[number]): Column<ReportPair>[] {
  const of = (p: ReportPair) => p.contributions_interval90_pct?.[factor]
  return [
    [`${factor}_pct`, (p) => p.contributions_pct?.[factor] ?? null],
    [`${factor}_pct_low90`, (p) => of(p)?.low90 ?? null],
    [`${factor}_pct_high90`, (p) => of(p)?.high90 ?? null],
  ]
}

const PAIR_COLUMNS: Column<ReportPair>[] = [
  ['a', (p) => p.a],
  ['b', (p) => p.b],
  ['verdict', (p) => p.verdict],
  ['difference_pct', (p) => p.difference_pct?.mean ?? null],
  ['difference_pct_low90', (p) => p.difference_pct?.low90 ?? null],
  ['difference_pct_high90', (p) => p.difference_pct?.high90 ?? null],
  ['fuel_informed_difference_pct', (p) => p.fuel_informed_difference_pct?.mean ?? null],
  ['fuel_informed_difference_pct_low90', (p) => p.fuel_informed_difference_pct?.low90 ?? null],
  ['fuel_informed_difference_pct_high90', (p) => p.fuel_informed_difference_pct?.high90 ?? null],
  ['score', (p) => p.score],
  ['tightest_margin_pct', (p) => p.tightest_margin_pct],
  ...SHARES_OF_PAIR.flatMap(shareColumns),
  ['reason', (p) => p.reason],
  ['remarks', (p) => list(p.remarks)],
]

/** Three columns, estimate and both ends of the 95 % interval. */
function changeColumns<T>(name: string, change: (row: T) => Interval95 | null): Column<T>[] {
  return [
    [name, (row) => change(row)?.estimate ?? null],
    [`${name}_low95`, (row) => change(row)?.low95 ?? null],
    [`${name}_high95`, (row) => change(row)?.high95 ?? null],
  ]
}

const SHARES: [share: string, header: string][] = [
  ['fills', 'share_fills'],
  ['pump_meter', 'share_pump_meter'],
  ['fuel_temperature', 'share_fuel_temperature'],
  ['fuel_batch', 'share_fuel_batch'],
  ['distance', 'share_distance'],
  ['conditions', 'share_conditions'],
  ['repeatability', 'share_repeatability'],
  ['other_readings', 'share_other_readings'],
  ['between_routes', 'share_between_routes'],
]

const CLAIM_COLUMNS: Column<ReportClaim>[] = [
  ['setup', (c) => c.setup],
  ['baseline', (c) => c.baseline],
  ['route', (c) => c.route],
  ['pooled', (c) => c.pooled],
  ['verdict', (c) => c.verdict],
  ['runs', (c) => c.runs.length],
  ['baseline_runs', (c) => c.baseline_runs.length],
  ['unit', (c) => c.measured_per_100_km?.unit ?? null],
  ['measured_per_100_km', (c) => c.measured_per_100_km?.setup ?? null],
  ['baseline_measured_per_100_km', (c) => c.measured_per_100_km?.baseline ?? null],
  ...changeColumns<ReportClaim>('raw_consumption_change_pct', (c) => c.raw_consumption_change_pct),
  ...changeColumns<ReportClaim>('raw_distance_per_fuel_change_pct', (c) => c.raw_distance_per_fuel_change_pct),
  ...changeColumns<ReportClaim>('adjusted_consumption_change_pct', (c) => c.adjusted_consumption_change_pct),
  ...changeColumns<ReportClaim>(
    'adjusted_distance_per_fuel_change_pct',
    (c) => c.adjusted_distance_per_fuel_change_pct,
  ),
  ...changeColumns<ReportClaim>('conditions_change_pct', (c) => c.conditions_change_pct),
  ...changeColumns<ReportClaim>('implied_drag_area_change_pct', (c) => c.implied_drag_area_change_pct),
  ...SHARES.map(([share, header]): Column<ReportClaim> => [header, (c) => c.uncertainty_shares[share] ?? null]),
  ['evidence_agrees', (c) => evidenceAgrees(c)],
  ['reason', (c) => c.reason],
  ['run_ids', (c) => list(c.runs)],
  ['baseline_run_ids', (c) => list(c.baseline_runs)],
  ['left_out', (c) => list(c.left_out.map(({ run, reason }) => `${run} (${reason})`))],
  ['next_step', (c) => c.next_steps[0]?.sentence ?? null],
  ['width_before_pct', (c) => c.next_steps[0]?.width_before_pct ?? null],
  ['width_after_pct', (c) => c.next_steps[0]?.width_after_pct ?? null],
  ['cautions', (c) => list(c.cautions)],
  ['statement', (c) => c.statement],
]

/** null where there is nothing to hold against the fuel. */
function evidenceAgrees({ evidence }: ReportClaim): boolean | null {
  return evidence.find((record) => record.kind === 'consistency')?.agree ?? null
}

type PartRow = {
  part: string
  change: Interval95 | null
  inseparableFrom: readonly string[]
  separatingRun: string | null
}

const PART_COLUMNS: Column<PartRow>[] = [
  ['part', (p) => p.part],
  ...changeColumns<PartRow>('consumption_change_pct', (p) => p.change),
  ['inseparable_from', (p) => list(p.inseparableFrom)],
  ['separating_run', (p) => p.separatingRun],
]

function tableOf<T>(columns: Column<T>[], rows: readonly T[]): string {
  const header = columns.map(([name]) => name)
  return csvText(
    header,
    rows.map((row) => columns.map(([, cell]) => cell(row))),
  )
}

/** The text of runs.csv: a row per run, the names and units of report.json. */
export function runsCsv(report: Report): string {
  return tableOf(RUN_COLUMNS, report.runs)
}

/** Rows of a large table that are made into text at a time. */
const ROWS_AT_A_TIME = 4096

/** The text of pairs.csv, a row per pair, all of them, in pieces: of a thousand runs it is some hundred megabytes long. */
export function* pairsCsv(pairs: Iterable<ReportPair>): Generator<string> {
  yield pairsHeader()
  let some: ReportPair[] = []
  for (const pair of pairs) {
    some.push(pair)
    if (some.length < ROWS_AT_A_TIME) continue
    yield pairRows(some)
    some = []
  }
  yield pairRows(some)
}

/** A sheet of a spreadsheet holds 2^20 rows, one of them the header. @source ECMA-376-1, 18.3.1.73 (from memory) */
const MOST_ROWS_IN_A_SHEET = 2 ** 20 - 1

/** The name of the table of so many pairs: of more than a spreadsheet can open it is compressed. */
export const pairsFileName = (pairs: number): 'pairs.csv' | 'pairs.csv.gz' =>
  pairs > MOST_ROWS_IN_A_SHEET ? 'pairs.csv.gz' : 'pairs.csv'

/** The first line of pairs.csv. */
export const pairsHeader = (): string => tableOf(PAIR_COLUMNS, [])

/** Some rows of pairs.csv. */
export const pairRows = (pairs: readonly ReportPair[]): string =>
  csvRows(pairs.map((pair) => PAIR_COLUMNS.map(([, cell]) => cell(pair))))

/** The text of claims.csv: a row per claim. */
export function claimsCsv({ claims }: Report): string {
  return tableOf(CLAIM_COLUMNS, claims)
}

/** The text of parts.csv: a row per part, and one per group of parts that the runs do not tell apart. */
export function partsCsv({ parts, part_groups }: Report): string {
  return tableOf(PART_COLUMNS, [
    ...parts.map((part) => ({
      part: part.part,
      change: part.consumption_change_pct,
      inseparableFrom: part.inseparable_from,
      separatingRun: null,
    })),
    ...part_groups.map((group) => ({
      part: group.parts.join(' + '),
      change: group.combined_change_pct,
      inseparableFrom: [],
      separatingRun: group.separating_run,
    })),
  ])
}
