import type { Report, ReportRun } from '../../contract.ts'
import { clockTime } from '../../words/drives/recordings.ts'

/** Drives of one setup on one day, or on days next to each other; of very many setups, of several of these. */
export interface DriveBlock {
  setups: (string | null)[]
  firstDay: string
  lastDay: string
  runs: ReportRun[]
}

/** The day on which a drive began, on the clock of the report's zone. */
export const dayOf = ({ start_time }: Pick<ReportRun, 'start_time'>, { settings }: Pick<Report, 'settings'>): string =>
  clockTime(start_time, settings.time_zone, 'yyyy-MM-dd')

/** The drives in the order of the matrix: the baseline's first, then by setup, each in the order of time. */
export function inSetupOrder({ runs, settings }: Report): ReportRun[] {
  const setups = [...new Set(runs.map(({ setup }) => setup))]
  const rank = new Map(setups.map((setup, i) => [setup, setup !== null && setup === settings.baseline ? -1 : i]))
  return runs.toSorted(
    (a, b) =>
      (rank.get(a.setup) ?? 0) - (rank.get(b.setup) ?? 0) || Date.parse(a.start_time) - Date.parse(b.start_time),
  )
}

/** The drives of a report in so many blocks at most: by setup and day; neighbouring days go together, the smallest first. */
export function driveBlocks(report: Report, most: number): DriveBlock[] {
  const blocks: DriveBlock[] = []
  for (const run of inSetupOrder(report)) {
    const last = blocks.at(-1)
    const day = dayOf(run, report)
    if (last && last.setups[0] === run.setup && last.lastDay === day) last.runs.push(run)
    else blocks.push({ setups: [run.setup], firstDay: day, lastDay: day, runs: [run] })
  }
  while (blocks.length > most) {
    const at = smallestNeighbours(blocks)
    blocks.splice(at, 2, together(blocks[at], blocks[at + 1]))
  }
  return blocks
}

/** The place of the first of the two neighbours with the fewest drives, of one setup where there are such. */
function smallestNeighbours(blocks: readonly DriveBlock[]): number {
  const places = blocks.slice(1).map((_, i) => i)
  const alike = places.filter((i) => String(blocks[i].setups) === String(blocks[i + 1].setups))
  const size = (i: number): number => blocks[i].runs.length + blocks[i + 1].runs.length
  return (alike.length > 0 ? alike : places).reduce((best, i) => (size(i) < size(best) ? i : best))
}

function together(a: DriveBlock, b: DriveBlock): DriveBlock {
  const days = [a.firstDay, a.lastDay, b.firstDay, b.lastDay].sort()
  return {
    setups: [...new Set([...a.setups, ...b.setups])],
    firstDay: days[0],
    lastDay: days[3],
    runs: [...a.runs, ...b.runs],
  }
}

/** So many of a block's drives, evenly chosen. */
export const evenly = <T>(items: readonly T[], count: number): T[] =>
  items.length <= count
    ? [...items]
    : Array.from({ length: count }, (_, i) => items[Math.floor((i * items.length) / count)])
