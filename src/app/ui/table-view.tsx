import { useState } from 'preact/hooks'
import { RANGES } from '../../read/runs-ranges.ts'
import type { ReportProblem } from '../../report/contract.ts'
import { cellsOf, withCells } from '../edit/drive-edits.ts'
import { pastedCells } from '../edit/paste.ts'
import type { TableChange, TableText } from '../edit/table-text.ts'
import type { App, AppState } from '../state/app.ts'
import { type ShownDrive, shownRecordings } from '../state/drives.ts'
import { editedFile, tableIn } from '../state/tables.ts'
import { FIRST_COLUMNS, writeRuns } from '../state/write-runs.ts'
import { Problems } from './problems.tsx'
import { TypedInput } from './typed-input.tsx'

/** What columns are called here; of those that are not known the name in the file is shown. */
const COLUMN_WORDS: Record<string, string> = {
  track: 'Drive',
  setup: 'Setup',
  fuel_l: 'Fuel, l',
  fuel_kg: 'Fuel, kg',
  energy_kwh: 'Energy, kWh',
  fuel_temperature_c: 'Fuel temperature, °C',
  odometer_km: 'Odometer, km',
  trip_computer_l_per_100km: 'Trip computer, l/100 km',
  consumption_l_per_100km: 'Consumption, l/100 km',
  gauge_mark_km: 'Gauge mark passed, km',
  obd_fuel_l: 'Logged fuel, l',
  payload_kg: 'Payload, kg',
  tyre_pressure_kpa: 'Tyre pressure, kPa',
  accessories_w: 'Accessories, W',
  soc_before_pct: 'Battery before, %',
  soc_after_pct: 'Battery after, %',
  temperature_c: 'Temperature, °C',
  relative_humidity_pct: 'Humidity, %',
  wind_speed_mps: 'Wind, m/s',
  wind_from_deg: 'Wind from, °',
  fill_group: 'Fill group',
  from: 'From',
  to: 'To',
  split: 'Split',
  engine_off: 'Engine off',
  without: 'Without',
  test_vehicle: 'Test vehicle',
  exclude: 'Excluded, because',
  note: 'Note',
  photo: 'Photo',
}
const OTHER_COLUMNS = ['exclude', 'from', 'to', 'split', 'engine_off', 'without', 'test_vehicle', 'photo']

/** A row as it is shown: one of the file, or a drive that has none yet. */
interface ShownRow {
  key: string
  line: number | null
  drive: ShownDrive | null
  cells: Record<string, string>
}

interface Props {
  app: App
  state: AppState
}

/** The table of drives: what was fitted, how much fuel, remarks. */
export function TableView({ app, state }: Props) {
  const [added, setAdded] = useState<string[]>([])
  const file = editedFile(state, 'runs')
  const { recognised } = state
  if (recognised === null) return null
  if (file !== null && file.text === null)
    return (
      <section aria-labelledby="table-title">
        <h2 id="table-title">Setups and fuel</h2>
        <p>
          Your table of drives is <span class="file">{file.path}</span>. A workbook is read and not written here: change
          it in your spreadsheet program, save it, and choose it again.
        </p>
      </section>
    )
  const table = file?.text ? tableIn(file.text) : null
  const columns = [...new Set([...(table?.header.filter((name) => name !== '') ?? FIRST_COLUMNS), ...added])]
  const rows = rowsOf(
    table,
    shownRecordings(recognised).flatMap(({ drives }) => drives),
  )
  const known = [...FIRST_COLUMNS, ...OTHER_COLUMNS, ...Object.values(RANGES).map(({ usual }) => usual)]
  const more = [...new Set(known)].filter((name) => !columns.includes(name)).sort()
  const setups = [...new Set(rows.flatMap(({ cells }) => cells.setup || []))]
  const problems = recognised.problems.filter(({ path }) => path !== null && path === file?.path)
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
                  {COLUMN_WORDS[name] ?? name}
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
                write={(column, text) => writeRuns(app, setCell(row, column, text), `changing ${labelOf(row)}`)}
                paste={(column, cells) =>
                  writeRuns(app, pasteAt(rows, columns, i, columns.indexOf(column), cells), 'pasting cells')
                }
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
              {COLUMN_WORDS[name] ?? name}
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
                  {COLUMN_WORDS[column] ?? column}
                </span>
                <TypedInput
                  label={`${COLUMN_WORDS[column] ?? column}, ${label}`}
                  value={row.cells[column] ?? ''}
                  list={column === 'setup' ? 'setups' : undefined}
                  isNumber={Object.values(RANGES).some(({ usual }) => usual === column)}
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

const labelOf = ({ drive, cells }: ShownRow): string => cells.track || drive?.track || 'row without a name'

/** The rows of the file in their order, then the drives that have none. */
function rowsOf(table: TableText | null, drives: ShownDrive[]): ShownRow[] {
  const byLine = new Map(drives.flatMap((drive) => (drive.line === null ? [] : [[drive.line, drive] as const])))
  const written = (table?.rows ?? []).map(({ line }) => ({
    key: `line ${line}`,
    line,
    drive: byLine.get(line) ?? null,
    cells: cellsOf(table, line),
  }))
  const rowless = drives.filter(({ hasRow }) => !hasRow)
  return [...written, ...rowless.map((drive) => ({ key: drive.id, line: null, drive, cells: {} }))]
}

function setCell({ line, drive }: ShownRow, column: string, text: string): TableChange[] {
  if (line !== null) return [{ kind: 'set', line, column, text }]
  return drive === null ? [] : withCells(drive, { [column]: text })
}

/** Pasted cells from one cell on, to the right and down; what lies beyond the table is left out. */
function pasteAt(rows: ShownRow[], columns: string[], row: number, column: number, cells: string[][]): TableChange[] {
  return cells.flatMap((own, down) => {
    const target = rows[row + down]
    if (target === undefined) return []
    const named = own.flatMap((text, right) => {
      const name = columns[column + right]
      return name === undefined || name === 'track' ? [] : [[name, text] as const]
    })
    if (target.line === null) return target.drive ? withCells(target.drive, Object.fromEntries(named)) : []
    const { line } = target
    return named.map(([name, text]): TableChange => ({ kind: 'set', line, column: name, text }))
  })
}
