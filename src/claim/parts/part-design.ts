import { square } from '../../base/arithmetic.ts'
import { type LinearModel, linearModel } from '../../base/least-squares.ts'
import { median, standardDeviation } from '../../base/statistics.ts'

/** One run as the parts see it. */
export interface PartRun {
  id: string
  /** Index of its route: every route has its own level, the parts have the same effect on all. */
  route: number
  parts: readonly string[]
  /** ln of the adjusted fuel per distance. */
  y: number
  /** K draws of `y` with all its errors, run-to-run repeatability included; what runs share is the same draw. */
  draws: Float64Array
}

/** Runs on one route with the same parts, taken together. */
export interface PartCell {
  route: number
  parts: string[]
  /** Inverse variance of the mean, as if the runs' errors were independent. */
  weight: number
  /** The runs by their place in the list, and what each counts for in `y`. */
  shares: { index: number; share: number }[]
  y: number
  draws: Float64Array
}

/** The design: a level for each route, then a column for each part. */
export interface PartDesign {
  routes: number[]
  parts: string[]
  cells: PartCell[]
  model: LinearModel
  /** Weight of a run like those made. */
  runWeight: number
}

/** Lays runs out for the fit; the order of runs and parts does not matter. */
export function designOf(runs: readonly PartRun[]): PartDesign {
  const routes = [...new Set(runs.map(({ route }) => route))].sort((a, b) => a - b)
  const parts = [...new Set(runs.flatMap((run) => run.parts))].sort()
  const weights = weightsOf(runs)
  const cells = cellsOf(runs, weights)
  const model = linearModel(
    cells.map((cell) => designRow(routes, parts, cell)),
    cells.map(({ weight }) => weight),
  )
  return { routes, parts, cells, model, runWeight: runs.length > 0 ? median(weights) : Number.NaN }
}

/** A row of the design for a run on a route with these parts. */
export function designRow(
  routes: readonly number[],
  parts: readonly string[],
  run: { route: number; parts: readonly string[] },
): number[] {
  return [
    ...routes.map((route) => (route === run.route ? 1 : 0)),
    ...parts.map((part) => (run.parts.includes(part) ? 1 : 0)),
  ]
}

/**
 * Inverse variances, of what each run's errors depart from those of all runs: what all share cancels in every effect. A
 * run can count for no more than a hundred of the least sure ones, lest a perfect one rule alone.
 */
function weightsOf(runs: readonly PartRun[]): number[] {
  const count = runs.length
  const centre = runs[0]?.draws.map((_, k) =>
    count === 1 ? 0 : runs.reduce((sum, { draws }) => sum + draws[k], 0) / count,
  )
  // The mean of all holds a share of each run's own error.
  const share = count === 1 ? 1 : count / (count - 1)
  const variances = runs.map(({ draws }) => square(standardDeviation(draws.map((y, k) => y - centre[k]))) * share)
  const least = Math.max(Math.max(...variances) / 100, LEAST_VARIANCE)
  return variances.map((variance) => 1 / Math.max(variance, least))
}

/** Keeps weights finite where a caller's runs have no errors at all: 0.0001 %. */
const LEAST_VARIANCE = 1e-12

function cellsOf(runs: readonly PartRun[], weights: number[]): PartCell[] {
  const members = new Map<string, number[]>()
  runs.forEach((run, i) => {
    const key = JSON.stringify([run.route, [...new Set(run.parts)].sort()])
    members.set(key, [...(members.get(key) ?? []), i])
  })
  return [...members]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([, of]) => {
      const weight = of.reduce((sum, i) => sum + weights[i], 0)
      const shares = of.map((index) => ({ index, share: weights[index] / weight }))
      const draws = runs[of[0]].draws.map((_, k) =>
        shares.reduce((sum, { index, share }) => sum + share * runs[index].draws[k], 0),
      )
      const y = shares.reduce((sum, { index, share }) => sum + share * runs[index].y, 0)
      return { route: runs[of[0]].route, parts: [...new Set(runs[of[0]].parts)].sort(), weight, shares, y, draws }
    })
}
