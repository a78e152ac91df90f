import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { cleaned } from '../base/names.ts'
import type { CampaignResult } from '../campaign/campaign-result.ts'
import { reportTexts } from '../campaign/report/report-texts.ts'
import { gzipped } from '../files/gzip.ts'
import type { CardFiles } from '../files/pictures/card-files.ts'
import { type Content, type ReportFiles, type WrittenReport, writeReport } from '../files/write.ts'
import type { Report } from '../report/contract.ts'
import { reportJson } from '../report/json.ts'
import type { Thumbnails } from '../report/page/drives/photos.ts'
import { pairsCsv, pairsFileName } from '../report/tables.ts'
import { problemPlace, terminalEnd, terminalProblems, terminalResult } from '../report/terminal/terminal.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../shell/exit-codes.ts'
import { refuse, refuseProblem } from '../shell/refusal.ts'
import { colorOn, columnsOf } from '../shell/terminal-stream.ts'
import { sayProblem } from '../work/campaign-folder.ts'
import type { ReportOptions } from './report-options.ts'

/** How a report's writing ended. */
export interface Published {
  code: ExitCode
  /** The report in its place; null where it could not be written. */
  written: WrittenReport | null
}

/**
 * Writes the report's folder and tells of it.
 * @param from what the files came from, such as "the folder"
 * @param pairs the text of pairs.csv; of very many it is written compressed
 * @param thumbnails small copies of photos, for the page
 */
export async function publish(
  result: CampaignResult,
  options: ReportOptions,
  out: string,
  from: string,
  pairs: ReportFiles[string] = pairsCsv(result.allPairs),
  thumbnails?: Thumbnails,
): Promise<Published> {
  const { report } = result
  if (
    report.runs.length === 0 &&
    report.consumption.length === 0 &&
    report.claims.length === 0 &&
    report.coast_down === null
  ) {
    process.stderr.write(terminalProblems(report, { width: columnsOf(process.stderr), color: colorOn(process.stderr) }))
    const reason = `no file in ${from} holds a track with times that could be used, so no report was written`
    return { code: refuse(reason, options.json), written: null }
  }
  const pairsName = pairsFileName(result.pairCount)
  const pairsContent = pairsName === 'pairs.csv' ? pairs : gzipped(pairs)
  // The page is made while other threads draw the first pictures.
  const cards = await cardsFor(report, options)
  const files = {
    ...reportTexts(result, thumbnails, cards?.paths),
    [pairsName]: pairsContent,
    ...cards?.files,
    ...(await cards?.pictures),
  }
  const written = await writeReport(out, files, await pointFilesFor(result, options))
  if (written.value === null) return { code: refuseProblem(written.problems[0], options.json), written: null }
  for (const problem of written.problems) sayProblem(problem)
  return { code: tell(report, options, written.value.folder), written: written.value }
}

/** Tells of a report that lies in its place. */
export function tell(report: Report, options: ReportOptions, written: string): ExitCode {
  say(report, options, written)
  return report.problems.some(({ severity }) => severity === 'error') ? DONE_WITH_ERRORS : DONE
}

async function cardsFor(report: Report, { cards = 'some' }: ReportOptions): Promise<CardFiles | null> {
  if (cards === 'none') return null
  const { cardFiles } = await import('../files/pictures/card-files.ts')
  const made = await cardFiles(report, cards)
  if (made.problem !== null) process.stderr.write(`ceteris: ${made.problem}\n`)
  return made
}

async function pointFilesFor(
  { points }: CampaignResult,
  { points: forms = [] }: ReportOptions,
): Promise<Iterable<[string, Content]>> {
  if (forms.length === 0) return []
  const { pointFiles } = await import('../files/point-files.ts')
  return pointFiles(points, forms)
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
  const shape = { width: columnsOf(process.stdout), color: colorOn(process.stdout) }
  const result = terminalResult(report, shape)
  process.stdout.write(result)
  const problems = terminalProblems(report, { width: columnsOf(process.stderr), color: colorOn(process.stderr) })
  if (problems !== '') process.stderr.write(`\n${problems}`)
  const end = terminalEnd(report, shape, result + problems)
  if (end !== '') process.stdout.write(`\n${end}`)
  process.stdout.write(`\nReport: ${pathToFileURL(join(written, 'index.html')).href}\n`)
}
