import { useState } from 'preact/hooks'
import { quantityOf } from '../../read/quantities.ts'
import { RANGES } from '../../read/runs-ranges.ts'
import { TEXT_COLUMNS } from '../../read/runs-table.ts'
import type { ReportProblem } from '../../report/contract.ts'
import { plural } from '../../report/words.ts'
import { cellsOf, nameInRow, withCells } from '../edit/drive-edits.ts'
import { pastedCells } from '../edit/paste.ts'
import { numberText, type TableChange, type TableText } from '../edit/table-text.ts'
import type { App, AppState } from '../state/app.ts'
import { type ShownDrive, shownRecordings } from '../state/drives.ts'
import { drivesTable } from '../state/tables.ts'
import { writeRuns } from '../state/write-runs.ts'
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
  vehicle: 'Vehicle',
  control: 'Control vehicle',
  exclude: 'Excluded, because',
  note: 'Note',
  photo: 'Photo',
}

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
                  isNumber={isNumber(column)}
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

/** Whether a column holds a quantity, in whichever unit. */
const isNumber = (column: string): boolean => quantityOf(column) !== null

const labelOf = ({ cells }: ShownRow): string => cells.track || 'row without a name'

/** The rows of the file in their order, then the drives that have none. A row keeps its key when it comes into the file. */
function rowsOf(table: TableText, drives: ShownDrive[], isThere: boolean): ShownRow[] {
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
function setCells(
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
function pasteAt(
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
