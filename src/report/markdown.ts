import { fixed, signed } from '../base/figures.ts'
import { joined, plainText } from '../base/sentence.ts'
import { isByControl } from './by-control.ts'
import type { Report, ReportClaim, ReportPair, ReportProblem, ReportRun } from './contract.ts'
import { consumptionColumns, logWords, type ReportSpan } from './fuel/consumption.ts'
import {
  LAP_COLUMNS,
  LAPS_MEAN,
  type LapColumn,
  lapRows,
  MOST_LAP_ROWS,
  MOST_STINT_PAIRS,
  stintPairColumns,
} from './fuel/lap-stints.ts'
import { type ReportStint, STINT_COLUMNS } from './fuel/stints.ts'
import { type MarkdownColumn, markdownList, markdownSentence, markdownTable, markdownText } from './markdown-text.ts'
import { onOneRoad } from './one-road.ts'
import { RUN_QUANTITIES } from './quantities/run-quantities.ts'
import { toldBare, withUnit } from './quantities/run-quantity.ts'
import { answerOf } from './words/answer.ts'
import { changeInBrief } from './words/claims/changes.ts'
import { senseWords } from './words/claims/claim-reasons.ts'
import { bestStep, comparedWords, doubtsOf, roadOfClaim } from './words/claims/claims.ts'
import { coastDownWords } from './words/claims/coast-down.ts'
import { controlSides, controlWords } from './words/claims/control.ts'
import { evidenceWords } from './words/claims/evidence.ts'
import { partSentences } from './words/claims/parts.ts'
import { driveCounts, sideWords } from './words/claims/sides.ts'
import { drivesById, type StatementDrives, statementWords } from './words/claims/statement.ts'
import { recorderSentences } from './words/drives/recorders.ts'
import { dividedRecordings, recordingWords, STRIP_LEGEND, stripText } from './words/drives/recordings.ts'
import { type GlanceLine, glanceWords } from './words/glance.ts'
import { endsAtMargin } from './words/pairs.ts'
import { sourceLine } from './words/sources.ts'
import { usedIn } from './words/used.ts'
import { ends, FACTOR_WORDS, largestFactor, plural, sharesOf, UNTITLED, VERDICT_WORDS } from './words.ts'

/** More rows than these make a text that trackers refuse; the tables beside it hold them all. */
const MOST_RUNS = 60
const MOST_RECORDINGS = 20
const MOST_STINTS = 60
const STRIP_SIGNS = 72
const MOST_PAIRS = 60
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

function claimsPart(report: Report): string {
  const { claims } = report
  if (claims.length === 0) return ''
  const parts = partSentences(report)
  return [
    `## Claims\n\n${markdownList(answerOf(report).claims)}`,
    `${markdownText(`Change of ${usedIn(report)} for the same distance, percent, with its 95 % interval.`)}\n`,
    markdownTable(claimColumns(report), claims),
    ...claims.map((claim) => claimPart(claim, drivesById(report))),
    ...(parts.length > 0 ? [`### Parts\n\n${markdownList(parts)}`] : []),
  ].join('\n')
}

const claimColumns = (report: Report): MarkdownColumn<ReportClaim>[] => [
  { header: 'setup', align: 'left', cell: ({ setup }) => setup },
  { header: 'compared with', align: 'left', cell: ({ baseline }) => baseline },
  { header: 'road', align: 'left', cell: roadOfClaim },
  { header: 'as measured', align: 'right', cell: (c) => changeInBrief(c.raw_consumption_change_pct) },
  {
    header: 'corrected to equal conditions',
    align: 'right',
    cell: (c) => changeInBrief(c.adjusted_consumption_change_pct),
  },
  {
    header: `distance for the same ${usedIn(report)}, corrected`,
    align: 'right',
    cell: (c) => changeInBrief(c.adjusted_distance_per_fuel_change_pct),
  },
  { header: 'verdict', align: 'left', cell: ({ verdict }) => verdict },
  {
    header: 'drives',
    align: 'left',
    cell: (claim) => {
      const { runs, baseline_runs, stints, control } = claim
      if (control !== null && isByControl({ control })) return controlSides(control)
      if (stints !== null)
        return `${sideWords(runs, stints.setup)} against ${sideWords(baseline_runs, stints.baseline)}`
      const { setup, baseline } = driveCounts(claim, report.runs)
      return `${setup} against ${baseline}`
    },
  },
]

