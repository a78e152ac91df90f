import { jsonText } from '../../base/json-text.ts'
import { cleaned } from '../../base/names.ts'
import type { Problem } from '../../base/problem.ts'
import type { FetchedFolder } from '../../fetch/fetched-folder.ts'
import type { Fetched } from '../../fetch/gather.ts'
import { plural } from '../../report/words.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode, NOTHING_DONE } from '../../shell/exit-codes.ts'
import { sizeText } from './plan-text.ts'

const GOOD = ['written', 'unchanged']

const RESULT_WORDS: Record<Fetched['result'], string> = {
  written: 'written',
  unchanged: 'has not changed',
  nothing: 'nothing there',
  failed: 'failed',
  left: 'left for the next call',
  'not-written': 'not written',
}

/** What came of a call, in words: what was written, what was not and why, and whom to credit. */
export function resultText(done: readonly Fetched[], folders: readonly FetchedFolder[], next: string): string {
  const written = done.filter(({ result }) => result === 'written')
  const bytes = written.reduce((sum, one) => sum + one.bytes, 0)
  const others = done.filter(({ result }) => !GOOD.includes(result))
  const entries = folders.flatMap((folder) => folder.entries)
  const credits = [
    ...new Set(
      entries
        .filter(({ file, purpose }) => file !== null && purpose !== 'list')
        .map((e) => `${e.credit} (${e.licence})`),
    ),
  ]
  const lines = [
    `${plural(written.length, 'file')} written, ${sizeText(bytes)}${countOf(done, 'unchanged', 'unchanged')}.`,
    ...others.map(
      ({ ask, result, why }) =>
        `${cleaned(ask.about)}, ${ask.service}: ${RESULT_WORDS[result]}${why === null ? '' : `, ${cleaned(why)}`}`,
    ),
    ...(credits.length > 0 ? ['Sources, which the report names too:', ...credits.map((credit) => `  ${credit}`)] : []),
    next,
  ]
  return `${lines.join('\n')}\n`
}

function countOf(done: readonly Fetched[], result: Fetched['result'], word: string): string {
  const count = done.filter((one) => one.result === result).length
  return count > 0 ? `, ${count} ${word}` : ''
}

/** The same as data. */
export function resultJson(
  done: readonly Fetched[],
  gaps: readonly Problem[],
  folders: readonly FetchedFolder[],
): string {
  const requests = done.map(({ ask, result, why, bytes }) => ({
    service: ask.service,
    purpose: ask.purpose,
    station: ask.station,
    url: ask.url,
    file: result === 'written' || result === 'unchanged' ? ask.file : null,
    result,
    why,
    bytes,
  }))
  const files = folders.flatMap(({ name, entries }) =>
    entries.flatMap(({ file }) => (file === null ? [] : `${name}/${file}`)),
  )
  return `${jsonText({ schema: 'ceteris-weather/1', requests, gaps: gaps.map(({ file, message }) => ({ file: file ?? null, message })), files }, 2)}\n`
}

/** A station without observations is no failure where another made up for it; a request that failed or was left is. */
export function resultExit(done: readonly Fetched[], gaps: readonly Problem[]): ExitCode {
  const good = done.some(({ result, ask }) => GOOD.includes(result) && ask.purpose !== 'list')
  if (!good) return NOTHING_DONE
  const bad = done.some(({ result }) => result === 'failed' || result === 'left' || result === 'not-written')
  return bad || gaps.length > 0 ? DONE_WITH_ERRORS : DONE
}
