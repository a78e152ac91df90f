import { quantityOf } from '../../read/table/quantities.ts'
import { cellsOf, nameInRow, withCells } from '../edit/drive-edits.ts'
import { numberText, type TableChange, type TableText } from '../edit/table-text.ts'
import type { ShownDrive } from './drives.ts'

/** A row as it is shown: one of the file, or a drive that has none yet. */
export interface ShownRow {
  key: string
  line: number | null
  drive: ShownDrive | null
  cells: Record<string, string>
}

/** Whether a column holds a quantity, in whichever unit. */
export const isNumber = (column: string): boolean => quantityOf(column) !== null

export const labelOf = ({ cells }: ShownRow): string => cells.track || 'row without a name'

/** The rows of the file in their order, then the drives that have none. A row keeps its key when it comes into the file. */
export function rowsOf(table: TableText, drives: ShownDrive[], isThere: boolean): ShownRow[] {
  const byLine = new Map(drives.flatMap((drive) => (drive.line === null ? [] : [[drive.line, drive] as const])))
  const written = table.rows.map(({ line }) => ({
    line,
    drive: byLine.get(line) ?? null,
    cells: cellsOf(table, line),
  }))
  // A table that is not there yet has all drives, laps together.
  const rowless = isThere ? drives.filter(({ hasRow }) => !hasRow) : []
  const all = [...written, ...rowless.map((drive) => ({ line: null, drive, cells: { track: nameInRow(drive.track) } }))]
  const seen = new Map<string, number>()
  return all.map((row) => {
    const count = (seen.get(row.cells.track) ?? 0) + 1
    seen.set(row.cells.track, count)
    return { ...row, key: `${row.cells.track} ${count}` }
  })
}

/** Sets cells of some rows. With the first cell of a drive that has no row all such drives get theirs, so that none moves. */
export function setCells(
  table: TableText,
  rows: ShownRow[],
  wanted: ReadonlyMap<ShownRow, Record<string, string>>,
): TableChange[] {
  const isBegun = [...wanted.keys()].some(({ line }) => line === null)
  return rows.flatMap((row) => {
    const cells = Object.fromEntries(
      Object.entries(wanted.get(row) ?? {}).map(([column, text]) => [
        column,
        isNumber(column) ? numberText(text, table) : text,
      ]),
    )
    const { line, drive } = row
    if (line !== null)
      return Object.entries(cells).map(([column, text]): TableChange => ({ kind: 'set', line, column, text }))
    return isBegun && drive !== null ? withCells(drive, cells) : []
  })
}

/** Pasted cells from one cell on, to the right and down, and how many find no place. */
export function pasteAt(
  rows: ShownRow[],
  columns: string[],
  from: { row: number; column: number },
  pasted: string[][],
): { wanted: Map<ShownRow, Record<string, string>>; left: number } {
  const wanted = new Map<ShownRow, Record<string, string>>()
  let left = 0
  for (const [down, texts] of pasted.entries()) {
    const row = rows[from.row + down]
    const cells: Record<string, string> = {}
    for (const [right, text] of texts.entries()) {
      const column = columns[from.column + right]
      if (row === undefined || column === undefined || column === 'track') left++
      else cells[column] = text
    }
    if (row !== undefined) wanted.set(row, cells)
  }
  return { wanted, left }
}
