import type { Problem } from '../../../base/problem.ts'
import type { RunRow } from '../../../read/runs/rows.ts'
import { isControl } from './control-rows.ts'
import { type JoinedRow, joinedRow, type SecondRow, secondRowsTold } from './joined-rows.ts'

/**
 * Rows of runs without a recording that stand in several tables, each once: one vehicle begins one run at a time. Of rows with
 * a day alone only those that say the same are one, because a day may have several runs.
 */
export function fuelAloneOnce(rows: readonly RunRow[]): { rows: RunRow[]; problems: Problem[] } {
  const problems: Problem[] = []
  const seconds: SecondRow[] = []
  const groups = new Map<string, RunRow[]>()
  for (const row of rows) {
    const key = [row.when?.fromTime, row.when?.toTime, row.vehicle, isControl(row)].join('\n')
    groups.set(key, [...(groups.get(key) ?? []), row])
  }
  const once = new Map<RunRow, RunRow | null>()
  for (const [first, ...others] of groups.values()) {
    const ofOthers = others.filter(({ file }) => file !== first.file)
    const same = isOfDay(first) ? ofOthers.filter((other) => saysNothingNew(joinedRow([first, other]))) : ofOthers
    if (same.length === 0) continue
    const joined = joinedRow([first, ...same])
    problems.push(...joined.problems)
    seconds.push(...joined.seconds)
    once.set(first, joined.row)
    for (const other of same) once.set(other, null)
  }
  return {
    rows: rows.flatMap((row) => (once.has(row) ? (once.get(row) ?? []) : row)),
    problems: [...problems, ...secondRowsTold(seconds)],
  }
}

const isOfDay = ({ when }: RunRow): boolean => when !== null && when.toTime > when.fromTime

const saysNothingNew = ({ problems, seconds }: JoinedRow): boolean =>
  problems.length === 0 && seconds.every(({ adds }) => adds.length === 0)
