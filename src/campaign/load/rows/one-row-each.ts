import type { Problem } from '../../../base/problem.ts'
import { lineWords, placeOfRow, type RunRow } from '../../../read/runs/rows.ts'
import type { ClaimedRow, FoundDrive } from './drives-and-rows.ts'
import { joinedRow, type SecondRow, secondRowsTold } from './joined-rows.ts'

/** A row with the drives that it means. */
export interface MeantDrives {
  claim: ClaimedRow
  /** Indices of drives, at least one. */
  own: number[]
}

/** Two notes of when a drive began are of one drive if they differ by no more, s. Common practice, no source. */
const SAME_BEGIN_S = 300

/** One row for each drive or stint: of several about the same drives one is made, and what they contradict in is told. */
export function oneRowEach(
  meant: readonly MeantDrives[],
  drives: readonly FoundDrive[],
): { wanted: MeantDrives[]; problems: Problem[] } {
  const groups = new Map<string, MeantDrives[]>()
  for (const one of meant) {
    const key = one.own.join()
    groups.set(key, [...(groups.get(key) ?? []), one])
  }
  const problems: Problem[] = []
  const seconds: SecondRow[] = []
  const wanted = [...groups.values()].map((group): MeantDrives => {
    if (group.length === 1) return group[0]
    const { fromTime } = drives[group[0].own[0]]
    const [first, ...others] = group.toSorted((a, b) => awayS(a.claim, fromTime) - awayS(b.claim, fromTime))
    const same = others.filter(({ claim }) => !isOfAnother(first.claim, claim))
    const joined = joinedRow([first.claim.row, ...same.map(({ claim }) => claim.row)])
    problems.push(...joined.problems)
    problems.push(
      ...others.filter((one) => !same.includes(one)).map(({ claim }) => ofAnother(claim.row, first.claim.row)),
    )
    seconds.push(...joined.seconds)
    return { ...first, claim: { ...first.claim, row: joined.row } }
  })
  return { wanted, problems: [...problems, ...secondRowsTold(seconds)] }
}

/** How far the row's own time is from the drive; nothing where it names its track. */
const awayS = ({ row, byTime }: ClaimedRow, fromTime: number): number =>
  byTime && row.when !== null ? Math.abs(row.when.fromTime - fromTime) : 0

/** Rows that were found by times too far apart to be of one drive. */
function isOfAnother(a: ClaimedRow, b: ClaimedRow): boolean {
  if (!a.byTime && !b.byTime) return false
  const [x, y] = [a.row.when, b.row.when]
  const isKnown = x !== null && y !== null && x.fromTime === x.toTime && y.fromTime === y.toTime
  return isKnown && Math.abs(x.fromTime - y.fromTime) > SAME_BEGIN_S
}

const ofAnother = (row: RunRow, first: RunRow): Problem => ({
  code: 'row-repeated',
  severity: 'error',
  ...placeOfRow(row),
  message: `by its time this row is that of "${row.track.slice(0, 100)}", which ${lineWords(first, row)} is nearer to; this row is not used`,
  hint: 'Was its drive recorded? Write the name of its file into the column "track".',
})
