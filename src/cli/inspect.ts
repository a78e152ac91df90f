import { runCampaign } from '../pipeline/run-campaign.ts'
import type { Report } from '../report/contract.ts'
import { sayProblem } from './campaign-folder.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from './exit-codes.ts'
import { readNamed } from './folder.ts'
import type { InspectOptions } from './inspect-command.ts'
import { inspectText } from './inspect-text.ts'
import { packageVersion } from './package-version.ts'
import { refuse } from './refusal.ts'
import { columnsOf } from './terminal-stream.ts'

const SETTINGS = { marginPct: null, limits: null, draws: 400, seed: 1 }

/** The command `inspect`: each track's account goes to stdout, errors to stderr. */
export async function inspectTracks(tracks: string[], options: InspectOptions): Promise<ExitCode> {
  const paths = [...tracks, ...(options.weather ?? []), ...(options.campaign ? [options.campaign] : [])]
  const { files, problems } = await readNamed([...new Set(paths)])
  const version = packageVersion()
  const { report } = await runCampaign({ files, unreadable: problems, settings: SETTINGS, version })
  const errors = report.problems.filter(({ severity }) => severity === 'error')
  for (const { path, message, hint } of errors) {
    sayProblem({ code: '', severity: 'error', message, file: path ?? undefined, hint: hint ?? undefined })
  }
  if (report.runs.length === 0) return refuse('no file holds a track with times that could be used')
  process.stdout.write(
    options.json ? inspectJson(report, version) : inspectText(report, columnsOf(process.stdout), options.units),
  )
  return errors.length > 0 ? DONE_WITH_ERRORS : DONE
}

const inspectJson = ({ runs, problems }: Report, version: string): string =>
  `${JSON.stringify({ schema: 'ceteris-inspect/1', version, runs, problems }, null, 2)}\n`
