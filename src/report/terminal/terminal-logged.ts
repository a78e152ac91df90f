import { cleaned } from '../../base/names.ts'
import { plainText } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'
import { loggedDrives, loggedWords } from '../words/drives/logged.ts'
import { plural } from '../words.ts'
import { wrapped } from './terminal-text.ts'

/** More drives than these are in report.json alone. */
const MOST_DRIVES = 10

/** What loggers wrote beside the positions, drive by drive; empty where none did. */
export function loggedLines(report: Report, width: number): string[] {
  const drives = loggedDrives(report.runs)
  const more = drives.length - MOST_DRIVES
  return [
    ...drives
      .slice(0, MOST_DRIVES)
      .flatMap((run) => [
        cleaned(run.id),
        ...loggedWords(run).flatMap((sentence) => wrapped(plainText(sentence), width, '  ', '    ')),
      ]),
    ...(more > 0 ? [`… and ${plural(more, 'more drive')} (all in report.json)`] : []),
  ]
}
