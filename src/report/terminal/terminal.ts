import { cleaned } from '../../base/names.ts'
import { plainText } from '../../base/sentence.ts'
import type { Report, ReportProblem, ReportRun } from '../contract.ts'
import { logWords } from '../fuel/consumption.ts'
import { RUN_QUANTITIES } from '../quantities/run-quantities.ts'
import { answerOf } from '../words/answer.ts'
import { useWords } from '../words/drives/drive-use.ts'
import { otherVehicleWords } from '../words/drives/flags.ts'
import { recorderSentences } from '../words/drives/recorders.ts'
import { capital, listed, plural } from '../words.ts'
import { shortNames } from './short-names.ts'
import { claimLines, partLines } from './terminal-claims.ts'
import { coastDownText } from './terminal-coast-down.ts'
import { glanceLines } from './terminal-glance.ts'
import { lapLines } from './terminal-laps.ts'
import { loggedLines } from './terminal-logged.ts'
import { pairLines } from './terminal-pairs.ts'
import { consumptionLines, recordingLines, stintLines } from './terminal-recordings.ts'
import { cut, notShown, styled, type TextColumn, textTable, withoutUnit, wrapped } from './terminal-text.ts'

export interface TerminalOptions {
  /** Columns of the terminal. */
  width: number
  color: boolean
}

/** Lines that the smallest usual terminal shows. Common practice, no source. */
const SCREEN_LINES = 24
const MOST_RUNS = 40
const NOT_KNOWN = '–'
/** Drives excluded for one reason, and reasons, that are named. */
const MOST_NAMED = 4
const MOST_REASONS = 6
const WIDEST_CELL = 40
const MOST_OF_A_KIND: Record<ReportProblem['severity'], number> = { error: 5, warning: 3, note: 1 }

/** The whole report in brief, for a terminal: the answer first and last, the problems before it. Ends with a line end. @public for the tests. */
export function terminalSummary(report: Report, options: TerminalOptions): string {
  const parts = [terminalResult(report, options), terminalProblems(report, options)]
  return [...parts, terminalEnd(report, options, parts.join(''))].filter((part) => part !== '').join('\n')
}

/** The answer once more, for the end of an output whose start has scrolled away; empty where it has not. */
export function terminalEnd(report: Report, options: TerminalOptions, printed: string): string {
  if (printed.split('\n').length <= SCREEN_LINES) return ''
  return `${[styled('In short', 'bold', options.color), ...glanceLines(report, options)].join('\n')}\n`
}

/** All but the problems. */
export function terminalResult(report: Report, { width, color }: TerminalOptions): string {
  const answer = answerOf(report)
  const heading = (text: string): string => styled(text, 'bold', color)
  const lines: string[] = []
  if (report.title !== null) lines.push(...wrapped(cleaned(report.title), width), '')
  lines.push(...glanceLines(report, { width, color }))
  if (report.claims.length > 0) lines.push('', heading('Claims'), ...claimLines(report, answer.claims, width))
  const parts = partLines(report, width)
  if (parts.length > 0) lines.push('', heading('Parts'), ...parts)
  const recordings = recordingLines(report, width)
  if (recordings.length > 0) lines.push('', heading('Recordings'), ...recordings)
  if (report.stints.length > 0) lines.push('', heading('Stints'), ...stintLines(report, width))
  if (report.consumption.length > 0)
    lines.push('', heading(logWords(report).heading), ...consumptionLines(report, width))
  if (report.runs.length > 0) lines.push('', heading('Drives'), ...runLines(report, width))
  if (report.coast_down) lines.push('', heading('Coast-downs'), ...coastDownText(report, width))
  if (report.lap_stints.length > 0) lines.push('', heading('Laps by stint'), ...lapLines(report, width))
  const logged = loggedLines(report, width)
  if (logged.length > 0) lines.push('', heading('Logged beside the positions'), ...logged)
  if (report.pairs.length > 0) {
    const sentences = answer.sentences.flatMap((sentence) => wrapped(plainText(sentence), width))
    lines.push('', heading('Pairs'), ...sentences, '', ...pairLines(report, width))
  }
  if (answer.nextSteps.length > 0) {
    lines.push('', heading('What to do next'))
    for (const step of answer.nextSteps) lines.push(...wrapped(plainText(step), width, '- ', '  '))
  }
  return `${lines.join('\n')}\n`
}

