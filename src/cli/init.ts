import { join } from 'node:path'
import { jsonText } from '../base/json-text.ts'
import { cleaned } from '../base/names.ts'
import type { Problem } from '../base/problem.ts'
import { firstCampaignYaml } from '../campaign/first-campaign.ts'
import { firstDrives, firstRunsCsv } from '../campaign/first-runs.ts'
import { motionsIn } from '../campaign/load/drive-source.ts'
import { readInputs } from '../campaign/load/inputs.ts'
import type { MappedFile } from '../campaign/load/map-file.ts'
import { roadsOf } from '../campaign/load/routes.ts'
import { NOTHING_SAID, type Run, runsOf } from '../campaign/load/runs.ts'
import { fileErrorReason, isFileError } from '../files/file-errors.ts'
import { writeNewFile } from '../files/own-file.ts'
import { leftThere } from '../files/replaceable.ts'
import { clearDeadWorks } from '../files/unfinished-work.ts'
import { xlsxFile } from '../files/xlsx-file.ts'
import type { Campaign } from '../read/campaign/settings.ts'
import { plural } from '../report/words.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../shell/exit-codes.ts'
import { refuse } from '../shell/refusal.ts'
import { openFolder, sayProblem } from '../work/campaign-folder.ts'

export interface InitOptions {
  /** How the table of drives is written; `csv` where it is left out. */
  table?: 'csv' | 'xlsx'
  json?: boolean
}

/** What became of one of the two files. */
interface Settled {
  file: string
  /** Path of the file that is there already and says the same; null where it was written. */
  kept: string | null
}

/** The command `init`: what was written goes to stdout, errors of the tracks to stderr. */
export async function initFolder(folder: string, { table = 'csv', json }: InitOptions): Promise<ExitCode> {
  const opened = await openFolder(folder)
  if (opened.refusal !== null) return refuse(opened.refusal, json)
  const { root, mapped } = opened
  // Drives are named in local time where the folder says which that is, and lie between its gates.
  const { campaign } = await readInputs(mapped)
  const { timeZone, gates } = campaign
  const { runs, problems } = runsOf(mapped, { ...NOTHING_SAID, timeZone, gates }, motionsIn(mapped))
  const all = [
    ...opened.problems,
    ...mapped.flatMap((f) => f.problems.map((p) => ({ ...p, file: f.path }))),
    ...problems,
  ]
  const errors = errorsAboutTracks(all, mapped)
  for (const problem of errors) sayProblem(problem)
  if (runs.length === 0) return refuse('no file in the folder holds a track with times that could be used', json)
  const drives =
    table === 'csv' ? firstRunsCsv(runs, roadsOf(runs), timeZone) : firstRunsXlsx(runs, timeZone, campaign.setups)
  const texts: [file: string, kind: MappedFile['kind'], content: string | Uint8Array][] = [
    [`runs.${table}`, 'runs-table', drives],
    ['campaign.yaml', 'campaign', firstCampaignYaml()],
  ]
  clearUp(root)
  const settled: Settled[] = []
  for (const [file, kind, content] of texts) {
    const known = mapped.find((f) => f.kind === kind)?.path ?? null
    const written = known === null ? writeNew(join(root, file), content) : null
    if (written?.refusal) return refuse(`${file} could not be written: ${written.refusal}`, json)
    settled.push({ file, kept: known ?? (written?.taken ? file : null) })
  }
  process.stdout.write(
    json ? initJson(settled, runs.length) : initText(settled, firstDrives(runs, timeZone).rows.length, folder),
  )
  return errors.length > 0 ? DONE_WITH_ERRORS : DONE
}

/** Errors of settings and weather are not the business of this command. */
function errorsAboutTracks(problems: Problem[], mapped: MappedFile[]): Problem[] {
  const others = new Set(mapped.filter((f) => f.tracks.length === 0 && f.text !== null).map((f) => f.path))
  return problems.filter(({ severity, file }) => severity === 'error' && !others.has(file ?? ''))
}

/** Clears up after a call that was killed; a folder that nobody may write to has nothing of the kind. */
function clearUp(root: string): void {
  try {
    for (const path of clearDeadWorks(root)) sayProblem(leftThere(path))
  } catch (error) {
    if (!isFileError(error)) throw error
  }
}

/** Writes a file only where none of its name is. */
function writeNew(path: string, content: string | Uint8Array): { taken: boolean; refusal: string | null } {
  try {
    return { taken: !writeNewFile(path, content), refusal: null }
  } catch (error) {
    if (!isFileError(error)) throw error
    return { taken: false, refusal: fileErrorReason(error) }
  }
}

/** The table of drives as a workbook, with the setups of campaign.yaml to choose from. */
function firstRunsXlsx(runs: Run[], timeZone: string | null, setups: Campaign['setups']): Uint8Array {
  const { comments, header, rows } = firstDrives(runs, timeZone)
  return xlsxFile({
    name: 'Drives',
    comments,
    header,
    widths: header.map((name) => (name === 'track' || name === 'note' ? 34 : Math.max(11, name.length + 2))),
    rows: rows.map(({ track, localStart }) => {
      const day = Math.floor(localStart / DAY_S)
      const minutes = Math.floor((localStart - day * DAY_S) / 60)
      return [track, { day: day + SERIAL_OF_1970 }, { clock: minutes / 1440 }]
    }),
    choices: { column: header.indexOf('setup'), values: Object.keys(setups) },
  })
}

const DAY_S = 86_400
/** 1 January 1970 as a spreadsheet counts days. @source ISO/IEC 29500-1:2016, 18.17.4.1 */
const SERIAL_OF_1970 = 25_569

/** @param rows of the table: laps of a stint share one */
function initText(settled: Settled[], rows: number, folder: string): string {
  const lines = settled.map(({ file, kept }) => {
    if (kept === null) return `${file}: written${file.startsWith('runs.') ? `, ${plural(rows, 'row')} to fill in` : ''}`
    return kept === file
      ? `${file}: there already, left as it is`
      : `${file}: not written, ${cleaned(kept)} holds that already`
  })
  const next = `Fill in setup and fuel in ${cleaned(settled[0].kept ?? settled[0].file)} and the vehicle in campaign.yaml, then: ceteris report ${cleaned(folder)}`
  return `${[...lines, next].join('\n')}\n`
}

function initJson(settled: Settled[], runs: number): string {
  const written = settled.filter(({ kept }) => kept === null).map(({ file }) => file)
  const kept = settled.flatMap(({ kept: path }) => path ?? [])
  return `${jsonText({ schema: 'ceteris-init/1', runs, written, kept }, 2)}\n`
}
