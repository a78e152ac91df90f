import { atLeast, fixed, signed } from '../../base/figures.ts'
import { figure, type Sentence } from '../../base/sentence.ts'
import type { Report, ReportRun } from '../contract.ts'
import { ends, VERDICT_WORDS } from '../words.ts'

export type StintPair = Report['stint_pairs'][number]

/** A stint, or one of its laps. */
export interface LapRow {
  stint: string
  /** null: the stint itself. */
  lap: ReportRun | null
  laps: ReportRun[]
}

/** The stints, each followed by its laps. */
export function lapRows({ lap_stints, runs }: Pick<Report, 'lap_stints' | 'runs'>): LapRow[] {
  const byId = new Map(runs.map((run) => [run.id, run]))
  return lap_stints.flatMap(({ id, runs: ids }) => {
    const laps = ids.flatMap((lap) => byId.get(lap) ?? [])
    return [{ stint: id, lap: null, laps }, ...laps.map((lap) => ({ stint: id, lap, laps: [lap] }))]
  })
}

/** Mean over the laps by their length; null where one lacks it. */
function meanOf(laps: readonly ReportRun[], value: (run: ReportRun) => number | null): number | null {
  let [total, lengthM] = [0, 0]
  for (const lap of laps) {
    const own = value(lap)
    if (own === null) return null
    total += own * lap.distance_m
    lengthM += lap.distance_m
  }
  return lengthM > 0 ? total / lengthM : null
}

const speedOf = (laps: readonly ReportRun[]): number | null => {
  const movingS = laps.map(({ moving_speed_mps, distance_m }) =>
    moving_speed_mps ? distance_m / moving_speed_mps : Number.NaN,
  )
  const seconds = movingS.reduce((sum, s) => sum + s, 0)
  return seconds > 0 ? laps.reduce((sum, lap) => sum + lap.distance_m, 0) / seconds : null
}

export interface LapColumn<T> {
  header: string
  align: 'left' | 'right'
  /** The least important goes first where there is no room. */
  rank: number
  /** Whether it depends on the margin. */
  byMargin?: true
  cell: (of: T) => Sentence
}

/** What is shown of stints with their laps in terminal, page and Markdown. */
export const LAP_COLUMNS: LapColumn<LapRow>[] = [
  {
    header: 'stint, lap',
    align: 'left',
    rank: 0,
    cell: ({ stint, lap }) => [{ name: lap === null ? stint : lap.id }],
  },
  { header: 'laps', align: 'right', rank: 1, cell: ({ lap, laps }) => [lap === null ? String(laps.length) : ''] },
  {
    header: 'length',
    align: 'right',
    rank: 1,
    cell: ({ laps }) => [
      figure(
        laps.reduce((sum, { distance_m }) => sum + distance_m, 0),
        'distance',
        1,
      ),
    ],
  },
  { header: 'speed while moving', align: 'right', rank: 2, cell: ({ laps }) => [figure(speedOf(laps), 'speed', 0)] },
  {
    header: 'temperature',
    align: 'right',
    rank: 3,
    cell: ({ laps }) => [
      figure(
        meanOf(laps, ({ air }) => air.temperature_c),
        'temperature',
        1,
      ),
    ],
  },
  {
    header: 'air density',
    align: 'right',
    rank: 5,
    cell: ({ laps }) => [
      figure(
        meanOf(laps, ({ air }) => air.density_kgm3),
        'density',
        3,
      ),
    ],
  },
  {
    header: 'wind',
    align: 'right',
    rank: 4,
    cell: ({ laps }) => [
      figure(
        meanOf(laps, ({ wind }) => wind.speed_mps),
        'wind',
        1,
      ),
    ],
  },
  {
    header: 'headwind',
    align: 'right',
    rank: 6,
    cell: ({ laps }) => [
      figure(
        meanOf(laps, ({ wind }) => wind.headwind_mps),
        'wind',
        1,
        { sign: true },
      ),
    ],
  },
  {
    header: 'predicted demand',
    align: 'right',
    rank: 2,
    cell: ({ laps }) => [
      figure(
        meanOf(laps, ({ demand }) => demand.mean_j_per_m),
        'demand',
        1,
      ),
    ],
  },
]

/** "3 ≈, 6 ≠": how the laps of two stints stand to each other; a dash where the report does not tell of their pairs. */
function lapVerdicts({ a, b }: StintPair, { lap_stints, pairs }: Pick<Report, 'lap_stints' | 'pairs'>): string {
  const lapsOf = (stint: string): Set<string> => new Set(lap_stints.find(({ id }) => id === stint)?.runs)
  const [ofA, ofB] = [lapsOf(a), lapsOf(b)]
  const between = pairs.filter((pair) => (ofA.has(pair.a) && ofB.has(pair.b)) || (ofB.has(pair.a) && ofA.has(pair.b)))
  const counts = Object.entries(VERDICT_WORDS).flatMap(([verdict, { sign }]) => {
    const count = between.filter((pair) => pair.verdict === verdict).length
    return count > 0 ? [`${count} ${sign}`] : []
  })
  return counts.length > 0 ? counts.join(', ') : '–'
}

/** What is shown of two stints, with the verdicts of their laps against each other. */
export const stintPairColumns = (report: Pick<Report, 'lap_stints' | 'pairs'>): LapColumn<StintPair>[] => [
  { header: 'stint', align: 'left', rank: 0, cell: ({ b }) => [{ name: b }] },
  { header: 'against', align: 'left', rank: 0, cell: ({ a }) => [{ name: a }] },
  {
    header: 'verdict',
    byMargin: true,
    align: 'left',
    rank: 0,
    cell: ({ verdict }) => [`${VERDICT_WORDS[verdict].sign} ${VERDICT_WORDS[verdict].word}`],
  },
  {
    header: 'difference, %',
    align: 'right',
    rank: 0,
    cell: ({ difference_pct: d }) => [signed(d?.mean ?? null, 1)],
  },
  { header: '90 % interval', align: 'right', rank: 1, cell: ({ difference_pct: d }) => [d ? ends(d) : '–'] },
  { header: 'within margin, %', byMargin: true, align: 'right', rank: 2, cell: ({ score }) => [fixed(score, 0)] },
  {
    header: 'smallest passing margin, %',
    align: 'right',
    rank: 4,
    cell: ({ tightest_margin_pct: margin }) => [atLeast(margin, 1)],
  },
  { header: 'lap against lap', byMargin: true, align: 'left', rank: 3, cell: (pair) => [lapVerdicts(pair, report)] },
]

/** What the tables show, and where they are cut off. */
export const LAPS_MEAN =
  'A stint is held against another as one long drive: what the noise of single laps costs is averaged.'
export const MOST_LAP_ROWS = 80
export const MOST_STINT_PAIRS = 60
