import { basename, dirname, join, resolve } from 'node:path'
import { byCodeUnits } from '../base/arithmetic.ts'
import { cleaned } from '../base/names.ts'
import type { Problem } from '../base/problem.ts'
import type { CampaignInput } from '../campaign/campaign-input.ts'
import type { CampaignResult } from '../campaign/campaign-result.ts'
import { motionsOf, withoutMotions } from '../campaign/load/drive-source.ts'
import { withProblems } from '../campaign/report/report-problems.ts'
import { reduceCampaign } from '../campaign/run-campaign.ts'
import { stoppingCleanly } from '../files/clean-stop.ts'
import { type ListedFile, listFolder } from '../files/folder.ts'
import { resolvedPath } from '../files/places.ts'
import { leftThere, reportRefusal } from '../files/replaceable.ts'
import { digestsIn } from '../files/report-folder.ts'
import { abandonWorks, clearDeadWorks } from '../files/unfinished-work.ts'
import { digestOf, keyOf } from '../records/content-key.ts'
import type { Thumbnails } from '../report/page/drives/photos.ts'
import type { ExitCode } from '../shell/exit-codes.ts'
import { refuse, refuseProblem } from '../shell/refusal.ts'
import { type Cache, fromCache, isInCache, openCache } from '../store/cache.ts'
import { cacheFolder } from '../store/cache-folder.ts'
import { programName } from '../store/program-name.ts'
import { clearUnfinished, trimCache } from '../store/trim.ts'
import { folderRefusal, sayProblem } from '../work/campaign-folder.ts'
import { workInMemory, workThroughCache } from '../work/campaign-work.ts'
import { digestFiles } from '../work/digests.ts'
import { FileGone, placesInFiles } from '../work/drives.ts'
import { mappedKey } from '../work/map-files.ts'
import { mapByPlan, mapFolder } from '../work/map-folder.ts'
import { pairKeysOf, pairsText, rowsBefore } from '../work/pair-rows.ts'
import { progressOn, silent } from '../work/progress.ts'
import { keepReceipt, RECEIPT, type Receipt } from '../work/receipt.ts'
import { planReuse, type ReusePlan } from '../work/reuse-plan.ts'
import type { Work } from '../work/work.ts'
import { type ReportOptions, settingsOf } from './report-options.ts'
import { publish, tell } from './report-output.ts'

/** The command `report`: folder in, report folder and summary out. Results go to stdout, problems to stderr. */
export async function reportCommand(folder: string, options: ReportOptions, version: string): Promise<ExitCode> {
  const root = resolve(folder)
  const out = options.out === undefined ? join(root, 'report') : resolve(options.out)
  const wrong = await folderRefusal(root, folder)
  if (wrong) return refuse(wrong, options.json)
  for (const path of clearDeadWorks(dirname(resolvedPath(out)))) sayProblem(leftThere(path))
  const unwritable = reportRefusal(root, out)
  if (unwritable) return refuseProblem(unwritable, options.json)

  const { listed, problems } = await listFolder(root)
  if (listed.length === 0) {
    for (const problem of problems) sayProblem(problem)
    return refuse(
      `the folder ${cleaned(folder)} holds no file that could be read; put GPX tracks and weather observations into it`,
      options.json,
    )
  }
  const cache = cacheOf(options, version)
  try {
    return await reportStopping(cache, () => reportOn({ root, out, listed, problems }, options, version, cache))
  } catch (error) {
    if (error instanceof FileGone) return refuse(cleaned(error.message), options.json)
    throw error
  }
}

interface Found {
  root: string
  out: string
  listed: ListedFile[]
  /** What was found wrong before any file was read. */
  problems: Problem[]
}

