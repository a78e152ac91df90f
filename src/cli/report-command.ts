import { dirname, join, resolve } from 'node:path'
import { cleaned } from '../base/names.ts'
import type { Problem } from '../base/problem.ts'
import type { Memory } from '../campaign/load/memory.ts'
import { type CampaignResult, type CampaignSettings, reduceCampaign } from '../campaign/run-campaign.ts'
import { stoppingCleanly } from '../files/clean-stop.ts'
import { type ListedFile, listFolder } from '../files/folder.ts'
import { resolvedPath } from '../files/places.ts'
import { leftThere, reportRefusal } from '../files/report-folder.ts'
import { abandonWorks, clearDeadWorks } from '../files/unfinished-work.ts'
import type { ExitCode } from '../shell/exit-codes.ts'
import { refuse, refuseProblem } from '../shell/refusal.ts'
import { digestOf, openCache } from '../store/cache.ts'
import { cacheFolder } from '../store/cache-folder.ts'
import { memoryIn } from '../store/memory.ts'
import { programName } from '../store/program-name.ts'
import { clearUnfinished, trimCache } from '../store/trim.ts'
import { folderRefusal, sayProblem } from '../work/campaign-folder.ts'
import { pairsText, rowsBefore } from '../work/pair-rows.ts'
import { progressOn, silent } from '../work/progress.ts'
import { filesOf, keepReceipt, receiptKey, receiptOf, unchangedReport } from '../work/receipt.ts'
import { drivesFrom, FilesChanged, MotionLost, mapFolder, stepRuns, type Work } from '../work/work.ts'
import { type ReportOptions, settingsOf } from './report-options.ts'
import { publish, tell } from './report-output.ts'

/** The command `report`: folder in, report folder and summary out. Results go to stdout, problems to stderr. */
export async function reportCommand(folder: string, options: ReportOptions, version: string): Promise<ExitCode> {
  const root = resolve(folder)
  const out = options.out === undefined ? join(root, 'report') : resolve(options.out)
  const wrong = await folderRefusal(root, folder)
  if (wrong) return refuse(wrong)
  for (const path of clearDeadWorks(dirname(resolvedPath(out)))) sayProblem(leftThere(path))
  const unwritable = reportRefusal(root, out)
  if (unwritable) return refuseProblem(unwritable)

  const { listed, problems } = await listFolder(root)
  if (listed.length === 0) {
    for (const problem of problems) sayProblem(problem)
    return refuse(
      `the folder ${cleaned(folder)} holds no file that could be read; put GPX tracks and weather observations into it`,
    )
  }
  const work = workOf(options, version)
  return reportStopping(work, () => reportOn({ root, out, listed, problems }, options, version, work))
}

interface Found {
  root: string
  out: string
  listed: ListedFile[]
  /** What was found wrong before any file was read. */
  problems: Problem[]
}

async function reportOn(
  { root, out, listed, problems }: Found,
  options: ReportOptions,
  version: string,
  work: Work,
): Promise<ExitCode> {
  const settings = settingsOf(options)
  const { cache } = work
  const key = cache && receiptKey(cache, out, [root, settings, options.cards, options.points])
  const receipt = cache && key ? receiptOf(cache, key) : null
  const unchanged = await unchangedReport(receipt, listed, problems, out, work)
  if (unchanged) {
    work.progress.end()
    return tell(unchanged, options, out)
  }
  const memory = cache && key ? memoryIn(cache, key) : undefined
  const before = receipt ? filesOf(receipt) : undefined
  const result = await resultOf({ listed, problems, settings, version, memory }, { ...work, before })
  work.progress.end()
  const { onePair, report } = result
  const pairKeys = (cache && onePair?.bases.map((basis) => digestOf(basis))) ?? null
  const pairs = onePair && pairKeys ? pairsText(onePair, pairKeys, rowsBefore(receipt, out)) : undefined
  const { code, written } = await publish(result, options, out, 'the folder', pairs)
  if (cache && key && written) {
    memory?.keepMatches()
    keepReceipt(key, listed, problems, { outputs: written.digests, report, pairKeys }, cache)
    trimCache(cache)
  }
  return code
}

/** What a result is made from, but for the files' content. */
interface Asked extends Pick<Found, 'listed' | 'problems'> {
  settings: CampaignSettings
  version: string
  memory: Memory | undefined
}

/** Makes the report, and once more where something was counted on that turns out not to hold. */
async function resultOf(asked: Asked, work: Work): Promise<CampaignResult> {
  try {
    return await onceResultOf(asked, work)
  } catch (error) {
    if (error instanceof MotionLost) return resultOf(asked, { ...work, whole: true })
    if (error instanceof FilesChanged) return resultOf(asked, { ...work, before: undefined })
    throw error
  }
}

async function onceResultOf({ listed, problems, ...asked }: Asked, work: Work): Promise<CampaignResult> {
  const { mapped, kept, problems: unread, asBefore } = await mapFolder(listed, work)
  const input = { ...asked, files: kept, unreadable: [...problems, ...unread], drives: drivesFrom(work) }
  const reduced = reduceCampaign(mapped, input, (setting, tasks) => stepRuns(setting, tasks, work))
  const [result, holds] = await Promise.all([reduced, asBefore])
  if (!holds) throw new FilesChanged('a file has another content than at the last call')
  return result
}

/** Makes a report; stopped meanwhile, the earlier one stays and nothing half written does. */
export function reportStopping<T>({ cache }: Work, make: () => Promise<T>): Promise<T> {
  const undo = (): void => {
    abandonWorks()
    if (cache) clearUnfinished(cache)
  }
  return stoppingCleanly(make, undo, 'an earlier report is as it was')
}

/** Who does the work, as the options want it. */
export function workOf(
  options: Pick<ReportOptions, 'jobs' | 'cache' | 'quiet' | 'json' | 'points'>,
  version: string,
): Work {
  const keepsDrives = (options.points ?? []).length > 0
  return {
    whole: keepsDrives,
    keepsDrives,
    jobs: options.jobs,
    cache: options.cache === false ? null : openCache(cacheFolder(process.env, process.platform), programName(version)),
    progress: process.stderr.isTTY && !options.quiet && !options.json ? progressOn(process.stderr, Date.now) : silent,
  }
}
