import { isoSecond } from '../../base/time.ts'
import type { TableChange, TableText } from './table-text.ts'

/** A drive as the table of drives needs it. */
export interface DriveOfTable {
  /** As it was found: `day.gpx@0914`. */
  track: string
  /** The recording that it is cut from: `day.gpx`. */
  recording: string
  /** Seconds since 1970 UTC. */
  startTime: number
  endTime: number
  /** It begins, ends, with its recording. */
  isFirst: boolean
  isLast: boolean
  /** Line of the row that is its alone; null where it has none. */
  line: number | null
}

/** What was measured over a drive as a whole: of a part of it nobody knows it. */
const OVER_THE_DRIVE = /^(?:fuel_(?!temperature)|energy_|odometer_|trip_|gauge_mark_|obd_fuel_|soc_|consumption_)/
/** Amounts of two drives behind each other add up. */
const ADDS_UP = /^(?:fuel_(?!temperature)|energy_|odometer_|obd_fuel_)/

/** What a row calls a drive: a spreadsheet must not take it for a formula. */
export const nameInRow = (track: string): string => (/^[=+\-@\t\r]/.test(track) ? `./${track}` : track)

/** Sets cells of a drive's row, which is added where it has none. */
export function withCells(drive: DriveOfTable, cells: Readonly<Record<string, string>>): TableChange[] {
  const { line, track } = drive
  if (line === null) return [{ kind: 'add-row', behind: null, cells: { track: nameInRow(track), ...cells } }]
  return Object.entries(cells).map(([column, text]) => ({ kind: 'set', line, column, text }))
}

/**
 * Makes two drives of one. What was measured over the whole goes into the note: it is of neither part.
 * @param atTime seconds since 1970 UTC
 */
export function splitDrive(table: TableText | null, drive: DriveOfTable, atTime: number): TableChange[] {
  const row = cellsOf(table, drive.line)
  const measured = Object.entries(row).filter(([column, text]) => OVER_THE_DRIVE.test(column) && text !== '')
  const kept = Object.fromEntries(Object.entries(row).filter(([column]) => !OVER_THE_DRIVE.test(column)))
  const note = [row.note, told('before the split', measured)].filter(Boolean).join('; ')
  const cut = { ...kept, track: nameInRow(drive.recording), split: '', ...(note === '' ? {} : { note }) }
  const [first, second] = [
    { ...cut, from: startOf(drive), to: isoSecond(atTime) },
    { ...cut, from: isoSecond(atTime), to: endOf(drive) },
  ]
  const cleared = Object.fromEntries(measured.map(([column]) => [column, '']))
  return [
    ...withCells(drive, withoutNeedless({ ...first, ...cleared }, row)),
    { kind: 'add-row', behind: drive.line, cells: withoutNeedless(second, {}) },
  ]
}

/** Makes one drive of two that follow each other in a recording. Amounts add up; what does not goes into the note. */
export function mergeDrives(table: TableText | null, first: DriveOfTable, second: DriveOfTable): TableChange[] {
  const [a, b] = [cellsOf(table, first.line), cellsOf(table, second.line)]
  const merged: Record<string, string> = {}
  const lost: [string, string][] = []
  for (const column of new Set([...Object.keys(a), ...Object.keys(b)])) {
    const [x = '', y = ''] = [a[column], b[column]]
    const isMeasured = OVER_THE_DRIVE.test(column)
    const sum = ADDS_UP.test(column) ? sumText(x, y) : null
    if (isMeasured && (x !== '' || y !== '')) {
      merged[column] = sum ?? ''
      if (sum === null) lost.push([column, [x, y].map((text) => text || 'not known').join(' and ')])
    } else if (column === 'note')
      merged[column] = [x, y].filter((text, i, all) => text !== '' && all.indexOf(text) === i).join('; ')
    else merged[column] = x === '' ? y : x
  }
  if (a.setup && b.setup && a.setup !== b.setup) lost.push(['setup of the second part', b.setup])
  const note = [merged.note, told('before they were put together', lost)].filter(Boolean).join('; ')
  const cells = {
    ...merged,
    track: nameInRow(first.recording),
    from: startOf(first),
    to: endOf(second),
    split: '',
    ...(note === '' ? {} : { note }),
  }
  const removed: TableChange[] = second.line === null ? [] : [{ kind: 'remove-row', line: second.line }]
  return [...withCells(first, withoutNeedless(cells, a)), ...removed]
}

/** The cells of a row by the names of their columns; none where there is no row. */
export function cellsOf(table: TableText | null, line: number | null): Record<string, string> {
  const row = line === null ? undefined : table?.rows.find((own) => own.line === line)
  if (!table || !row) return {}
  return Object.fromEntries(table.header.map((column, i) => [column, row.cells[i] ?? '']))
}

/** Only the cells that say something else than the row does. */
const withoutNeedless = (cells: Record<string, string>, row: Record<string, string>): Record<string, string> =>
  Object.fromEntries(Object.entries(cells).filter(([column, text]) => text !== (row[column] ?? '')))

const told = (when: string, cells: readonly (readonly [string, string])[]): string =>
  cells.length === 0 ? '' : `${when}: ${cells.map(([column, text]) => `${column} ${text}`).join(', ')}`

function sumText(a: string, b: string): string | null {
  const plain = /^\d+(?:[.](\d+))?$/
  const [x, y] = [plain.exec(a), plain.exec(b)]
  if (!x || !y) return null
  return (Number(a) + Number(b)).toFixed(Math.max(x[1]?.length ?? 0, y[1]?.length ?? 0))
}

const startOf = (drive: DriveOfTable): string => (drive.isFirst ? '' : isoSecond(drive.startTime))
const endOf = (drive: DriveOfTable): string => (drive.isLast ? '' : isoSecond(drive.endTime))