/** The problems, grouped by severity and kind; empty where there are none. */
export function terminalProblems(report: Report, { width, color }: TerminalOptions): string {
  if (report.problems.length === 0) return ''
  const lines: string[] = []
  for (const severity of ['error', 'warning', 'note'] as const) {
    const some = report.problems.filter((problem) => problem.severity === severity)
    if (some.length === 0) continue
    const title = plural(some.length, severity)
    lines.push(severity === 'note' ? title : styled(title, severity === 'error' ? 'red' : 'yellow', color))
    for (const code of new Set(some.map((problem) => problem.code))) {
      lines.push(
        ...groupLines(
          some.filter((problem) => problem.code === code),
          width,
        ),
      )
    }
  }
  return `${styled('Problems', 'bold', color)}\n${lines.join('\n')}\n`
}

/** One kind of problem: its code, the first few in full, the count of the rest. */
function groupLines(group: readonly ReportProblem[], width: number): string[] {
  const most = MOST_OF_A_KIND[group[0].severity]
  const shown = group.slice(0, most).flatMap((problem) => {
    const where = problemPlace(problem)
    const text = `${where === '' ? '' : `${where}: `}${cleaned(problem.message)}`
    const hint = problem.hint === null ? [] : wrapped(cleaned(problem.hint), width, '      ')
    return [...wrapped(text, width, '    ', '      '), ...hint]
  })
  const more = group.length - most
  return [`  ${cleaned(group[0].code)}`, ...shown, ...(more > 0 ? [`    … and ${more} more (all in report.json)`] : [])]
}

/** "weather/a.csv:12:3", as far as it is known. */
export function problemPlace({ path, line, column }: Pick<ReportProblem, 'path' | 'line' | 'column'>): string {
  if (path === null) return ''
  return [cleaned(path), line, line === null ? null : column].filter((part) => part !== null).join(':')
}

function runLines(report: Report, width: number): string[] {
  const runs = report.runs.slice(0, MOST_RUNS)
  const columns = runColumns(runs)
  const known = columns.filter(({ cells }) => cells.some((cell) => cell !== NOT_KNOWN))
  const unknown = columns.filter((column) => !known.includes(column)).map(withoutUnit)
  const { lines, leftOut } = textTable(known, width)
  const more = report.runs.length - runs.length
  if (more > 0) lines.push(`… and ${plural(more, 'more drive')} (all in runs.csv)`)
  for (const run of runs) {
    const words = otherVehicleWords(run)
    if (words !== null) lines.push(...wrapped(`${cleaned(run.id)}: ${plainText(words)}`, width, '', '  '))
  }
  lines.push(...leftOutLines(runs, width))
  for (const sentence of recorderSentences(report)) lines.push(...wrapped(plainText(sentence), width, '', '  '))
  if (unknown.length > 0) lines.push(...wrapped(`(not known of any drive shown: ${unknown.join(', ')})`, width))
  return [...lines, ...notShown(leftOut, width)]
}

/** Why drives are excluded, each reason once with its drives; another vehicle's are told above. */
function leftOutLines(runs: readonly ReportRun[], width: number): string[] {
  const drives = new Map<string, { told: string; ids: string[] }>()
  for (const run of runs) {
    if (run.use.as !== 'left-out' || otherVehicleWords(run) !== null) continue
    const told = `${capital(useWords(run.use).words)}: `
    const alike = drives.get(run.use.reason) ?? { told, ids: [] }
    drives.set(run.use.reason, { told, ids: [...alike.ids, cleaned(run.id)] })
  }
  const told = [...drives].map(([reason, { told, ids }]) => {
    const named = ids.length > MOST_NAMED ? plural(ids.length, 'drive') : listed(ids)
    return `${told}${named}${ids.length > 1 ? ', each' : ''}: ${cleaned(reason)}.`
  })
  const more = told.length - MOST_REASONS
  return [
    ...told.slice(0, MOST_REASONS).flatMap((line) => wrapped(line, width, '', '  ')),
    ...(more > 0 ? [`… and ${plural(more, 'more reason')} (all in runs.csv)`] : []),
  ]
}

function runColumns(runs: readonly ReportRun[]): TextColumn[] {
  const quantities = RUN_QUANTITIES.flatMap(({ terminal, align, value }): TextColumn[] => {
    if (terminal === null) return []
    const texts = runs.map((run) => plainText(value(run, 'brief') ?? [NOT_KNOWN]))
    const short = terminal.widest === undefined ? null : shortNames(texts, terminal.widest)
    const cells = texts.map((text) => short?.get(text) ?? cut(text, WIDEST_CELL))
    return [{ header: terminal.header, rank: terminal.rank, align, cells }]
  })
  return [{ header: '#', rank: 0, align: 'right', cells: runs.map((_, i) => String(i + 1)) }, ...quantities]
}
