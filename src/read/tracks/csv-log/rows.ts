import type { Problem } from '../../../base/problem.ts'
import { readTable, type Table } from '../../table/table.ts'

/** A log is cut into pieces of so many characters, so that the cells of one piece alone are in memory. */
const PIECE = 1_000_000

/**
 * The rows of a long table, piece by piece: each is read as a table of its own below the same header, with the lines of the
 * whole file.
 * @param text the decoded file
 * @param take told each piece; false: enough
 */
export function inPieces(text: string, take: (table: Table, problems: Problem[]) => boolean): void {
  const lines = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n')
  const end = endOfPiece(lines, 0)
  const first = readTable(lines.slice(0, end))
  const { value: table } = first
  if (!table || !take(table, first.problems)) return
  const header = lines.split('\n', table.headerLine)[table.headerLine - 1]
  // A line `sep=;` may name the separator, which the header's own cells would tell otherwise.
  const before = `sep=${table.delimiter}\n${header}\n`
  let line = lineEnds(lines, 0, end)
  for (let from = end; from < lines.length; ) {
    const to = endOfPiece(lines, from)
    const { value: piece, problems } = readTable(before + lines.slice(from, to))
    const moved = line - 2
    const own = problems
      .filter(({ code }) => code !== 'table-no-rows' && code !== 'table-column-twice')
      .map((problem) => (problem.line === undefined ? problem : { ...problem, line: problem.line + moved }))
    const rows = (piece?.rows ?? []).map((row) => ({ ...row, line: row.line + moved }))
    if (!take({ ...table, rows }, own)) return
    line += lineEnds(lines, from, to)
    from = to
  }
}

function endOfPiece(text: string, from: number): number {
  const end = text.indexOf('\n', from + PIECE)
  return end < 0 ? text.length : end + 1
}

function lineEnds(text: string, from: number, to: number): number {
  let count = 0
  for (let at = text.indexOf('\n', from); at >= 0 && at < to; at = text.indexOf('\n', at + 1)) count++
  return count
}
