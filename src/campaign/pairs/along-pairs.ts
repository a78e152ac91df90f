import { readySide } from '../../compare/contribution-draws.ts'
import { sharesAlong } from '../../compare/shares-along.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { AlongPair } from '../../report/along-data.ts'
import type { ReportPair } from '../../report/contract.ts'
import type { RunResult } from '../drive/run-result.ts'

/** So many pairs are plotted along the road, those with different setups first: the page stays small. */
const MOST_PAIRS = 60
/** Into so many parts the road is cut. */
const PARTS = 40

/** How the differences of pairs come about along their road; of pairs whose runs are kept as sides of comparisons. */
export function pairsAlong(
  records: readonly RunResult[],
  pairs: readonly ReportPair[],
  shared: SharedDraws,
): AlongPair[] {
  const byId = new Map(records.map((record) => [record.run.id, record]))
  const setupOf = (id: string): string | null => byId.get(id)?.run.row?.setup ?? null
  const isAcross = ({ a, b }: ReportPair): boolean => setupOf(a) !== setupOf(b)
  const wanted = pairs
    .filter(({ contributions_pct }) => contributions_pct !== null)
    .toSorted((a, b) => Number(isAcross(b)) - Number(isAcross(a)))
    .slice(0, MOST_PAIRS)
  const ids = new Set(wanted.flatMap(({ a, b }) => [a, b]))
  const sides = new Map(
    records.flatMap(({ run, side }) =>
      side && ids.has(run.id) ? [[run.id, readySide(side, shared).best] as const] : [],
    ),
  )
  return wanted.flatMap(({ a, b }) => {
    const [sideA, sideB] = [sides.get(a), sides.get(b)]
    return sideA && sideB ? [{ a, b, sharesPct: sharesAlong(sideA, sideB, shared, PARTS) }] : []
  })
}
