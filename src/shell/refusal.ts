import { jsonText } from '../base/json-text.ts'
import { cleaned } from '../base/names.ts'
import type { Problem } from '../base/problem.ts'
import { type ExitCode, NOTHING_DONE } from './exit-codes.ts'

/**
 * The reason why nothing could be done, on stderr; who asked for JSON gets it on stdout as well.
 * @param asJson whether --json was given; false where JSON stands on stdout already
 */
export function refuse(reason: string, asJson: boolean | undefined): ExitCode {
  process.stderr.write(`ceteris: ${reason}\n`)
  if (asJson) process.stdout.write(refusalJson(reason))
  return NOTHING_DONE
}

/** The same for a problem that has a place and a hint. */
export const refuseProblem = ({ file, message, hint }: Problem, asJson: boolean | undefined): ExitCode =>
  refuse(
    [...(file === undefined ? [] : [cleaned(file)]), cleaned(message)].join(': ') + (hint ? `\n  ${hint}` : ''),
    asJson,
  )

/** On one line, so that it may also stand among lines of JSON. */
export const refusalJson = (reason: string): string =>
  `${jsonText({ schema: 'ceteris-refusal/1', message: cleaned(reason) })}\n`
