import { joined } from '../base/sentence.ts'
import type { Report, ReportProblem } from './contract.ts'
import { claimsPart } from './markdown-claims.ts'
import {
  conditionsPart,
  consumptionPart,
  lapsPart,
  pairsPart,
  restOf,
  runsPart,
  stintsPart,
} from './markdown-tables.ts'
import { markdownList, markdownSentence, markdownText } from './markdown-text.ts'
import { answerOf } from './words/answer.ts'
import { coastDownWords } from './words/claims/coast-down.ts'
import { dividedRecordings, recordingWords, STRIP_LEGEND, stripText } from './words/drives/recordings.ts'
import { type GlanceLine, glanceWords } from './words/glance.ts'
import { sourceLine } from './words/sources.ts'
import { plural, UNTITLED } from './words.ts'

/** More rows than these make a text that trackers refuse; the tables beside it hold them all. */
const MOST_RECORDINGS = 20
const STRIP_SIGNS = 72
const MOST_PROBLEMS = 30

/** The report as Markdown, for issue trackers and forums: the answer first. No name in it can become markup. */
export function markdownReport(report: Report): string {
  return [
    `# ${markdownText(report.title ?? UNTITLED)}\n`,
    answerPart(report),
    claimsPart(report),
    recordingsPart(report),
    stintsPart(report),
    consumptionPart(report),
    coastDownPart(report),
    runsPart(report),
    conditionsPart(report),
    lapsPart(report),
    pairsPart(report),
    problemsPart(report.problems),
    sourcesPart(report.sources),
    report.cautions.length > 0 ? `## Cautions\n\n${markdownList(report.cautions)}` : '',
    methodPart(report),
  ]
    .filter((part) => part !== '')
    .join('\n')
}

/** The three answers, as on the page and the terminal, and all that is to be done. */
function answerPart(report: Report): string {
  const { compare, helped, claims, next } = glanceWords(report)
  const line = ({ question, answer, more }: GlanceLine): string =>
    `**${markdownText(question)}** ${[answer, more]
      .map((said) => markdownSentence(said).trim())
      .filter((text) => text !== '')
      .join(' ')}\n`
  const figures = claims.map(({ name, change, drives, verdict }) =>
    joined([name, ': ', change, change.length > 0 ? ', ' : '', `${drives}: `, verdict]),
  )
  const { nextSteps } = answerOf(report)
  return [
    line(compare),
    line(helped),
    ...(figures.length > 0 ? [markdownList(figures)] : []),
    line(next),
    ...(nextSteps.length > 0 ? [`## What to do next\n\n${markdownList(nextSteps)}`] : []),
  ].join('\n')
}

function recordingsPart(report: Report): string {
  const divided = dividedRecordings(report)
  if (divided.length === 0) return ''
  const told = divided.slice(0, MOST_RECORDINGS).map((recording) => recordingWords(recording, report))
  const strips = divided
    .slice(0, MOST_RECORDINGS)
    .map((recording) => stripText(recording, STRIP_SIGNS))
    .join('\n')
  const rest = restOf(divided.length - told.length, 'divided recording', 'report.json')
  return `## Recordings\n\n${markdownList(told)}\n\`\`\`text\n${strips}\n${STRIP_LEGEND}\n\`\`\`\n${rest}`
}

function coastDownPart({ coast_down: coast }: Report): string {
  if (coast === null) return ''
  const lines = coast.campaign_lines === null ? '' : `\n\`\`\`yaml\n${coast.campaign_lines.join('\n')}\n\`\`\`\n`
  return `## Coast-downs\n\n${markdownSentence(coastDownWords(coast))}\n${lines}`
}

function problemsPart(problems: readonly ReportProblem[]): string {
  if (problems.length === 0) return ''
  const shown = problems.slice(0, MOST_PROBLEMS).map(({ path, line, severity, message }) => {
    const where = [path, line].filter((part) => part !== null).join(':')
    return `${severity}: ${where === '' ? '' : `${where}: `}${message}`
  })
  return `## Problems\n\n${markdownList(shown)}${restOf(problems.length - MOST_PROBLEMS, 'problem', 'report.json')}`
}

function sourcesPart(sources: Report['sources']): string {
  return sources.length === 0 ? '' : `## Sources\n\n${markdownList(sources.map(sourceLine))}`
}

function methodPart({ version, settings, assumptions }: Report): string {
  const line = `Computed by ceteris ${version} with ${settings.draws} draws, seed ${settings.seed}. The ${plural(assumptions.length, 'assumption')} with values and sources, and the hashes of all inputs, are in report.json and index.html.`
  return `---\n\n${markdownText(line)}\n`
}
