import type { Along } from '../report/along-data.ts'
import type { Report, ReportPair } from '../report/contract.ts'
import type { RunPoints } from '../report/points/points.ts'

/** A report, and what is written beside it. */
export interface CampaignResult {
  report: Report
  /**
   * The pairs of pairs.csv, made as they are asked for: every pair, with contributions, where the report tells of every
   * pair; else those of runs on one road.
   */
  allPairs: Iterable<ReportPair>
  /** How many they are. */
  pairCount: number
  /** Of so many runs that the report does not tell of every pair: the pairs one by one; null of fewer. */
  onePair: OnePair | null
  /** The scores of a pair, or of two stints of laps, that has one, at several margins in ascending order, percent. */
  scoresAt: (pair: Pick<ReportPair, 'a' | 'b'>, marginsPct: readonly number[]) => number[] | null
  /** What the page draws along the road and in time. */
  along: Along
  /** Each run's steps with their road and air, made as they are asked for. */
  points: Iterable<RunPoints>
}

/** Pairs of runs by their places among those that are compared. */
export interface OnePair {
  /** The runs' ids, in the order of their places. */
  ids: string[]
  /** For each run all that a pair takes from it. */
  bases: unknown[]
  /** The road of each run: only pairs of drives on one road are listed. */
  roads: number[]
  /** The pair of two runs. */
  between: (a: number, b: number) => ReportPair
}

/** Finds a pair by its runs' ids, in either order; null where a run is not compared or the roads are two. */
export function betweenIds({ ids, roads, between }: OnePair): (a: string, b: string) => ReportPair | null {
  const places = new Map(ids.map((id, place) => [id, place]))
  return (a, b) => {
    const [i, j] = [places.get(a), places.get(b)]
    if (i === undefined || j === undefined || roads[i] !== roads[j]) return null
    return i < j ? between(i, j) : between(j, i)
  }
}
