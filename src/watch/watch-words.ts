import { cleaned } from '../base/names.ts'
import { plainText } from '../base/sentence.ts'
import { someNames } from '../report/words/checks/weaknesses.ts'
import { plural } from '../report/words.ts'

/** What happens while watching: a line each, in words or as JSON. */
export type WatchEvent =
  | { event: 'listening'; address: string; folder: string }
  | { event: 'waiting'; files: string[] }
  | { event: 'making'; files: string[] }
  | { event: 'report'; runs: number; errors: number; answer: string }
  | { event: 'no-report' }
  | { event: 'gone'; folder: string }
  | { event: 'stopped' }

/** The event in words, with the time of day. */
export function watchLine(event: WatchEvent, now: Date): string {
  const time = now.toTimeString().slice(0, 8)
  return `${time}  ${wordsOf(event)}\n`
}

function wordsOf(event: WatchEvent): string {
  switch (event.event) {
    case 'listening':
      return `Watching ${cleaned(event.folder)}. The report, for this computer only: ${event.address}   Ctrl-C stops.`
    case 'waiting':
      return `Waiting until ${plainText(someNames(event.files))} ${event.files.length === 1 ? 'is' : 'are'} written in full.`
    case 'making':
      return `${plainText(someNames(event.files))} ${event.files.length === 1 ? 'is' : 'are'} new or changed.`
    case 'report':
      return `Report made from ${plural(event.runs, 'drive')}${event.errors > 0 ? `, with ${plural(event.errors, 'error')} in the inputs` : ''}. ${event.answer}`
    case 'no-report':
      return 'No report could be made from what is there.'
    case 'gone':
      return `The folder ${cleaned(event.folder)} is no longer there. Start again when it is back.`
    case 'stopped':
      return 'Stopped.'
  }
}
