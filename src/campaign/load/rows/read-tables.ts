import { present } from '../../../base/present.ts'
import type { Outcome, Problem } from '../../../base/problem.ts'
import type { Campaign } from '../../../read/campaign/settings.ts'
import { type FillsTable, readFillsTable } from '../../../read/runs/fills-table.ts'
import type { FillRow, RunRow } from '../../../read/runs/rows.ts'
import { readRunsTable } from '../../../read/runs/runs-table.ts'
import { firstOfKind, inFile } from '../first-of-kind.ts'
import type { MappedFile } from '../map-file.ts'
import { missingPhotos } from '../photos.ts'
import { withoutTracks } from './control-rows.ts'
import { areDrives, READ_AS_DRIVES } from './drives-or-fills.ts'
import { withOneSpelling } from './setup-names.ts'

/** The table of drives and the fuel log. */
export interface ReadTables {
  rows: RunRow[]
  /** Rows of runs.csv beside a control vehicle that have no recording. */
  fuelAlone: RunRow[]
  runsFile: string | null
  /** The fuel log; empty without one. */
  fills: FillRow[]
  fillsFile: string | null
  /** Names of the columns of both tables. */
  columns: string[]
  problems: Problem[]
}

/**
 * Reads both tables.
 * @param days since 1970 on which something was driven
 * @param starts of the drives, seconds since 1970
 */
export function readTables(
  files: MappedFile[],
  campaign: Pick<Campaign, 'timeZone' | 'setups' | 'baseline'>,
  days: number[],
  starts: number[],
): ReadTables {
  const { runsFile, fillsFile, log, problems } = tablesAmong(files, campaign.timeZone, days, starts)
  const table = runsFile && readRunsTable(present(runsFile.text), { days, timeZone: campaign.timeZone })
  const fills = log?.value?.rows ?? []
  const { rows, fuelAlone, problems: ofControl } = withoutTracks(table?.value?.rows ?? [])
  if (runsFile) problems.push(...inFile(runsFile, table?.problems ?? []))
  problems.push(...missingPhotos(table?.value?.rows ?? [], runsFile?.path ?? '', files))
  if (fillsFile) problems.push(...inFile(fillsFile, log?.problems ?? []))
  problems.push(...missingPhotos(fills, fillsFile?.path ?? '', files))
  const named = [...Object.keys(campaign.setups), ...(campaign.baseline === null ? [] : [campaign.baseline])]
  if (runsFile) {
    problems.push(...inFile(runsFile, [...ofControl, ...withOneSpelling([...rows, ...fuelAlone], named)]))
  }
  if (fillsFile) {
    const ofRows = rows.flatMap(({ setup }) => setup ?? [])
    problems.push(...inFile(fillsFile, withOneSpelling(fills, [...named, ...ofRows])))
  }
  return {
    rows,
    fuelAlone,
    runsFile: runsFile?.path ?? null,
    fills,
    fillsFile: fillsFile?.path ?? null,
    columns: [...(table?.value?.columns ?? []), ...(log?.value?.columns ?? [])],
    problems,
  }
}

interface TablesAmong {
  runsFile: MappedFile | null
  fillsFile: MappedFile | null
  log: Outcome<FillsTable> | null
  problems: Problem[]
}

/** Which file is which table: a fuel log whose rows are those of the drives stands for the table of drives. */
function tablesAmong(files: MappedFile[], timeZone: string | null, days: number[], starts: number[]): TablesAmong {
  const runs = firstOfKind(files, 'runs-table')
  const fills = firstOfKind(files, 'fills-table')
  const problems = [...runs.problems, ...fills.problems]
  const log = fills.file && readFillsTable(present(fills.file.text), timeZone, days)
  if (fills.file && log && !runs.file && areDrives(log.value?.rows ?? [], log.problems, starts)) {
    const note = inFile(fills.file, [READ_AS_DRIVES])
    return { runsFile: fills.file, fillsFile: null, log: null, problems: [...problems, ...note] }
  }
  return { runsFile: runs.file, fillsFile: fills.file, log, problems }
}
