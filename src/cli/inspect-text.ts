import { DateTime } from 'luxon'
import { cleaned } from '../base/names.ts'
import type { System } from '../base/quantities.ts'
import { joined, plainText, type Sentence } from '../base/sentence.ts'
import type { Report, ReportRun } from '../report/contract.ts'
import { RUN_QUANTITIES } from '../report/quantities/run-quantities.ts'
import { phraseOf } from '../report/quantities/run-quantity.ts'
import { INSPECT_LINES, type InspectLine } from '../report/quantities/shown.ts'
import { coastDownText } from '../report/terminal/terminal-coast-down.ts'
import { pieceLines } from '../report/terminal/terminal-recordings.ts'
import { padEnd, wrapped } from '../report/terminal/terminal-text.ts'
import { flagWords } from '../report/words/drives/flags.ts'
import { loggedDrives, loggedWords } from '../report/words/drives/logged.ts'
import { dividedRecordings } from '../report/words/drives/recordings.ts'
import { plural } from '../report/words.ts'
import { GAIN_SMOOTHING_M, GAIN_THRESHOLD_M } from '../track/elevation.ts'

const LABEL_WIDTH = 9
/** A line no longer than this reads well on a telephone, too. */
const MOST_COLUMNS = 72

/** Each run of a report in a few plain lines, to be read at the pump. Ends with a line end. */
export function inspectText(report: Report, width: number, system: System = 'si'): string {
  const columns = Math.min(width, MOST_COLUMNS)
  const divided = dividedRecordings(report).map((recording) =>
    pieceLines(recording, report, columns, system).join('\n'),
  )
  const drives = report.runs.map((run) => runText(run, report, columns, system))
  const coast = coastDownText(report, columns, system)
  return `${[...divided, ...drives, ...(coast.length > 0 ? [coast.join('\n')] : [])].join('\n\n')}\n`
}

function runText(run: ReportRun, report: Report, width: number, system: System): string {
  const zone = report.settings.time_zone
  const start = localTime(run.start_time, zone)
  const end = localTime(run.end_time, zone)
  const until = start.slice(0, 10) === end.slice(0, 10) ? end.slice(11) : end
  const told = INSPECT_LINES.map((line): [label: string, text: string] => [
    line,
    plainText(lineOf(line, run, report), system),
  ])
  const logged = loggedDrives([run]).map((one): [label: string, text: string] => [
    'Logged',
    plainText(joined(loggedWords(one).flatMap((sentence) => [sentence, ' '])), system).trim(),
  ])
  const lines = [...told, ...logged, ['Quality', qualityWords(run)]]
    .filter(([, text]) => text !== '')
    .flatMap(([label, text]) => labelled(label, text, width))
  const flags = run.flags.flatMap((flag) => wrapped(plainText(flagWords(flag), system), width, '  - ', '    '))
  return [cleaned(run.track), `${start} to ${until} ${zone ?? 'UTC'}`, ...lines, ...flags].join('\n')
}

const localTime = (instant: string, zone: string | null): string =>
  DateTime.fromISO(instant, { zone: zone ?? 'UTC' }).toFormat('yyyy-MM-dd HH:mm')

function labelled(label: string, text: string, width: number): string[] {
  const indent = ' '.repeat(LABEL_WIDTH)
  const [first, ...rest] = wrapped(text, width, indent)
  return [padEnd(label, LABEL_WIDTH) + first.slice(LABEL_WIDTH), ...rest]
}

const SHAPE_WORDS = { 'one-way': 'one way', loop: 'a loop', 'there-and-back': 'there and back' } as const

/** What a line says where none of its figures is known. */
const UNKNOWN: Partial<Record<InspectLine, string>> = {
  Road: 'climb not known',
  Air: 'not known: no observation within reach',
  Wind: 'not known: no observation within reach',
}

/** The phrases of a line's quantities, one after the other. */
function lineOf(line: InspectLine, run: ReportRun, { routes }: Report): Sentence {
  const shape = run.road.relation === 'same' ? routes.find(({ id }) => id === run.route)?.shape : undefined
  let told: Sentence = line === 'Road' && shape ? [SHAPE_WORDS[shape]] : []
  let known = false
  for (const quantity of RUN_QUANTITIES.filter(({ inspect }) => inspect === line)) {
    const phrase = phraseOf(quantity, run)
    if (phrase === null) continue
    told = joined([told, told.length === 0 ? '' : quantity.phrase.carriesOn ? ' ' : ', ', phrase])
    if (quantity.path === 'elevation_gain_m') told = joined([told, ` (${heightsWords(run, routes)})`])
    known = true
  }
  return known ? told : joined([told, told.length > 0 && UNKNOWN[line] ? ', ' : '', UNKNOWN[line] ?? ''])
}

/** Whose heights a climb comes from, and how they are smoothed: climbs made otherwise are other figures. */
function heightsWords(run: ReportRun, routes: Report['routes']): string {
  const drives = routes.find(({ id }) => id === run.route)?.runs.length ?? 1
  const whose = drives === 1 ? 'heights of this drive alone' : `heights of ${drives} drives together`
  return `${whose}, smoothed over ±${GAIN_SMOOTHING_M} m, climbs from ${GAIN_THRESHOLD_M} m counted`
}

/** The track and its air in one word: what a driver must know before leaving. */
function qualityWords({ flags }: ReportRun): string {
  const warnings = flags.filter(({ severity }) => severity !== 'note').length
  if (flags.length === 0) return 'good'
  if (warnings === 0) return `good, with ${plural(flags.length, 'remark')}:`
  return `to be looked at: ${plural(warnings, 'warning')}${flags.length > warnings ? ` and ${plural(flags.length - warnings, 'remark')}` : ''}:`
}
