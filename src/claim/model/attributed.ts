import { backwardSolved, type Cholesky, choleskyOf, forwardSolved } from '../../base/cholesky.ts'
import { drawingOf } from '../../base/draws.ts'
import { dot } from '../../base/least-squares.ts'
import { present } from '../../base/present.ts'
import { withoutMean } from '../../base/statistics.ts'
import type { ClaimSettings, FuelRun } from '../types.ts'

/**
 * An error of the conditions by what it comes from. Draws of two sources that have nothing to do with each other still go
 * together by chance, by ±1/√K; taken by its names an error has its variance and what it shares without that chance.
 */
export interface Attributed {
  /** Standard deviation that each named draw gives the logarithm, with its sign. */
  byName: ReadonlyMap<string, number>
  /** K draws of what is not linear in any of them. */
  rest: Float64Array
}

/** More names than this share of the draws would explain them by chance. */
const MOST_NAMES = 1 / 3
/** Among more drives chance averages out, and all their columns at once would take hundreds of megabytes. */
const MOST_DRIVES = 120

/**
 * The errors of the correction of one road's drives by the names of their draws: least squares of the logarithm of the
 * demand, up to what is common to all: what bends in all drives alike cancels between them.
 * @returns of each drive that has a demand; empty where some names are not known, or names or drives are too many
 */
export function attributedErrors(
  runs: readonly FuelRun[],
  settings: Pick<ClaimSettings, 'draws' | 'seed'>,
): Map<FuelRun, Attributed> {
  const drawn = runs.filter(({ demandDraws }) => demandDraws !== null)
  if (drawn.length > MOST_DRIVES) return new Map()
  const designs = drawn.map((run) => designOf(run, settings))
  if (designs.some((design) => design === null)) return new Map()
  const logs = drawn.map(({ demandDraws }) => withoutMean(present(demandDraws).map((demand) => -Math.log(demand))))
  const common = new Float64Array(settings.draws)
  const fits = (): Fit[] =>
    logs.map((log, i) =>
      fitted(
        present(designs[i]),
        log.map((value, k) => value - common[k]),
      ),
    )
  for (let turn = 0; turn < TURNS; turn++) {
    for (const { rest } of fits()) for (let k = 0; k < common.length; k++) common[k] += rest[k] / drawn.length
  }
  return new Map(
    fits().map(({ sizes, rest }, i) => {
      const names = present(drawn[i].drawnFrom)
      return [drawn[i], { byName: new Map(names.map((name, j) => [name, sizes[j]])), rest }]
    }),
  )
}

/** What is common and what is each drive's own are fitted by turns; after so many nothing moves that matters. */
const TURNS = 8

interface Fit {
  sizes: Float64Array
  rest: Float64Array
}

/** The draws of a drive's names, with what is needed to fit them. */
interface DesignOfNames {
  columns: Float64Array[]
  factors: Cholesky
}

function designOf({ drawnFrom = [] }: FuelRun, settings: Pick<ClaimSettings, 'draws' | 'seed'>): DesignOfNames | null {
  const count = drawnFrom.length
  if (count === 0 || count > MOST_NAMES * settings.draws) return null
  const columns = drawnFrom.map(drawingOf(settings))
  const products = new Float64Array(count * count)
  for (let i = 0; i < count; i++) for (let j = 0; j <= i; j++) products[i * count + j] = dot(columns[i], columns[j])
  const factors = choleskyOf(products, count)
  return factors && { columns, factors }
}

function fitted({ columns, factors }: DesignOfNames, y: Float64Array): Fit {
  const along = columns.map((column) => dot(column, y))
  const sizes = backwardSolved(factors, forwardSolved(factors, along))
  const rest = y.slice()
  for (const [i, column] of columns.entries()) for (let k = 0; k < rest.length; k++) rest[k] -= sizes[i] * column[k]
  return { sizes, rest }
}
