import { jsonText } from '../base/json-text.ts'
import type { System } from '../base/quantities.ts'
import { runCampaign } from '../campaign/run-campaign.ts'
import { readNamed } from '../files/folder.ts'
import type { Report } from '../report/contract.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../shell/exit-codes.ts'
import { packageVersion } from '../shell/package-version.ts'
import { refuse } from '../shell/refusal.ts'
import { columnsOf } from '../shell/terminal-stream.ts'
import { sayProblem } from '../work/campaign-folder.ts'
import { inspectText } from './inspect-text.ts'

export interface InspectOptions {
  weather?: string[]
  campaign?: string
  units: System
  json?: boolean
}

const SETTINGS = { marginPct: null, limits: null, draws: 400, seed: 1 }

/** The command `inspect`: each track's account goes to stdout, errors and warnings to stderr. */
export async function inspectTracks(tracks: string[], options: InspectOptions): Promise<ExitCode> {
  const paths = [...tracks, ...(options.weather ?? []), ...(options.campaign ? [options.campaign] : [])]
  const { files, problems } = await readNamed([...new Set(paths)])
  const version = packageVersion()
  const { report } = await runCampaign({ files, unreadable: problems, settings: SETTINGS, version })
  for (const { path, line, column, hint, ...problem } of report.problems) {
    if (problem.severity === 'note') continue
    sayProblem({
      ...problem,
      file: path ?? undefined,
      line: line ?? undefined,
      column: column ?? undefined,
      hint: hint ?? undefined,
    })
  }
  if (report.runs.length === 0 && report.coast_down === null)
    return refuse('no file holds a track with times that could be used', options.json)
  process.stdout.write(
    options.json ? inspectJson(report, version) : inspectText(report, columnsOf(process.stdout), options.units),
  )
  return report.problems.some(({ severity }) => severity === 'error') ? DONE_WITH_ERRORS : DONE
}

const inspectJson = ({ recordings, runs, coast_down, problems }: Report, version: string): string =>
  `${jsonText({ schema: 'ceteris-inspect/1', version, recordings, runs, coast_down, problems }, 2)}\n`
