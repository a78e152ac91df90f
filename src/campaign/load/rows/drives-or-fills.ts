import type { Problem } from '../../../base/problem.ts'
import type { FillRow } from '../../../read/runs/rows.ts'

/** A row's time and the start of its drive in the recording differ by less, seconds. Common practice, no source. */
const SAME_START_S = 300

/**
 * Whether the rows of a table that could be a fuel log or drives are drives: at the time of each another drive starts.
 * In a fuel log the last fill comes after the last drive.
 * @param rows as a fuel log
 * @param problems what was told of the table; without `fills-or-drives` it is a fuel log
 * @param starts when the recorded drives began, s since 1970
 */
export function areDrives(rows: readonly FillRow[], problems: readonly Problem[], starts: readonly number[]): boolean {
  if (!problems.some(({ code }) => code === 'fills-or-drives')) return false
  const found = rows.map(({ fromTime, toTime }) =>
    fromTime === toTime ? starts.findIndex((start) => Math.abs(start - fromTime) < SAME_START_S) : -1,
  )
  return !found.includes(-1) && new Set(found).size === found.length
}

export const READ_AS_DRIVES: Problem = {
  code: 'fills-or-drives',
  severity: 'warning',
  message:
    'read as drives and not as a fuel log, because a recorded drive starts at the time of each row: the amount of a row is taken for what that drive used',
  hint: 'If the rows are fills, add a column "full" with yes or no. If they are drives, a column "track" with their files says so.',
}
