import { fixed, signed } from '../base/figures.ts'
import { plainText, type Sentence } from '../base/sentence.ts'
import type { Report, ReportPair, ReportRun } from './contract.ts'
import { consumptionColumns, logWords } from './fuel/consumption.ts'
import {
  LAP_COLUMNS,
  LAPS_MEAN,
  lapRows,
  MOST_LAP_ROWS,
  MOST_STINT_PAIRS,
  stintPairColumns,
} from './fuel/lap-stints.ts'
import { STINT_COLUMNS } from './fuel/stints.ts'
import { type MarkdownColumn, markdownList, markdownSentence, markdownTable, markdownText } from './markdown-text.ts'
import { onOneRoad } from './one-road.ts'
import { RUN_QUANTITIES } from './quantities/run-quantities.ts'
import { toldBare, withUnit } from './quantities/run-quantity.ts'
import { answerOf } from './words/answer.ts'
import { recorderSentences } from './words/drives/recorders.ts'
import { endsAtMargin } from './words/pairs.ts'
import { ends, FACTOR_WORDS, largestFactor, plural, sharesOf, VERDICT_WORDS } from './words.ts'

/** More rows than these make a text that trackers refuse; the tables beside it hold them all. */
const MOST_RUNS = 60
const MOST_STINTS = 60
const MOST_PAIRS = 60

/** Columns that page and terminal have too, as Markdown has them. */
const columnsOf = <T>(
  columns: readonly { header: string; align: 'left' | 'right'; cell: (row: T, report: Report) => Sentence }[],
  report: Report,
): MarkdownColumn<T>[] =>
  columns.map(({ header, align, cell }) => ({ header, align, cell: (row) => plainText(cell(row, report)) }))

export function stintsPart(report: Report): string {
  const { stints } = report
  if (stints.length === 0) return ''
  const columns = columnsOf(STINT_COLUMNS, report)
  const table = markdownTable(columns, stints.slice(0, MOST_STINTS))
  return `## Stints\n\n${table}${restOf(stints.length - MOST_STINTS, 'stint', 'stints.csv')}`
}

export function consumptionPart(report: Report): string {
  const { consumption } = report
  if (consumption.length === 0) return ''
  const columns = columnsOf(consumptionColumns(report), report)
  const table = markdownTable(columns, consumption.slice(0, MOST_STINTS))
  return `## ${logWords(report).heading}\n\n${table}${restOf(consumption.length - MOST_STINTS, 'row', 'consumption.csv')}`
}

export function runsPart(report: Report): string {
  const { runs } = report
  if (runs.length === 0) return ''
  const recorders = recorderSentences(report).map(markdownSentence)
  return `## Drives\n\n${runTable('drives', runs)}${restOf(runs.length - MOST_RUNS, 'drive', 'runs.csv')}${recorders.length > 0 ? `\n\n${markdownList(recorders)}` : ''}`
}

export function conditionsPart({ runs }: Report): string {
  if (runs.length === 0) return ''
  const meaning =
    '± is one standard deviation. Headwind and crosswind are at the vehicle, headwind positive against the motion.'
  return `## Conditions\n\n${markdownText(meaning)}\n\n${runTable('conditions', runs)}`
}

export function lapsPart(report: Report): string {
  const rows = lapRows(report)
  if (rows.length === 0) return ''
  const laps = markdownTable(columnsOf(LAP_COLUMNS, report), rows.slice(0, MOST_LAP_ROWS))
  const pairs = report.stint_pairs
  const against = markdownTable(columnsOf(stintPairColumns(report), report), pairs.slice(0, MOST_STINT_PAIRS))
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

export function pairsPart(report: Report): string {
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

/** What a table leaves out, and where it stands. */
export const restOf = (more: number, what: string, file: string): string =>
  more > 0 ? `\n${markdownText(`… and ${plural(more, `more ${what}`)} (all in ${file}).`)}\n` : ''
