import { isEstimable, linearModel, unit, varianceOf } from '../../base/least-squares.ts'
import { designRow, type PartDesign } from './part-design.ts'

/** A run that was not made yet. */
export interface CandidateRun {
  route: number
  /** Parts to fit; none for the bare vehicle. */
  parts: string[]
  /** The setup with just these parts, where campaign.yaml defines one. */
  setup: string | null
  /** Parts whose effect would be told and was not before. */
  tells: string[]
  /**
   * Standard deviation of the least well known of the effects in question, percent, with this run and without it; null
   * where it is not told without. As if the runs' errors were independent.
   */
  sdBeforePct: number | null
  sdAfterPct: number
}

/** Beyond so many parts in one group not every combination of them is tried. */
const MOST_PARTS_TRIED = 8

/**
 * The one more run that tells the effects of the most parts of an inseparable group, and of such runs the one that tells
 * them best, is nearest to a setup driven and has the fewest parts.
 * @returns null where no single run tells any of them
 */
export function separatingRun(
  design: PartDesign,
  group: readonly string[],
  setups: Record<string, string[]>,
): CandidateRun | null {
  const changes = group.length <= MOST_PARTS_TRIED ? subsets(group) : [[], ...group.map((part) => [part])]
  const candidates = design.cells.flatMap(({ route, parts }) =>
    changes.map((fitted) => ({ route, parts: [...parts.filter((part) => !group.includes(part)), ...fitted].sort() })),
  )
  const judged = judge(design, candidates, group).filter(({ told }) => told.length > 0)
  return best(design, judged, group, setups)
}

/**
 * The one more run that lowers the variance of the least well known part most, of all setups driven, those one part away
 * from them, and single parts.
 * @returns null where no part is told
 */
export function steadyingRun(design: PartDesign, setups: Record<string, string[]>): CandidateRun | null {
  const told = design.parts.filter((part) => isEstimable(design.model, columnOf(design, part)))
  if (told.length === 0) return null
  const candidates = design.cells.flatMap(({ route, parts }) => [
    { route, parts },
    ...design.parts.flatMap((part) => [
      { route, parts: [part] },
      { route, parts: parts.includes(part) ? parts.filter((p) => p !== part) : [...parts, part].sort() },
    ]),
  ])
  return best(design, judge(design, candidates, told), told, setups)
}

interface Candidate {
  route: number
  parts: string[]
}

interface Judged extends Candidate {
  /** Of the parts in question, those whose effect is told with the run. */
  told: string[]
  worstVariance: number
  /** How many parts differ from the nearest setup driven. */
  changes: number
}

function judge(design: PartDesign, candidates: readonly Candidate[], inQuestion: readonly string[]): Judged[] {
  const { routes, parts, cells, runWeight } = design
  const rows = cells.map((cell) => designRow(routes, parts, cell))
  const weights = cells.map(({ weight }) => weight)
  const distinct = new Map(
    candidates.map((candidate) => [JSON.stringify([candidate.route, candidate.parts]), candidate]),
  )
  return [...distinct.values()].map((candidate) => {
    const model = linearModel([...rows, designRow(routes, parts, candidate)], [...weights, runWeight])
    const told = inQuestion.filter((part) => isEstimable(model, columnOf(design, part)))
    const worstVariance = Math.max(...told.map((part) => varianceOf(model, columnOf(design, part))))
    const changes = Math.min(...cells.map((cell) => difference(cell.parts, candidate.parts)))
    return { ...candidate, told, worstVariance, changes }
  })
}

function best(
  design: PartDesign,
  judged: readonly Judged[],
  inQuestion: readonly string[],
  setups: Record<string, string[]>,
): CandidateRun | null {
  const chosen = judged.toSorted(
    (a, b) =>
      b.told.length - a.told.length ||
      // Variances that differ by rounding alone are alike.
      (Math.abs(a.worstVariance / b.worstVariance - 1) > 1e-9 ? a.worstVariance - b.worstVariance : 0) ||
      a.changes - b.changes ||
      a.parts.length - b.parts.length ||
      a.route - b.route ||
      (a.parts.join('\n') < b.parts.join('\n') ? -1 : 1),
  )[0]
  if (chosen === undefined) return null
  const before = Math.max(...inQuestion.map((part) => varianceOf(design.model, columnOf(design, part))))
  return {
    route: chosen.route,
    parts: chosen.parts,
    setup: Object.keys(setups).find((name) => difference(setups[name], chosen.parts) === 0) ?? null,
    tells: chosen.told.filter((part) => !isEstimable(design.model, columnOf(design, part))),
    sdBeforePct: Number.isFinite(before) ? 100 * Math.sqrt(before) : null,
    sdAfterPct: 100 * Math.sqrt(chosen.worstVariance),
  }
}

function columnOf({ routes, parts, model }: PartDesign, part: string): Float64Array {
  return unit(model.columnCount, routes.length + parts.indexOf(part))
}

function difference(a: readonly string[], b: readonly string[]): number {
  return a.filter((part) => !b.includes(part)).length + b.filter((part) => !a.includes(part)).length
}

function subsets(parts: readonly string[]): string[][] {
  return Array.from({ length: 1 << parts.length }, (_, bits) => parts.filter((_, i) => ((bits >> i) & 1) === 1))
}