function claimPart(claim: ReportClaim, drives: StatementDrives): string {
  const { sense } = claim
  const step = bestStep(claim)
  const items = [
    ...evidenceWords(claim),
    ...(claim.control ? [controlWords(claim.control)] : []),
    ...(sense ? [senseWords(sense, claim.implied_drag_area_change_pct)] : []),
    ...doubtsOf(claim),
    ...(step ? [step] : []),
  ].map((item) => plainText(item))
  return `### ${markdownSentence(comparedWords(claim))}\n\n> ${markdownSentence(statementWords(claim, drives))}\n\n${markdownList([...new Set(items)])}`
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

function stintsPart(report: Report): string {
  const { stints } = report
  if (stints.length === 0) return ''
  const columns = STINT_COLUMNS.map(
    ({ header, align, cell }): MarkdownColumn<ReportStint> => ({
      header,
      align,
      cell: (stint) => plainText(cell(stint, report)),
    }),
  )
  const table = markdownTable(columns, stints.slice(0, MOST_STINTS))
  return `## Stints\n\n${table}${restOf(stints.length - MOST_STINTS, 'stint', 'stints.csv')}`
}

function coastDownPart({ coast_down: coast }: Report): string {
  if (coast === null) return ''
  const lines = coast.campaign_lines === null ? '' : `\n\`\`\`yaml\n${coast.campaign_lines.join('\n')}\n\`\`\`\n`
  return `## Coast-downs\n\n${markdownSentence(coastDownWords(coast))}\n${lines}`
}

function consumptionPart(report: Report): string {
  const { consumption } = report
  if (consumption.length === 0) return ''
  const columns = consumptionColumns(report).map(
    ({ header, align, cell }): MarkdownColumn<ReportSpan> => ({
      header,
      align,
      cell: (span) => plainText(cell(span)),
    }),
  )
  const table = markdownTable(columns, consumption.slice(0, MOST_STINTS))
  return `## ${logWords(report).heading}\n\n${table}${restOf(consumption.length - MOST_STINTS, 'row', 'consumption.csv')}`
}

function runsPart(report: Report): string {
  const { runs } = report
  if (runs.length === 0) return ''
  const recorders = recorderSentences(report).map(markdownSentence)
  return `## Drives\n\n${runTable('drives', runs)}${restOf(runs.length - MOST_RUNS, 'drive', 'runs.csv')}${recorders.length > 0 ? `\n\n${markdownList(recorders)}` : ''}`
}

function conditionsPart({ runs }: Report): string {
  if (runs.length === 0) return ''
  const meaning =
    '± is one standard deviation. Headwind and crosswind are at the vehicle, headwind positive against the motion.'
  return `## Conditions\n\n${markdownText(meaning)}\n\n${runTable('conditions', runs)}`
}

function lapsPart(report: Report): string {
  const rows = lapRows(report)
  if (rows.length === 0) return ''
  const columnsOf = <T>(columns: readonly LapColumn<T>[]): MarkdownColumn<T>[] =>
    columns.map(({ header, align, cell }) => ({ header, align, cell: (row: T) => plainText(cell(row)) }))
  const laps = markdownTable(columnsOf(LAP_COLUMNS), rows.slice(0, MOST_LAP_ROWS))
  const pairs = report.stint_pairs
  const against = markdownTable(columnsOf(stintPairColumns(report)), pairs.slice(0, MOST_STINT_PAIRS))
  return [
    `## Laps by stint\n\n${laps}${restOf(rows.length - MOST_LAP_ROWS, 'row', 'report.json')}`,
    ...(pairs.length > 0
      ? [
          `${markdownText(LAPS_MEAN)}\n\n${against}${restOf(pairs.length - MOST_STINT_PAIRS, 'pair of stints', 'report.json')}`,
        ]
      : []),
  ].join('\n')
}

/** One of the tables of drives, with the quantities that belong to it. */
function runTable(table: 'drives' | 'conditions', runs: readonly ReportRun[]): string {
  const columns = RUN_QUANTITIES.filter(({ markdown }) => markdown === table || markdown === 'both').map(
    (quantity): MarkdownColumn<ReportRun> => ({
      header: plainText(withUnit(quantity.short, quantity.unit)),
      align: quantity.align,
      cell: (run) => plainText(toldBare(quantity, run, 'brief') ?? ['–']),
    }),
  )
  const number: MarkdownColumn<ReportRun> = { header: 'no.', align: 'right', cell: (_, i) => String(i + 1) }
  return markdownTable([number, ...columns], runs.slice(0, MOST_RUNS))
}

function pairsPart(report: Report): string {
  const pairs = report.pairs.filter(onOneRoad)
  if (pairs.length === 0) return ''
  const columns: MarkdownColumn<ReportPair>[] = [
    { header: 'drive', align: 'left', cell: ({ b }) => b },
    { header: 'against', align: 'left', cell: ({ a }) => a },
    {
      header: 'verdict',
      align: 'left',
      cell: (p) => `${VERDICT_WORDS[p.verdict].sign} ${VERDICT_WORDS[p.verdict].word}`,
    },
    { header: 'difference, %', align: 'right', cell: ({ difference_pct: d }) => signed(d?.mean ?? null, 1) },
    {
      header: '90 % interval',
      align: 'right',
      cell: ({ difference_pct: d }) => (d ? endsAtMargin(d, report.settings.margin_pct) : '–'),
    },
    { header: 'probability within margin, %', align: 'right', cell: ({ score }) => fixed(score, 0) },
    { header: 'largest contribution', align: 'left', cell: largestShare },
    { header: 'why', align: 'left', cell: ({ reason }) => reason },
  ]
  const meaning = `Difference: what the unchanged vehicle would have needed more (+) or less (−) because of conditions; the margin is ±${report.settings.margin_pct} %.`
  const table = markdownTable(columns, pairs.slice(0, MOST_PAIRS))
  const sentences = answerOf(report).sentences.map((sentence) => `${markdownSentence(sentence)}\n\n`)
  return `## Pairs\n\n${sentences.join('')}${markdownText(meaning)}\n\n${table}${restOf(pairs.length - MOST_PAIRS, 'pair', 'pairs.csv')}`
}

/** "wind +4.3 (+1.6 to +8.7)", in percent. */
function largestShare(pair: ReportPair): string {
  const factor = largestFactor(pair)
  const share = factor && sharesOf(pair)?.[factor]
  return share ? `${FACTOR_WORDS[factor]} ${signed(share.mean, 1)} (${ends(share)})` : '–'
}

const restOf = (more: number, what: string, file: string): string =>
  more > 0 ? `\n${markdownText(`… and ${plural(more, `more ${what}`)} (all in ${file}).`)}\n` : ''

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
