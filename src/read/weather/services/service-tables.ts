import type { Outcome, Problem } from '../../../base/problem.ts'
import type { Table, TableRow } from '../../table/table.ts'
import { toNumber } from '../../table/table.ts'
import type { Observations } from '../../types.ts'
import { droppedNote, observationsFrom, reportFrom, type ServiceRow } from './service-rows.ts'

/** How one national table says what ours say by their columns' names. */
export interface TableForm {
  /** Column → our name for the quantity with its unit. */
  columns: Record<string, string>
  /** A factor on the number as written (tens of degrees). */
  factors?: Record<string, number>
  stationOf: (row: NamedRow) => { id: string; latitude: number; longitude: number; elevationM: number }
  /** Seconds since 1970 UTC. */
  timeOf: (row: NamedRow) => number
  /** Whether the service itself doubts the value of a column. */
  isDoubted?: (row: NamedRow, column: string) => boolean
  none: string
}

/** A row's cells by column name; '' where there is none. */
export type NamedRow = (column: string) => string

/** Reads the rows of a national table. A cell that is no number is missing, with a warning, unless it is a sign for "missing". */
export function rowsOfTable(table: Table, form: TableForm, problems: Problem[]): Outcome<Observations> {
  const at = new Map(table.header.map((name, i) => [name, i]))
  const count = { dropped: 0 }
  const rows = table.rows.flatMap((row): ServiceRow[] => {
    const cell: NamedRow = (column) => row.cells[at.get(column) ?? -1] ?? ''
    const time = form.timeOf(cell)
    if (!Number.isNaN(time)) return [rowOf(row, cell, time, { table, form, problems, count })]
    const message = 'the time of this row cannot be read; the row is left out'
    problems.push({ code: 'weather-time-unreadable', severity: 'error', message, line: row.line })
    return []
  })
  problems.push(...droppedNote(count.dropped))
  return observationsFrom({ rows, problems, none: { code: 'service-none', message: form.none } })
}

interface Reading {
  table: Table
  form: TableForm
  problems: Problem[]
  count: { dropped: number }
}

function rowOf(
  { line }: TableRow,
  cell: NamedRow,
  time: number,
  { table, form, problems, count }: Reading,
): ServiceRow {
  const said: Record<string, number> = {}
  for (const [column, name] of Object.entries(form.columns)) {
    const value = toNumber(cell(column), table.delimiter)
    if (value === null) {
      const message = `"${cell(column).slice(0, 40)}" in the column "${column}" could not be read; expected a number`
      problems.push({ code: 'weather-cell-unreadable', severity: 'warning', message, line })
    }
    if (value === null || Number.isNaN(value)) continue
    if (form.isDoubted?.(cell, column)) count.dropped++
    else said[name] ??= value * (form.factors?.[column] ?? 1)
  }
  const { id, ...place } = form.stationOf(cell)
  return { report: { ...reportFrom({ stationId: id, time, line }, said), temperatureStepK: 0.1 }, ...place }
}
