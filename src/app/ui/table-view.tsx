import { useState } from 'preact/hooks'
import { RANGES } from '../../read/runs/runs-ranges.ts'
import { TEXT_COLUMNS } from '../../read/runs/runs-table.ts'
import type { ReportProblem } from '../../report/contract.ts'
import { plural } from '../../report/words.ts'
import { pastedCells } from '../edit/paste.ts'
import type { App, AppState } from '../state/app.ts'
import { shownRecordings } from '../state/drives.ts'
import { isNumber, labelOf, pasteAt, rowsOf, type ShownRow, setCells } from '../state/table-rows.ts'
import { drivesTable } from '../state/tables.ts'
import { writeRuns } from '../state/write-runs.ts'
import { columnWord } from './column-words.ts'
import { Problems } from './problems.tsx'
import { TypedInput } from './typed-input.tsx'

interface Props {
  app: App
  state: AppState
}

/** The table of drives: what was fitted, how much fuel, remarks. */
export function TableView({ app, state }: Props) {
  const [added, setAdded] = useState<string[]>([])
  const { recognised } = state
  const { path, table, isThere } = drivesTable(state)
  if (recognised === null) return null
  if (table === null)
    return (
      <section aria-labelledby="table-title">
        <h2 id="table-title">Setups and fuel</h2>
        <p>
          Your table of drives is <span class="file">{path}</span>. A workbook is read and not written here: change it
          in your spreadsheet program, save it, and choose it again.
        </p>
      </section>
    )
  const columns = [...new Set([...table.header.filter((name) => name !== ''), ...added])]
  const rows = rowsOf(
    table,
    shownRecordings(recognised, table).flatMap(({ drives }) => drives),
    isThere,
  )
  const known = [...TEXT_COLUMNS, ...Object.values(RANGES).map(({ usual }) => usual)]
  const more = [...new Set(known)].filter((name) => !columns.includes(name)).sort()
  const setups = [...new Set(rows.flatMap(({ cells }) => cells.setup || []))]
  const problems = recognised.problems.filter((problem) => problem.path === path)
  const ofRow = ({ line }: ShownRow): ReportProblem[] =>
    line === null ? [] : problems.filter((problem) => problem.line === line)
  const lines = new Set(rows.flatMap(({ line }) => line ?? []))
  return (
    <section aria-labelledby="table-title">
      <h2 id="table-title">Setups and fuel</h2>
      <p>
        A row for each drive: your name for what was fitted, and the fuel that the drive used. Cells copied in a
        spreadsheet can be pasted into any cell. An empty cell means “not known”.
      </p>
      <Problems problems={problems.filter(({ line }) => line === null || !lines.has(line))} />
      <datalist id="setups">
        {setups.map((name) => (
          <option key={name} value={name} />
        ))}
      </datalist>
      <section class="scroll" aria-label="Table of drives">
        <table class="drives-table">
          <thead>
            <tr>
              {columns.map((name) => (
                <th key={name} scope="col">
                  {columnWord(name)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((row, i) => (
              <RowView
                key={row.key}
                row={row}
                columns={columns}
                problems={ofRow(row)}
                write={(column, text) =>
                  writeRuns(
                    app,
                    setCells(table, rows, new Map([[row, { [column]: text }]])),
                    `changing ${labelOf(row)}`,
                  )
                }
                paste={(column, cells) => {
                  const { wanted, left } = pasteAt(rows, columns, { row: i, column: columns.indexOf(column) }, cells)
                  writeRuns(app, setCells(table, rows, wanted), 'pasting cells')
                  if (left > 0) app.tell(`${plural(left, 'pasted cell')} found no place in the table.`)
                }}
              />
            ))}
          </tbody>
        </table>
      </section>
      <label class="inline">
        Add a column{' '}
        <select
          value=""
          onChange={(event) => {
            setAdded([...added, event.currentTarget.value])
            event.currentTarget.value = ''
          }}
        >
          <option value="">…</option>
          {more.map((name) => (
            <option key={name} value={name}>
              {columnWord(name)}
            </option>
          ))}
        </select>
      </label>
    </section>
  )
}

interface RowProps {
  row: ShownRow
  columns: string[]
  problems: ReportProblem[]
  write: (column: string, text: string) => void
  paste: (column: string, cells: string[][]) => void
}

function RowView({ row, columns, problems, write, paste }: RowProps) {
  const label = labelOf(row)
  // Problems of a cell begin with its column; on a narrow window they stand below the whole row.
  const isRefused = (column: string): boolean =>
    problems.some(({ severity, message }) => severity === 'error' && message.startsWith(`${column}: `))
  return (
    <>
      <tr>
        {columns.map((column) => (
          <td key={column} class={column === 'track' || column === 'note' ? column : undefined}>
            {column === 'track' ? (
              <>
                {row.drive && <span class="number">{row.drive.number}</span>} <span class="file">{label}</span>
              </>
            ) : (
              <>
                <span class="cell-name" aria-hidden="true">
                  {columnWord(column)}
                </span>
                <TypedInput
                  label={`${columnWord(column)}, ${label}`}
                  value={row.cells[column] ?? ''}
                  list={column === 'setup' ? 'setups' : undefined}
                  isNumber={isNumber(column)}
                  isRefused={isRefused(column)}
                  enter={(typed) => write(column, typed.trim())}
                  onPaste={(event) => {
                    const cells = pastedCells(event.clipboardData?.getData('text/plain') ?? '')
                    if (cells === null) return
                    event.preventDefault()
                    paste(column, cells)
                  }}
                />
              </>
            )}
          </td>
        ))}
      </tr>
      {problems.length > 0 && (
        <tr class="row-problems">
          <td colSpan={columns.length}>
            <Problems problems={problems} />
          </td>
        </tr>
      )}
    </>
  )
}