async function reportOn(found: Found, options: ReportOptions, version: string, cache: Cache | null): Promise<ExitCode> {
  const work = workOf(options)
  const { problems, out } = found
  const settings = settingsOf(options)
  const input = { settings, version, folderName: basename(found.root) || undefined }
  if (!cache) {
    const { result, thumbnails } = await withPhotos(await resultAnew(found, input, work), found, options)
    work.progress.end()
    return (await publish(result, options, out, 'the folder', undefined, thumbnails)).code
  }
  const key = keyOf(cache, RECEIPT, [out, found.root, settings, options.cards, options.points, options.photos])
  const receipt = fromCache(cache, RECEIPT, key) ?? null
  const plan = await reusePlan(found, receipt, cache, work)
  if (plan.unchanged && receipt) {
    work.progress.end()
    return tell(receipt.report, options, out)
  }
  const { result, thumbnails } = await withPhotos(await resultByPlan(found, plan, input, cache, work), found, options)
  work.progress.end()
  const { onePair, report } = result
  const pairKeys = onePair ? pairKeysOf(onePair, digestOf) : null
  const pairs = onePair && pairKeys ? pairsText(onePair, pairKeys, rowsBefore(receipt, out)) : undefined
  const { code, written } = await publish(result, options, out, 'the folder', pairs, thumbnails)
  if (written) {
    const paths = plan.files.map(({ file }) => file.path)
    keepReceipt(key, paths, problems, { outputs: written.digests, report, pairKeys }, cache)
    trimCache(cache)
  }
  return code
}

/** With small copies of photos where they are asked for, and a word on each that cannot be had. */
async function withPhotos(
  result: CampaignResult,
  { listed }: Found,
  { photos }: ReportOptions,
): Promise<{ result: CampaignResult; thumbnails?: Thumbnails }> {
  if (!photos) return { result }
  const { photoThumbnails } = await import('../files/pictures/photo-thumbnails.ts')
  const { thumbnails, problems } = await photoThumbnails(result.report, listed)
  return { result: { ...result, report: withProblems(result.report, problems) }, thumbnails }
}

/** Looks at what there is, and decides what of earlier calls serves this one. */
async function reusePlan(found: Found, receipt: Receipt | null, cache: Cache, work: Work): Promise<ReusePlan> {
  const files = [...found.listed].sort((a, b) => byCodeUnits(a.path, b.path))
  const { jobs, progress, worthBytes } = work
  progress.begin(
    'comparing',
    files.reduce((sum, { size }) => sum + size, 0),
    'bytes',
  )
  const digests = await digestFiles(files, jobs > 1 ? jobs : 0, ({ size }) => progress.advance(size), worthBytes)
  return planReuse({
    files: files.map((file, i) => ({ file, sha256: digests[i] })),
    unlisted: found.problems,
    receipt,
    outputs: receipt && digestsIn(found.out),
    holds: (path, sha256) => isInCache(cache, mappedKey(cache, { path, sha256 })),
  })
}

type Asked = Pick<CampaignInput, 'settings' | 'version' | 'folderName'>

/** Makes the report with all drives in memory, and keeps nothing. */
async function resultAnew({ listed, problems }: Found, asked: Asked, work: Work): Promise<CampaignResult> {
  const { mapped, kept, problems: unread } = await mapFolder(listed, work)
  const input = { ...asked, files: kept, unreadable: [...problems, ...unread] }
  return reduceCampaign(mapped.map(withoutMotions), input, workInMemory(motionsOf(mapped), work))
}

/** Makes the report as the plan says; each drive's motion is fetched from the cache for its own run alone. */
async function resultByPlan(
  { listed, problems }: Found,
  plan: ReusePlan,
  asked: Asked,
  cache: Cache,
  work: Work,
): Promise<CampaignResult> {
  const { mapped, kept, problems: unread } = await mapByPlan(plan.files, cache, work)
  const input = { ...asked, files: kept, unreadable: [...problems, ...unread] }
  return reduceCampaign(mapped, input, workThroughCache(placesInFiles(listed), cache, work))
}

/** Makes a report; stopped meanwhile, the earlier one stays and nothing half written does. */
export function reportStopping<T>(cache: Cache | null, make: () => Promise<T>): Promise<T> {
  const undo = (): void => {
    abandonWorks()
    if (cache) clearUnfinished(cache)
  }
  return stoppingCleanly(make, undo, 'an earlier report is as it was')
}

/** Who does the work, as the options want it. */
export const workOf = ({ jobs, quiet, json }: Pick<ReportOptions, 'jobs' | 'quiet' | 'json'>): Work => ({
  jobs,
  progress: process.stderr.isTTY && !quiet && !json ? progressOn(process.stderr, Date.now) : silent,
})

/** The user's cache; null where it is not wanted, or cannot be had. */
export const cacheOf = ({ cache }: Pick<ReportOptions, 'cache'>, version: string): Cache | null =>
  cache === false ? null : openCache(cacheFolder(process.env, process.platform), programName(version))
