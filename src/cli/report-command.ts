import { join, relative, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { type CampaignResult, reduceCampaign } from '../pipeline/run-campaign.ts'
import type { CardChoice } from '../report/cards/cards.ts'
import type { Report } from '../report/contract.ts'
import { htmlPage } from '../report/html-page.ts'
import { reportJson } from '../report/json.ts'
import { markdownReport } from '../report/markdown.ts'
import { claimsCsv, pairsCsv, partsCsv, runsCsv } from '../report/tables.ts'
import { problemPlace, terminalProblems, terminalResult } from '../report/terminal.ts'
import { cleaned } from '../report/words.ts'
import { cacheFolder, openCache, programDigest, trimCache } from './cache.ts'
import { folderRefusal, sayProblem } from './campaign-folder.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode, NOTHING_DONE } from './exit-codes.ts'
import { listFolder } from './folder.ts'
import { progressOn, silent } from './progress.ts'
import { keepReceipt, receiptKey, unchangedReport } from './receipt.ts'
import { refuse } from './refusal.ts'
import { colorOn, columnsOf } from './terminal-stream.ts'
import { mapFolder, stepRuns, type Work } from './work.ts'
import { abandonReport, type ReportFiles, writeReport } from './write.ts'

export interface ReportOptions {
  out?: string
  margin?: number
  limits?: string[]
  draws: number
  seed: number
  poolRoutes?: boolean
  correctDrift?: boolean
  worth?: number
  fuelPrice?: number
  /** Default: some. */
  cards?: CardChoice
  jobs: number
  /** False: nothing is taken from or put into the cache. */
  cache?: boolean
  json?: boolean
  quiet?: boolean
}

/** The command `report`: folder in, report folder and summary out. Results go to stdout, problems to stderr. */
export async function reportCommand(folder: string, options: ReportOptions, version: string): Promise<ExitCode> {
  const root = resolve(folder)
  const out = options.out === undefined ? join(root, 'report') : resolve(options.out)
  const wrong = (await folderRefusal(root, folder)) ?? (await outProblem(root, out))
  if (wrong) return refuse(wrong)

  const { listed, problems } = await listFolder(root, [join(root, 'report'), out])
  if (listed.length === 0) {
    for (const problem of problems) sayProblem(problem)
    return refuse(
      `the folder ${cleaned(folder)} holds no file that could be read; put GPX tracks and weather observations into it`,
    )
  }
  const release = stopCleanly()
  const settings = {
    marginPct: options.margin ?? null,
    limits: options.limits ?? null,
    draws: options.draws,
    seed: options.seed,
    poolRoutes: options.poolRoutes ?? false,
    correctDrift: options.correctDrift ?? false,
    worth:
      options.worth === undefined ? null : { yearlyDistanceKm: options.worth, pricePerUnit: options.fuelPrice ?? null },
  }
  const work: Work = {
    jobs: options.jobs,
    cache:
      options.cache === false
        ? null
        : openCache(cacheFolder(process.env, process.platform), `${version}/${programDigest()}`),
    progress: process.stderr.isTTY && !options.quiet && !options.json ? progressOn(process.stderr, Date.now) : silent,
  }
  const { cache } = work
  const key = cache && receiptKey(cache, out, [root, settings, options.cards])
  const unchanged = cache && key && (await unchangedReport(key, listed, problems, out, { ...work, cache }))
  if (unchanged) {
    work.progress.end()
    release()
    return done(unchanged, options, out)
  }
  const { mapped, kept, problems: unread } = await mapFolder(listed, work)
  const result = await reduceCampaign(
    mapped,
    { files: kept, unreadable: [...problems, ...unread], settings, version },
    (setting, tasks) => stepRuns(setting, tasks, work),
  )
  work.progress.end()
  const { report } = result
  if (report.runs.length === 0) {
    process.stderr.write(terminalProblems(report, { width: columnsOf(process.stderr), color: colorOn(process.stderr) }))
    return refuse('no file in the folder holds a track with times that could be used, so no report was written')
  }
  const written = await writeReport(out, { ...reportFiles(result), ...(await cardsFor(report, options)) })
  release()
  if (cache && key && written.value !== null) {
    await keepReceipt(key, listed, problems, out, report, cache)
    trimCache(cache)
  }
  if (written.value === null) {
    for (const problem of written.problems) sayProblem(problem)
    return NOTHING_DONE
  }
  return done(report, options, written.value)
}

function done(report: Report, options: ReportOptions, written: string): ExitCode {
  say(report, options, written)
  return report.problems.some(({ severity }) => severity === 'error') ? DONE_WITH_ERRORS : DONE
}

/** Ctrl-C and a polite end: nothing half written stays, the earlier report does. Returns what ends this care. */
function stopCleanly(): () => void {
  const stop = (signal: NodeJS.Signals): void => {
    abandonReport()
    process.stderr.write(
      `${process.stderr.isTTY ? '\r\u001b[K' : ''}ceteris: stopped; an earlier report is as it was\n`,
    )
    process.exit(signal === 'SIGINT' ? 130 : 143)
  }
  process.on('SIGINT', stop)
  process.on('SIGTERM', stop)
  return () => {
    process.off('SIGINT', stop)
    process.off('SIGTERM', stop)
  }
}

async function outProblem(root: string, out: string): Promise<string | null> {
  const upwards = relative(out, root)
  const holdsInput = upwards === '' || !(upwards.startsWith('..') || resolve(upwards) === upwards)
  return holdsInput ? 'the folder of the report must not be, or hold, the folder that is read' : null
}

function reportFiles({ report, allPairs, along }: CampaignResult): ReportFiles {
  return {
    'report.json': reportJson(report),
    'runs.csv': runsCsv(report),
    'pairs.csv': pairsCsv(allPairs),
    'claims.csv': claimsCsv(report),
    'parts.csv': partsCsv(report),
    'index.html': htmlPage(report, along, allPairs),
    'report.md': markdownReport(report),
  }
}

async function cardsFor(report: Report, { cards = 'some' }: ReportOptions): Promise<ReportFiles> {
  if (cards === 'none') return {}
  const { cardFiles } = await import('./cards.ts')
  const { files, problem } = await cardFiles(report, cards)
  if (problem !== null) process.stderr.write(`ceteris: ${problem}\n`)
  return files
}

function say(report: Report, options: ReportOptions, written: string): void {
  if (options.json || options.quiet) {
    for (const { path, line, column, hint, ...problem } of report.problems) {
      if (problem.severity !== 'error') continue
      process.stderr.write(
        `${[problemPlace({ path, line, column }), cleaned(problem.message)].filter((part) => part !== '').join(': ')}\n`,
      )
    }
    if (options.json) process.stdout.write(reportJson(report))
    return
  }
  process.stdout.write(terminalResult(report, { width: columnsOf(process.stdout), color: colorOn(process.stdout) }))
  const problems = terminalProblems(report, { width: columnsOf(process.stderr), color: colorOn(process.stderr) })
  if (problems !== '') process.stderr.write(`\n${problems}`)
  process.stdout.write(`\nReport: ${pathToFileURL(join(written, 'index.html')).href}\n`)
}
