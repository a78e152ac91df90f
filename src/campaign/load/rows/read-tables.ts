import { present } from '../../../base/present.ts'
import type { Problem } from '../../../base/problem.ts'
import type { Campaign } from '../../../read/campaign/settings.ts'
import type { FillRow, RunRow } from '../../../read/runs/rows.ts'
import { readRunsTable } from '../../../read/runs/runs-table.ts'
import { inFile } from '../first-of-kind.ts'
import type { MappedFile } from '../map-file.ts'
import { missingPhotos } from '../photos.ts'
import { withoutTracks } from './control-rows.ts'
import { fuelAloneOnce } from './fuel-alone-once.ts'
import { joinedFills } from './joined-fills.ts'
import { notFilledIn } from './not-filled-in.ts'
import { withOneSpelling } from './setup-names.ts'
import { type RowsOfTable, tablesAmong, together } from './tables-among.ts'

/** The tables of drives and the fuel logs. */
export interface ReadTables {
  rows: RunRow[]
  /** Rows beside a control vehicle that have no recording. */
  fuelAlone: RunRow[]
  /** The table of drives, the first of several. */
  runsFile: string | null
  /** The fuel log; empty without one. */
  fills: FillRow[]
  /** Its file, the first of several. */
  fillsFile: string | null
  /** Names of the columns of all tables. */
  columns: string[]
  problems: Problem[]
}

/**
 * Reads all tables of drives as one, and all fuel logs as one.
 * @param days since 1970 on which something was driven
 * @param starts of the drives, seconds since 1970
 */
export function readTables(
  files: MappedFile[],
  campaign: Pick<Campaign, 'timeZone' | 'setups' | 'baseline'>,
  days: number[],
  starts: number[],
): ReadTables {
  const { runsFiles, logs, problems } = tablesAmong(files, campaign.timeZone, days, starts)
  const tables = runsFiles.map((file) => {
    const { value, problems: found } = readRunsTable(present(file.text), { days, timeZone: campaign.timeZone })
    problems.push(...inFile(file, found))
    return { file, rows: value?.rows ?? [], columns: value?.columns ?? [] }
  })
  const all = withTheirFiles(tables)
  const [runsFile = null] = runsFiles
  const split = withoutTracks(all)
  const { rows: fuelAlone, problems: ofRepeats } = fuelAloneOnce(split.fuelAlone)
  const { fills, file: fillsFile, problems: ofLogs } = joinedFills(logs.map(withTheirFile(logs.length)))
  problems.push(...together(tables, 'tables of drives', VEHICLES), ...ofLogs)
  problems.push(...notFilledIn(tables, fills.length > 0))
  problems.push(
    ...missingPhotos(all, runsFile?.path ?? '', files),
    ...missingPhotos(fills, fillsFile?.path ?? '', files),
  )
  const named = [...Object.keys(campaign.setups), ...(campaign.baseline === null ? [] : [campaign.baseline])]
  if (runsFile) {
    const ofSetups = withOneSpelling([...split.rows, ...fuelAlone], named)
    problems.push(...inFile(runsFile, [...split.problems, ...ofRepeats, ...ofSetups]))
  }
  if (fillsFile) {
    const ofRows = split.rows.flatMap(({ setup }) => setup ?? [])
    problems.push(...inFile(fillsFile, withOneSpelling(fills, [...named, ...ofRows])))
  }
  return {
    rows: split.rows,
    fuelAlone,
    runsFile: runsFile?.path ?? null,
    fills,
    fillsFile: fillsFile?.path ?? null,
    columns: [...new Set([...tables, ...logs].flatMap(({ columns }) => columns))],
    problems,
  }
}

/** Of several tables each row says in which it stands; those of a single one are all in it. */
const withTheirFile =
  (count: number) =>
  <R extends { file: string | null }>(table: RowsOfTable<R>): RowsOfTable<R> =>
    count === 1 ? table : { ...table, rows: table.rows.map((row) => ({ ...row, file: table.file.path })) }

const withTheirFiles = (tables: RowsOfTable<RunRow>[]): RunRow[] =>
  tables.map(withTheirFile(tables.length)).flatMap(({ rows }) => rows)

const VEHICLES = 'If they are of several vehicles, say which in a column "vehicle" of each.'
