import { plainText } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'
import {
  LAP_COLUMNS,
  LAPS_MEAN,
  type LapColumn,
  lapRows,
  MOST_LAP_ROWS,
  MOST_STINT_PAIRS,
  stintPairColumns,
} from '../fuel/lap-stints.ts'
import { plural } from '../words.ts'
import { cut, textTable, wrapped } from './terminal-text.ts'

/** The stints with their laps, and the stints against each other, for a terminal. */
export function lapLines(report: Report, width: number): string[] {
  const rows = lapRows(report)
  const shown = rows.slice(0, MOST_LAP_ROWS)
  const [name, ...others] = table(LAP_COLUMNS, shown)
  const indented = { ...name, cells: name.cells.map((cell, i) => (shown[i].lap === null ? cell : `  ${cell}`)) }
  const lines = textTable([indented, ...others], width).lines
  if (rows.length > shown.length)
    lines.push(`… and ${plural(rows.length - shown.length, 'more row')} (all in report.json)`)
  const pairs = report.stint_pairs.slice(0, MOST_STINT_PAIRS)
  if (pairs.length === 0) return lines
  lines.push('', ...textTable(table(stintPairColumns(report), pairs), width).lines)
  const more = report.stint_pairs.length - pairs.length
  if (more > 0) lines.push(`… and ${plural(more, 'more pair')} of stints (all in report.json)`)
  return [...lines, ...wrapped(LAPS_MEAN, width)]
}

const table = <T>(columns: readonly LapColumn<T>[], rows: readonly T[]) =>
  columns.map(({ header, align, rank, cell }) => ({
    header,
    align,
    rank,
    cells: rows.map((row) => cut(plainText(cell(row)), 40)),
  }))
