import { jsonText } from '../base/json-text.ts'
import { plainText } from '../base/sentence.ts'
import { type CheckResult, checkCampaign } from '../check/check-campaign.ts'
import { findingWords } from '../report/words/checks/findings.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../shell/exit-codes.ts'
import { packageVersion } from '../shell/package-version.ts'
import { refuse } from '../shell/refusal.ts'
import { colorOn, columnsOf } from '../shell/terminal-stream.ts'
import { openFolder } from '../work/campaign-folder.ts'
import { checkText } from './check-text.ts'

export interface CheckOptions {
  draws: number
  seed: number
  json?: boolean
}

/** The command `check`: the list goes to stdout, whatever it holds. */
export async function checkFolder(folder: string, { draws, seed, json }: CheckOptions): Promise<ExitCode> {
  const opened = await openFolder(folder)
  if (opened.refusal !== null) return refuse(opened.refusal, json)
  const { mapped, kept, problems } = opened
  const settings = { marginPct: null, limits: null, draws, seed }
  const version = packageVersion()
  const result = await checkCampaign(mapped, { files: kept, unreadable: problems, settings, version })
  const options = { width: columnsOf(process.stdout), color: colorOn(process.stdout) }
  process.stdout.write(json ? checkJson(result, version) : checkText(result, options))
  const { runs, consumption, claims } = result.report
  if (runs.length === 0 && consumption.length === 0 && claims.length === 0)
    return refuse('no file in the folder holds a track with times that could be used', false)
  return result.findings.some(({ severity }) => severity === 'error') ? DONE_WITH_ERRORS : DONE
}

/** The list as data; points to three decimals. */
function checkJson({ report, measure, findings }: CheckResult, version: string): string {
  const points = (value: number): number => Number(value.toFixed(3))
  const content = {
    schema: 'ceteris-check/1',
    version,
    runs: report.runs.length,
    measure: measure && {
      of: measure.of,
      interval: measure.of === 'claims' ? '95 % of the adjusted change' : '90 % of the conditions difference',
      count: measure.count,
      mean_width_points: points(measure.widthPoints),
      assumed: measure.assumed,
    },
    findings: findings.map((f) => ({
      code: f.code,
      severity: f.severity,
      cost_points: f.costPoints === null ? null : points(f.costPoints),
      rough: f.rough,
      blocks: f.blocks,
      runs_without_answer: f.withoutAnswer,
      message: plainText(findingWords(f).message),
      fix: plainText(findingWords(f).fix),
      runs: f.runs,
      path: f.path,
      line: f.line,
      column: f.column,
    })),
  }
  return `${jsonText(content, 2)}\n`
}
