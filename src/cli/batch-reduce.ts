import { basename, resolve } from 'node:path'
import type { RunResult } from '../campaign/drive/run-result.ts'
import { motionsOf, withoutMotions } from '../campaign/load/drive-source.ts'
import { reduceCampaign } from '../campaign/run-campaign.ts'
import { type Gathered, gatherRecords } from '../files/record-files.ts'
import { reportRefusal } from '../files/replaceable.ts'
import type { RunResultRecord } from '../records/batch-schema.ts'
import type { ExitCode } from '../shell/exit-codes.ts'
import { refuse, refuseProblem } from '../shell/refusal.ts'
import { maker } from '../store/cache.ts'
import { programName } from '../store/program-name.ts'
import { trimCache } from '../store/trim.ts'
import { folderRefusal, sayProblem } from '../work/campaign-folder.ts'
import { workWith } from '../work/campaign-work.ts'
import { placesInMemory } from '../work/drives.ts'
import type { ReduceOptions } from './batch-options.ts'
import { assembled } from './batch-records.ts'
import { cacheOf, reportStopping, workOf } from './report-command.ts'
import { type RunOptions, settingsOf } from './report-options.ts'
import { publish } from './report-output.ts'

/** The command `batch reduce`: records in, the report out that `report` makes of the files they were made from. */
export async function batchReduce(sources: string[], options: ReduceOptions, version: string): Promise<ExitCode> {
  const out = resolve(options.out)
  const root = options.root === undefined ? null : resolve(options.root)
  const wrong = root && (await folderRefusal(root, options.root ?? root))
  if (wrong) return refuse(wrong, options.json)
  const unwritable = reportRefusal(root, out)
  if (unwritable) return refuseProblem(unwritable, options.json)
  const [work, cache] = [workOf(options), cacheOf(options, version)]
  return reportStopping(cache, async () => {
    const gathered = await gatherRecords(sources, programName(version))
    if (gathered.files.length === 0) return refuseRecords(gathered, options.json)
    const { mapped, tiles, problems } = await assembled(gathered.files, root)
    const unused = new Map(gathered.runs.map((record) => [record.key, record]))
    const brought = (key: string): RunResult | null => {
      const record = unused.get(key)
      unused.delete(key)
      return record?.result ?? null
    }
    const motions = placesInMemory(motionsOf(mapped))
    const store = { cache, ...maker(programName(version)), motions, brought }
    const result = await reduceCampaign(
      mapped.map(withoutMotions),
      {
        files: tiles,
        unreadable: [...gathered.problems, ...problems],
        settings: settingsOf(options),
        version,
        folderName: (root && basename(root)) || undefined,
      },
      workWith(store, work),
    )
    work.progress.end()
    const { code } = await publish(result, options, out, 'the records')
    if (cache) trimCache(cache)
    if (!options.quiet)
      for (const record of unused.values()) sayUnused(record, { ...options, limits: result.report.settings.limits })
    return code
  })
}

/** Why there is nothing to reduce. */
export function refuseRecords({ problems, runs }: Gathered, asJson: boolean | undefined): ExitCode {
  for (const problem of problems) sayProblem(atLine(problem))
  return refuse(
    runs.length > 0
      ? 'found records of drives only, expected those of all files as well: what ceteris batch map wrote'
      : 'no record of a file could be read, expected what ceteris batch map wrote',
    asJson,
  )
}

/** A problem that is told with the line where it stands. */
export const atLine = <P extends { file?: string; line?: number }>(problem: P): P => ({
  ...problem,
  file: problem.line === undefined ? problem.file : `${problem.file}:${problem.line}`,
})

/** A run's record that fits no run does no harm: its run was computed here. */
function sayUnused(
  { source, line, run, settings }: RunResultRecord & { source: string; line: number },
  wanted: Required<RunOptions>,
): void {
  const differing = (['draws', 'seed', 'limits'] as const)
    .filter((name) => String(settings[name]) !== String(wanted[name]))
    .map((name) => `${name} ${settings[name]}, expected ${wanted[name]}`)
  const why =
    differing.length > 0 ? `found ${differing.join('; ')}` : 'found other files, or other weather or settings in them'
  sayProblem({
    code: 'run-record-unused',
    severity: 'warning',
    file: `${source}:${line}`,
    message: `this record of the drive ${run} is not used: ${why}; the drive was computed here`,
  })
}
