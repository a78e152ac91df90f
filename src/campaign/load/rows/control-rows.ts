import type { Problem } from '../../../base/problem.ts'
import { lineWords, placeOfRow, type RunRow } from '../../../read/runs/rows.ts'
import { yesOrNo } from '../../../read/table/yes-or-no.ts'

/** Whether a row is of the control vehicle. */
export const isControl = (row: Pick<RunRow, 'control'> | null): boolean => yesOrNo(row?.control ?? null) === true

/**
 * The rows of recorded drives, and those of runs whose fuel alone is known. Only where a control vehicle drove does fuel
 * without a recording say something: beside a control vehicle's row, a row that names no track has none.
 */
export function withoutTracks(rows: RunRow[]): { rows: RunRow[]; fuelAlone: RunRow[]; problems: Problem[] } {
  const problems = rows.filter(({ control }) => control !== null && yesOrNo(control) === null).map(notYesOrNo)
  if (!rows.some(isControl)) return { rows, fuelAlone: [], problems }
  const fuelAlone = rows.filter(({ track, when, vehicle }) => track === '' && when !== null && vehicle !== null)
  const incomplete = rows.filter((row) => row.track === '' && !fuelAlone.includes(row))
  return {
    rows: rows.filter(({ track }) => track !== ''),
    fuelAlone,
    problems: [...problems, ...incomplete.map(isIncomplete), ...otherControls(rows)],
  }
}

const notYesOrNo = (row: RunRow): Problem => ({
  code: 'control-not-yes-or-no',
  severity: 'error',
  ...placeOfRow(row),
  message: `control: found "${row.control?.slice(0, 40)}", expected yes or no; the cell is taken as empty`,
})

const isIncomplete = (row: RunRow): Problem => ({
  code: 'row-without-track-incomplete',
  severity: 'error',
  ...placeOfRow(row),
  message: `found a row without a track and without a ${row.vehicle === null ? 'vehicle' : 'date'}; expected "date" and "vehicle", beside a control vehicle; the row is left out`,
})

/** Ratios to two control vehicles cannot be compared. */
function otherControls(rows: RunRow[]): Problem[] {
  const [first, ...others] = rows.filter(isControl)
  return others
    .filter(({ vehicle }) => vehicle !== first.vehicle)
    .map((row) => ({
      code: 'two-control-vehicles',
      severity: 'error',
      ...placeOfRow(row),
      message: `found the control vehicle "${row.vehicle ?? ''}", expected "${first.vehicle ?? ''}" as on ${lineWords(first, row)}: ratios to two vehicles say nothing of each other; the row is not used`,
    }))
}

/** Whether a row is of the one control vehicle that counts. */
export const isOfControl = (rows: readonly RunRow[]): ((row: RunRow) => boolean) => {
  const first = rows.find(isControl)
  return (row) => isControl(row) && row.vehicle === first?.vehicle
}
