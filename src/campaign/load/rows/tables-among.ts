import { present } from '../../../base/present.ts'
import type { Problem } from '../../../base/problem.ts'
import { readFillsTable } from '../../../read/runs/fills-table.ts'
import type { FillRow } from '../../../read/runs/rows.ts'
import { inFile } from '../first-of-kind.ts'
import type { MappedFile } from '../map-file.ts'
import { fileOfPart } from '../map-parts.ts'
import { areDrives, READ_AS_DRIVES } from './drives-or-fills.ts'

/** A table with its rows. */
export interface RowsOfTable<R> {
  file: MappedFile
  rows: R[]
  columns: string[]
}

interface TablesAmong {
  runsFiles: MappedFile[]
  logs: RowsOfTable<FillRow>[]
  problems: Problem[]
}

/**
 * Which files are which tables, decided for each by itself: a fuel log whose rows are those of the drives is a table of
 * drives where there is no other, or where another sheet of its workbook is one.
 */
export function tablesAmong(
  files: MappedFile[],
  timeZone: string | null,
  days: number[],
  starts: number[],
): TablesAmong {
  const ofDrives = new Set(files.filter(({ kind }) => kind === 'runs-table'))
  const books = new Set([...ofDrives].map(({ path }) => fileOfPart(path)))
  const problems: Problem[] = []
  const logs = files
    .filter(({ kind }) => kind === 'fills-table')
    .flatMap((file): RowsOfTable<FillRow>[] => {
      const { value, problems: found } = readFillsTable(present(file.text), timeZone, days)
      const rows = value?.rows ?? []
      const mayBeDrives = books.size === 0 || books.has(fileOfPart(file.path))
      if (mayBeDrives && areDrives(rows, found, starts)) {
        ofDrives.add(file)
        problems.push(...inFile(file, [READ_AS_DRIVES]))
        return []
      }
      problems.push(...inFile(file, found))
      return [{ file, rows, columns: value?.columns ?? [] }]
    })
  return { runsFiles: files.filter((file) => ofDrives.has(file)), logs, problems }
}

/** So many tables are named. */
const MOST_NAMED = 6

/** Says that several tables are read as one, with how many rows of each. */
export function together<R>(tables: readonly RowsOfTable<R>[], what: string, hint: string): Problem[] {
  if (tables.length < 2) return []
  const named = tables
    .slice(0, MOST_NAMED)
    .map(({ file, rows }) => `${file.path} (${rows.length} ${rows.length === 1 ? 'row' : 'rows'})`)
  const more = tables.length - named.length
  const message = `${tables.length} ${what} are read as one: ${named.join(', ')}${more > 0 ? ` and ${more} more` : ''}`
  return [{ code: 'tables-joined', severity: 'note', file: tables[0].file.path, message, hint }]
}
