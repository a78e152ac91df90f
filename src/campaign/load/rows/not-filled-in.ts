import type { Problem } from '../../../base/problem.ts'
import type { RunRow } from '../../../read/runs/rows.ts'
import { type QuantityOfRun, RANGES } from '../../../read/runs/runs-ranges.ts'
import type { RowsOfTable } from './tables-among.ts'

const QUANTITIES = Object.keys(RANGES) as QuantityOfRun[]

/** Whether a row names its drive and says nothing of it: neither what was fitted nor anything measured or noted. */
const isBlank = (row: RunRow): boolean =>
  row.setup === null &&
  row.note === null &&
  row.exclude === null &&
  row.vehicle === null &&
  row.roadWet === null &&
  row.testVehicle === null &&
  QUANTITIES.every((field) => Number.isNaN(row[field]))

/**
 * Tables of drives as `init` writes them, in which nobody has written yet.
 * @param hasLog a fuel log says what the drives used: then nothing is missing
 */
export function notFilledIn(tables: readonly RowsOfTable<RunRow>[], hasLog: boolean): Problem[] {
  return tables
    .filter(({ rows }) => rows.length > 0 && rows.every(isBlank))
    .map(({ file, rows }) => ({
      code: 'table-not-filled-in',
      severity: hasLog ? 'note' : 'warning',
      file: file.path,
      line: rows[0].line,
      message: `this table of drives is not filled in yet: ${rows.length === 1 ? 'its row names a drive and says' : `its ${rows.length} rows name drives and say`} neither a setup nor fuel`,
      hint: 'Write into each row what was fitted (setup) and what the drive used (fuel), save, and call the report again.',
    }))
}
