import { rootSumOfSquares, square } from '../../base/arithmetic.ts'
import { dot, isEstimable, unit } from '../../base/least-squares.ts'
import { mean, quantile } from '../../base/statistics.ts'
import type { Interval95 } from '../types.ts'
import { designOf, designRow, type PartDesign, type PartRun } from './part-design.ts'
import { type CandidateRun, separatingRun, steadyingRun } from './separating.ts'

export interface PartEffect {
  part: string
  /** What this part alone does to the consumption, percent; null where the runs do not tell it. */
  consumptionChangePct: Interval95 | null
  /** Other parts whose effect cannot be told from this one's. */
  inseparableFrom: string[]
  /** True where a road was never driven without: the effect cannot be told from the road's own level. */
  neverLeftOff: boolean
}

/** Parts whose effects the runs do not tell apart. */
export interface InseparableGroup {
  parts: string[]
  /** See PartEffect. */
  neverLeftOff: boolean
  /** Whether just one of them was fitted in every run. */
  exchanged: boolean
  /** What all of them together do, percent; null where even that is not told. */
  combinedChangePct: Interval95 | null
  /** The one more run that would tell most of them, and of such runs the one that tells them best. */
  separatingRun: CandidateRun | null
}

export interface PartsResult {
  effects: PartEffect[]
  groups: InseparableGroup[]
  /** The one more run that would help the least known of the parts that are told; null where none is told. */
  steadyingRun: CandidateRun | null
  /**
   * Whether the effects just add up: the probability of a misfit at least this large if they do; null where the runs
   * leave no room for a test.
   */
  additiveP: number | null
}

/**
 * The change of consumption, percent, for Σ factor · y over the runs in their order.
 */
export type IntervalOf = (factors: number[]) => Interval95

/**
 * Effects of single parts by weighted least squares over all runs at once: ln(fuel per distance) is the route's level
 * plus one effect for each part fitted. Effects multiply; that they do is tested, not assumed in silence. Where parts
 * never came apart, they are named together and the run is found that would tell them apart.
 * @param setups name → parts, to name a candidate run that is a setup already
 * @param intervalOf the change that a weighted sum of the runs' `y` stands for; by default from the runs' own draws
 * @returns effects in percent of consumption, negative for a saving, intervals from the draws
 */
export function effectsOfParts(
  runs: readonly PartRun[],
  setups: Record<string, string[]> = {},
  intervalOf: IntervalOf = intervalByDraws(runs),
): PartsResult {
  const design = designOf(runs)
  const components = inseparableComponents(design)
  const groups = components.map((columns): InseparableGroup => {
    const parts = columns.filter((j) => j >= design.routes.length).map((j) => design.parts[j - design.routes.length])
    return {
      parts,
      neverLeftOff: parts.length < columns.length,
      exchanged:
        parts.length > 1 && design.cells.every((cell) => parts.filter((p) => cell.parts.includes(p)).length === 1),
      combinedChangePct: changeOf(design, parts, intervalOf),
      separatingRun: separatingRun(design, parts, setups),
    }
  })
  const effects = design.parts.map((part): PartEffect => {
    const group = groups.find(({ parts }) => parts.includes(part))
    return {
      part,
      consumptionChangePct: changeOf(design, [part], intervalOf),
      inseparableFrom: group ? group.parts.filter((other) => other !== part) : [],
      neverLeftOff: group?.neverLeftOff ?? false,
    }
  })
  return {
    effects,
    groups: groups.filter(({ parts }) => parts.length > 0),
    steadyingRun: steadyingRun(design, setups),
    additiveP: additiveP(design),
  }
}

/** The parts of a setup; one that campaign.yaml does not define counts as one part of its own name, the baseline as none. */
export function partsOfSetup(setup: string, setups: Record<string, string[]>, baseline: string | null): string[] {
  if (Object.hasOwn(setups, setup)) return [...new Set(setups[setup])]
  return setup === baseline ? [] : [setup]
}

/** The change that all these parts together make, or null where the runs do not tell it. */
function changeOf(design: PartDesign, parts: readonly string[], intervalOf: IntervalOf): Interval95 | null {
  const { model, cells } = design
  const combination = Float64Array.from({ length: model.columnCount }, (_, j) =>
    parts.includes(design.parts[j - design.routes.length]) ? 1 : 0,
  )
  if (parts.length === 0 || !isEstimable(model, combination)) return null
  const factors: number[] = []
  cells.forEach(({ shares }, i) => {
    const pull = dot(combination, model.solve(unit(cells.length, i)))
    for (const { index, share } of shares) factors[index] = pull * share
  })
  return intervalOf(factors)
}

/** The interval that the runs' own draws give. */
function intervalByDraws(runs: readonly PartRun[]): IntervalOf {
  return (factors) => {
    const draws = runs[0].draws.map((_, k) => runs.reduce((sum, run, i) => sum + factors[i] * run.draws[k], 0))
    const percent = (logChange: number): number => 100 * Math.expm1(logChange)
    return {
      estimate: percent(runs.reduce((sum, run, i) => sum + factors[i] * run.y, 0)),
      low95: percent(quantile(draws, 0.025)),
      high95: percent(quantile(draws, 0.975)),
    }
  }
}

/**
 * Columns that the runs do not tell apart, in groups: two belong together when a direction of the null space moves both.
 * The projection on the null space does not depend on the basis it came in.
 */
function inseparableComponents({ model }: PartDesign): number[][] {
  const basis = orthonormal(model.nullSpace)
  const linked = (i: number, j: number): boolean => Math.abs(basis.reduce((sum, b) => sum + b[i] * b[j], 0)) > 1e-8
  const open = new Set(Array.from({ length: model.columnCount }, (_, j) => j).filter((j) => linked(j, j)))
  const components: number[][] = []
  for (const first of open) {
    const component = [first]
    open.delete(first)
    for (const i of component) {
      for (const j of open) {
        if (!linked(i, j)) continue
        open.delete(j)
        component.push(j)
      }
    }
    components.push(component.sort((a, b) => a - b))
  }
  return components
}

function orthonormal(directions: readonly Float64Array[]): Float64Array[] {
  const basis: Float64Array[] = []
  for (const direction of directions) {
    let rest = direction
    // Twice is enough (Kahan; Parlett 1980).
    for (const b of [...basis, ...basis]) {
      const along = dot(rest, b)
      rest = rest.map((x, i) => x - along * b[i])
    }
    const length = rootSumOfSquares(rest)
    basis.push(rest.map((x) => x / length))
  }
  return basis
}

/** How often errors alone, as the draws have them, leave a misfit at least as large as the one found. */
function additiveP({ routes, parts, cells, model }: PartDesign): number | null {
  if (model.rank >= cells.length) return null
  const rows = cells.map((cell) => designRow(routes, parts, cell))
  const misfit = (values: number[]): number => {
    const solution = model.solve(values)
    return cells.reduce((sum, { weight }, i) => sum + weight * square(values[i] - dot(rows[i], solution)), 0)
  }
  const found = misfit(cells.map(({ y }) => y))
  const centres = cells.map(({ draws }) => mean(draws))
  const count = cells[0].draws.length
  let asLarge = 0
  for (let k = 0; k < count; k++) {
    if (misfit(cells.map(({ draws }, i) => draws[k] - centres[i])) >= found) asLarge++
  }
  return (asLarge + 1) / (count + 1)
}
